"""A first ``course.toml``, with a comment beside every proposal, for a person to confirm and fill in."""

import json
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from turfgis.layers.proposal import LinesProposal, NamingProposal
from turfgis.reports.screen import one_line

HEAD = """\
# Settings of a course, for turfgis. Lines that start with # are comments; take the # away to use one.
# Look through every [[layer]] below: what is said there was proposed from the files and wants a person's eye.

name = {name}
units = "metric"             # or "us": how results are shown; figures in this file may use any unit
currency = "EUR"
accuracy = "0.3 m"           # how far a drawn edge may be in or out (standard deviation); a layer may say its own.
                             # Survey receiver about 0.05 m, traced from a good air photo about 0.3 m, from a poor one
                             # 1 m: common practice, no source.
"""

TAIL = """
# --- Ground that nobody drew: a strip along an edge -------------------------------------------------------------------

# [[strip]]
# surface = "collar"
# around = "green"
# width = "1.0 m"

# --- Height of cut, and surfaces of your own --------------------------------------------------------------------------

# [surface.green]
# cut = "4 mm"

# [surface.heather]
# over = ["rough"]           # where both are drawn, heather has the ground

# --- Heights of the ground, and a photo from the air ------------------------------------------------------------------

# [elevation]
# file = {heights}
# units = "m"                # or "ft", "US survey ft"; only where the raster does not say it

# [photo]
# file = {photo}

# --- Materials: copy the figures from the supplier's sheet and the label ----------------------------------------------

# [material.dressing_sand]
# kind = "sand"              # sand, seed or fertiliser
# bulk_density = "1.55 t/m3 ± 4 %"      # dry, as placed; any figure may carry its standard deviation
# moisture = { low = "2 %", likely = "5 %", high = "9 %" }   # of the dry weight, as delivered
# storage_loss = "3 %"
# load = "20 t"
# stock = "0 t"
# price = "42 EUR/t"
# supplier = "the sand yard" # one order goes to each supplier: turfgis order --by supplier

# [material.bent_seed]
# kind = "seed"
# purity = "98 %"
# germination = "85 %"
# pack = "10 kg"

# [material.feed]
# kind = "fertiliser"
# analysis = { N = "12 %", P2O5 = "4 %", K2O = "8 %" }
# pack = "20 kg"

# --- Suppliers: what the order to each says, and how long before the work it is placed --------------------------------

# [supplier."the sand yard"]
# lead = "2 weeks"           # from order to delivery
# deliver_before = "3 days"  # how long before the work it should lie there
# account = "1234"           # what they book the order under
# deliver_to = "sand bay behind the yard"
# access = "tipper of at most 32 t"

# --- Machines ---------------------------------------------------------------------------------------------------------

# [machine.pedestrian_mower]
# width = "0.56 m"
# overlap = "0.05 m"
# speed = "4.5 km/h"
# turn = "10 s"               # one turn by stop-watch: time then comes from passes laid in the shapes
# clean_up = 1               # rounds along the edge
# on = ["green"]

# --- Water: the weather and what each surface needs; limits go below [water.limit.NAME], copied from the licence ------

# [water]
# weather = "weather.csv"    # date, tmin_c, tmax_c, rain_mm, and what else the station knows, with its unit

# [water.surface.green]
# coefficient = "FAO-56 cool-season"   # a published one by its name, or your own
# root_depth = "150 mm"      # measured with a corer
# available_water = "12 %"   # of the volume of the root zone
# depletion = "50 %"         # how much of it may be used up before it is watered
# uniformity = "75 %"        # of the drier quarter; left out, cans ([[catch]]) or else a layer of heads tell it

# --- Jobs: hollow_tine, solid_tine, topdress, overseed, fertilise, mow ------------------------------------------------

# [[job]]
# name = "dress greens"
# group = "renovation"
# work = "topdress"
# on = ["green"]
# depth = "2 mm ± 12 %"
# overthrow = "0.6 m"        # how far past the edge the spreader throws
# material = "dressing_sand"
"""


def starter_text(
    name: str,
    files: Mapping[str, Sequence[NamingProposal | LinesProposal]],
    crs: str | None = None,
    rasters: Mapping[str, str] = MappingProxyType({}),
) -> str:
    """
    The text of a first settings file.

    Parameters
    ----------
    name
        Title of the course.
    files
        File as it is to be written -> what its layers seem to hold.
    crs
        Reference system to be written beside every layer, where the files do not say it.
    rasters
        File beside the layers -> ``heights`` or ``photo``, as it seems; the first of each is proposed in a comment.

    Returns
    -------
    TOML with comments.
    """
    found = {what: _quoted(file) for file, what in reversed(list(rasters.items()))}
    tail = TAIL.replace("{heights}", found.get("heights", f"{_quoted('heights.tif')}       # any raster of heights"))
    return (
        HEAD.format(name=_quoted(name))
        + layers_text(files, crs)
        + tail.replace(
            "{photo}", found.get("photo", f"{_quoted('photo.tif')}         # any picture that says where it lies")
        )
    )


def layers_text(files: Mapping[str, Sequence[NamingProposal | LinesProposal]], crs: str | None = None) -> str:
    """The ``[[layer]]`` entries alone, as they may also be put at the end of a settings file."""
    parts = []
    for file, layers in files.items():
        several = len(layers) > 1
        for layer in layers:
            lines = ["", "[[layer]]", f"file = {_quoted(file)}"]
            if several:
                lines.append(f"layer = {_quoted(layer.layer)}")
            if crs:
                lines.append(f"crs = {_quoted(crs)}")
            lines += _areas(layer) if isinstance(layer, NamingProposal) else _no_areas(layer)
            parts.append("\n".join(lines) + "\n")
    return "".join(parts)


def _areas(layer: NamingProposal) -> list[str]:
    lines = [f"# {layer.areas} areas"]
    if layer.openstreetmap:
        lines.append(f"# named by their OpenStreetMap golf tags: {_counts(layer.counts)}")
    elif layer.surface_from is not None:
        lines.append(f"surface_from = {_quoted(layer.surface_from)}    # its values: {_counts(layer.counts)}")
        if layer.surfaces:
            meant = ", ".join(f"{_quoted(value)} = {_quoted(surface)}" for value, surface in layer.surfaces.items())
            lines.append(f"surfaces = {{ {meant} }}")
        if layer.unknown:
            lines.append(f"# set aside unless you add what they mean to surfaces: {_counts(layer.unknown)}")
        if layer.without:
            lines.append(f"# {layer.without} areas have no value there and will be set aside")
    elif layer.surface is not None:
        lines.append(f"surface = {_quoted(layer.surface)}    # from the name of the layer or file")
    else:
        lines.append('surface = "other"    # nothing here names a surface: say which it is, or use surface_from')
    if layer.hole_from and not layer.openstreetmap:
        lines.append(f"hole_from = {_quoted(layer.hole_from)}")
    if layer.name_from and not layer.openstreetmap:
        lines.append(f"name_from = {_quoted(layer.name_from)}")
    return [*lines, '# accuracy = "0.05 m"', "# surveyed = 2026-03-14"]


def _no_areas(layer: LinesProposal) -> list[str]:
    if layer.hole_from is not None:
        return [
            f'role = "hole_lines"    # {layer.count} lines; drawn from tee to green they number the shapes beside them',
            f"hole_from = {_quoted(layer.hole_from)}",
        ]
    return [
        f'role = "background"    # {layer.count} {layer.what}, only drawn on the map',
        f"label = {_quoted(layer.layer)}",
    ]


def _counts(counts: Mapping[str, int], most: int = 12) -> str:
    shown = [f"{one_line(value)} ({count})" for value, count in list(counts.items())[:most]]
    return ", ".join(shown) + (f" and {len(counts) - most} more" if len(counts) > most else "")


def _quoted(text: str) -> str:
    """A TOML string; its escapes are those of JSON."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
