"""What drawn files and the rasters beside them seem to hold, before there are any settings."""

import os
from collections.abc import Iterable
from pathlib import Path

from turfgis.errors import LayerError
from turfgis.layers.proposal import LinesProposal, NamingProposal, hole_column, propose_naming
from turfgis.layers.read import read_layers
from turfgis.surfaces import SURFACES

RASTERS = (".tif", ".tiff", ".vrt", ".asc", ".img", ".jp2", ".jpg", ".jpeg", ".png")


def as_seen_from(folder: Path, file: Path) -> str:
    """The file as it is written in the settings: as seen from the folder, with forward strokes."""
    try:
        return Path(os.path.relpath(file, folder)).as_posix()
    except ValueError:  # another drive
        return file.resolve().as_posix()


def look_into(file: Path, crs: str | None = None) -> list[NamingProposal | LinesProposal]:
    """
    What each layer of a file seems to hold.

    Parameters
    ----------
    file
        Any vector file.
    crs
        Its reference system, where it does not say it.

    Raises
    ------
    LayerError
        It cannot be read, or holds no shapes.
    """
    every, _ = read_layers(file, crs=crs, role="background")
    try:
        with_areas, _ = read_layers(file, crs=crs)
    except LayerError:
        if all(len(layer.areas) == 0 and len(layer.lines) + len(layer.points) == 0 for layer in every):
            raise
        with_areas = []
    found: list[NamingProposal | LinesProposal] = [
        propose_naming(layer, SURFACES) for layer in with_areas if len(layer.areas)
    ]
    named = {proposal.layer for proposal in found}
    for layer in every:
        if layer.layer in named or layer.openstreetmap:
            continue
        if len(layer.lines):
            found.append(LinesProposal(layer.layer, len(layer.lines), "lines", hole_column(layer.lines)))
        elif len(layer.points):
            found.append(LinesProposal(layer.layer, len(layer.points), "points"))
    return found


def rasters_beside(folder: Path, files: Iterable[Path]) -> dict[str, str]:
    """Rasters in the folder and beside the files, as they are written in the settings, with what they seem to hold."""
    places = dict.fromkeys([folder, *(file.parent for file in files)])
    beside = [file for place in places for file in sorted(place.glob("*")) if file.suffix.lower() in RASTERS]
    if not beside:
        return {}
    from turfgis.measure.rasters import seems

    return {as_seen_from(folder, file): what for file in beside if (what := seems(file))}
