"""Which layers of a file to read: the one asked for, or those that may hold areas."""

from collections import Counter
from dataclasses import dataclass

from turfgis.errors import LayerError
from turfgis.layers.findings import Finding, listed
from turfgis.layers.formats import Source
from turfgis.layers.opening import column_names, layer_names
from turfgis.layers.words import did_you_mean

GPX_AREAS = ("tracks", "routes")


@dataclass(frozen=True)
class Choice:
    """A layer in a source, with the kind of shape that the file says it has."""

    source: Source
    name: str
    kind: str


def choose_layers(sources: list[Source], layer: str | None, role: str) -> tuple[list[Choice], list[Finding]]:
    """
    Layers to read.

    Parameters
    ----------
    sources
        What there is to open.
    layer
        Name of the one asked for, or None.
    role
        ``"areas"`` to leave out layers that cannot hold any.

    Returns
    -------
    The layers, and a note for each that was left out.

    Raises
    ------
    LayerError
        There is no layer with shapes, or none of that name.
    """
    there = [Choice(source, name, kind) for source in sources for name, kind in layer_names(source).items()]
    if not there:
        raise LayerError(f"{sources[0].file}: no layer in it has shapes; it may be a table only")
    if layer is not None:
        return _called(there, layer), []
    if role != "areas":
        return there, []
    there = [one for one in there if one.source.kind != "gpx" or one.name in GPX_AREAS]
    chosen = [one for one in there if one.source.kind == "gpx" or _may_have_areas(one.kind)]
    if not chosen:
        return there, []
    # Hole lines of OpenStreetMap lie in a layer of their own in some formats.
    left_out = [one for one in there if one not in chosen]
    tagged = [one for one in left_out if "golf" in column_names(one.source, one.name)]
    findings = [
        Finding("note", "layer_left_out", one.source.file, one.name, "", f"It holds {one.kind} shapes, not areas.")
        for one in left_out
        if one not in tagged
    ]
    return chosen + tagged, findings


def _may_have_areas(kind: str) -> bool:
    return any(word in kind for word in ("Polygon", "Unknown", "Collection", "Surface", "TIN"))


def _called(there: list[Choice], layer: str) -> list[Choice]:
    """Layers of that name; a file with one layer may be called by the name of the file, too."""
    only = Counter(one.source for one in there)
    for chosen in (
        [one for one in there if one.name == layer],
        [one for one in there if one.name.lower() == layer.lower()],
        [one for one in there if only[one.source] == 1 and one.source.stem.lower() == layer.lower()],
    ):
        if chosen:
            return chosen
    names = [one.name for one in there]
    files = list(dict.fromkeys(one.source.file for one in there))
    hint = did_you_mean(layer, names)
    raise LayerError(f"{listed(files)}: there is no layer {layer}; there are {listed(names, most=12)}.{hint}")
