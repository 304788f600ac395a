"""
Raw OpenStreetMap files, and what its tags say about lines and areas.

OpenStreetMap has no areas: a way that runs back to its start is one if its tags say so. GDAL decides that by a settings
file; ours names ``golf``, which GDAL's own leaves out, and is handed over for one reading only.
"""

from pathlib import Path

import numpy as np

from turfgis.errors import LayerError
from turfgis.layers.formats import Source
from turfgis.layers.opening import RawLayer, plain_errors, read_with_gdal

RULES = Path(__file__).with_name("osm.ini")
PARTS = {"points": "node", "lines": "way", "multipolygons": "relation"}
# A way with these tags that runs back to its start is still a line, unless it says area=yes.
LINES = ("hole", "path", "cartpath")


def read_openstreetmap(source: Source) -> RawLayer:
    """
    Read points, lines and areas of an ``.osm`` or ``.osm.pbf`` file as one layer.

    The ids are those of OpenStreetMap: ``way/123``, ``relation/123``, ``node/123``.

    Raises
    ------
    LayerError
        The file cannot be read.
    """
    with plain_errors(source):
        try:
            parts = _read_parts(source)
        except LayerError:
            raise
        except Exception as error:
            # Editors give negative ids to what was never sent in; the reader then needs its slower index.
            if "OSM_USE_CUSTOM_INDEXING" not in str(error):
                raise
            parts = _read_parts(source, USE_CUSTOM_INDEXING="NO")
    for part in parts:
        part.ids = _ids(part)
    names = dict.fromkeys(name for part in parts for name in part.columns if name not in ("osm_id", "osm_way_id"))
    return RawLayer(
        source.stem,
        {name: np.concatenate([_column(part, name) for part in parts]) for name in names},
        np.concatenate([part.ids for part in parts]),
        np.concatenate([part.shapes for part in parts]),
        "EPSG:4326",
        remarks=[remark for part in parts for remark in part.remarks],
    )


def _read_parts(source: Source, **options: str) -> list[RawLayer]:
    # Left to itself the reader sets aside 100 MB for its index at every pass, which takes longer than a course.
    size = 0 if source.target.startswith("/vsi") else Path(source.target).stat().st_size
    options |= {"CONFIG_FILE": str(RULES), "MAX_TMPFILE_SIZE": str(min(100, 5 + size // 100_000))}
    return [read_with_gdal(source, name, name, **options) for name in PARTS]


def _column(part: RawLayer, name: str) -> np.ndarray:
    return part.columns.get(name, np.full(len(part.ids), None, dtype=object))


def _ids(part: RawLayer) -> np.ndarray:
    kind, ways = PARTS[part.name], _column(part, "osm_way_id")
    pairs = zip(_column(part, "osm_id"), ways, strict=True)
    return np.array([f"way/{way}" if way else f"{kind}/{own}" for own, way in pairs], dtype=object)


def paths_drawn_round(columns: dict[str, np.ndarray], ids: np.ndarray) -> np.ndarray:
    """
    Which closed ways are paths or hole lines, so that their outline encloses nothing of theirs.

    Parameters
    ----------
    columns
        Tags, one array a key.
    ids
        OpenStreetMap ids, such as ``way/123``.

    Returns
    -------
    True for a way that is tagged as a golf hole or path and not ``area=yes``.

    Examples
    --------
    >>> tags = {"golf": np.array(["green", "cartpath", "cartpath"]), "area": np.array([None, None, "yes"])}
    >>> paths_drawn_round(tags, np.array(["way/1", "way/2", "way/3"])).tolist()
    [False, True, False]
    """
    golf = columns.get("golf", np.full(len(ids), None, dtype=object))
    area = columns.get("area", np.full(len(ids), None, dtype=object))
    ways = np.array([str(one).startswith("way/") for one in ids], dtype=bool)
    return ways & np.isin(golf.astype(str), LINES) & (area != "yes")
