"""Which coordinate reference system a layer is drawn in: taken from the file or asked for, never guessed."""

from functools import lru_cache
from math import cos, radians
from typing import Any

import numpy as np
from pyproj import CRS
from pyproj.exceptions import CRSError

from turfgis.errors import LayerError
from turfgis.layers.findings import Finding

METRES_PER_DEGREE = 111_320.0  # along the equator; only for saying how wide a gap is, never for an area
ASK = 'say crs = "EPSG:…" for this layer in course.toml, or --crs on the command line'


@lru_cache(maxsize=64)
def _parsed(text: str) -> CRS:
    return CRS.from_user_input(text)


def horizontal(crs: CRS) -> CRS:
    """
    Drop heights and shifts: the two-dimensional system that the plan is drawn in.

    Examples
    --------
    A national grid with heights above the sea:

    >>> horizontal(CRS("EPSG:7405")).name
    'OSGB36 / British National Grid'
    """
    while crs.is_compound or crs.is_bound:
        below = crs.sub_crs_list[0] if crs.is_compound else crs.source_crs
        if below is None:
            break
        crs = below
    return crs.to_2d() if len(crs.axis_info) > 2 else crs


def drawn_crs(in_file: Any, said: Any, file: str, layer: str) -> tuple[CRS, list[Finding]]:
    """
    Coordinate reference system of a layer.

    Parameters
    ----------
    in_file
        What the file says: text, a ``pyproj.CRS`` or None.
    said
        What the reader of the file was told, which goes first; None if nothing.
    file, layer
        For messages.

    Returns
    -------
    The system, two-dimensional, and what there is to say about it.

    Raises
    ------
    LayerError
        Neither says one, or what is said is not known.

    Examples
    --------
    >>> crs, findings = drawn_crs("EPSG:27700", None, "areas.gpkg", "greens")
    >>> crs.name, findings
    ('OSGB36 / British National Grid', [])
    """
    where = f"{file}, layer {layer}"
    own = _from_file(in_file, where, said is None)
    findings: list[Finding] = []
    if said is None:
        if own is None:
            raise LayerError(f"{where}: no coordinate reference system is given with it; {ASK}")
        crs = own
    else:
        crs = horizontal(parse_crs(said, where))
        if own is not None and not crs.equals(own, ignore_axis_order=True):
            text = f"The file says {own.name}, the settings say {crs.name}: the settings go first."
            findings.append(Finding("warning", "crs_replaced", file, layer, "", text))
    if not (crs.is_geographic or crs.is_projected):
        raise LayerError(f"{where}: {crs.name} is neither a map projection nor longitude and latitude; {ASK}")
    return crs, findings + _remarks(crs, file, layer)


def parse_crs(said: Any, where: str) -> CRS:
    """
    Coordinate reference system from what a person wrote.

    Raises
    ------
    LayerError
        It is not known.

    Examples
    --------
    >>> parse_crs("EPSG:32618", "areas.dxf").name
    'WGS 84 / UTM zone 18N'
    """
    try:
        return said if isinstance(said, CRS) else _parsed(str(said).strip())
    except CRSError:
        raise LayerError(
            f'{where}: crs "{said}" is not a known coordinate reference system; '
            'write a code such as "EPSG:27700", or the text of a .prj file'
        ) from None


def _from_file(in_file: Any, where: str, needed: bool) -> CRS | None:
    if in_file is None or in_file == "":
        return None
    try:
        crs = horizontal(in_file if isinstance(in_file, CRS) else _parsed(in_file))
    except CRSError:
        if needed:
            raise LayerError(
                f"{where}: the coordinate reference system written in the file is not known; {ASK}"
            ) from None
        return None
    # GeoPackage has two codes for "nobody said": they read as systems whose name begins so.
    return None if crs.name.lower().startswith(("undefined", "unknown")) or crs.is_engineering else crs


def _remarks(crs: CRS, file: str, layer: str) -> list[Finding]:
    remarks = []
    if crs.is_projected:
        operation, unit = crs.coordinate_operation, crs.axis_info[0].unit_name
        method = operation.method_name if operation else ""
        if "Pseudo Mercator" in method or "Auxiliary_Sphere" in crs.name:
            text = f"Drawn in {crs.name}, which stretches areas; they are measured on the earth's true size instead."
            remarks.append(Finding("note", "web_mercator", file, layer, "", text))
        if "foot" in unit or "feet" in unit:
            text = f"Drawn in {crs.name}, counted by the {unit}; lengths and areas are converted."
            remarks.append(Finding("note", "survey_feet", file, layer, "", text))
    return remarks


def check_range(crs: CRS, low: np.ndarray, high: np.ndarray, file: str, layer: str) -> list[Finding]:
    """
    See whether coordinates can belong to a coordinate reference system.

    Parameters
    ----------
    crs
        What they are said to be in.
    low, high
        Smallest and largest x and y. [units of ``crs``, easting or longitude first]
    file, layer
        For messages.

    Returns
    -------
    A warning where figures in a projected system look like degrees.

    Raises
    ------
    LayerError
        Longitude and latitude beyond what there is on earth.

    Examples
    --------
    >>> check_range(CRS("EPSG:4326"), np.array([14.48, 35.87]), np.array([14.49, 35.88]), "areas.gpkg", "greens")
    []
    """
    where = f"{file}, layer {layer}"
    if crs.is_projected:
        if np.all(np.abs([low, high]) <= [180.0, 90.0]) and crs.axis_info[0].unit_conversion_factor > 1e-3:
            text = f"All coordinates are as small as degrees, but {crs.name} counts in {crs.axis_info[0].unit_name}s."
            return [Finding("error", "looks_like_degrees", file, layer, "", text)]
        return []
    reach = np.maximum(np.abs(low), np.abs(high))
    if reach[0] <= 180.0 and reach[1] <= 90.0:
        return []
    example = f"({high[0]:.10g}, {high[1]:.10g})"
    if reach[0] <= 90.0 and reach[1] <= 180.0:
        raise LayerError(
            f"{where}: a latitude of {reach[1]:.8g} is beyond 90 degrees, such as in {example}; longitude and latitude "
            "look swapped. Say swap_axes = true for this layer in course.toml, or --swap-axes on the command line"
        )
    if reach[0] <= 360.0 and reach[1] <= 90.0:
        raise LayerError(f"{where}: a longitude of {reach[0]:.8g} is beyond 180 degrees; west of Greenwich is negative")
    raise LayerError(
        f"{where}: coordinates such as {example} are not degrees, though {crs.name} counts in degrees; they look like "
        f"metres or feet of a map projection. Find out which, then {ASK}"
    )


def metres_per_unit(crs: CRS, y: float) -> tuple[float, float]:
    """
    Roughly how many metres one unit of x and of y is; for messages only.

    Examples
    --------
    >>> metres_per_unit(CRS("EPSG:32618"), 5_000_000.0)
    (1.0, 1.0)
    """
    if crs.is_geographic:
        return METRES_PER_DEGREE * cos(radians(min(abs(y), 90.0))), METRES_PER_DEGREE
    factor = crs.axis_info[0].unit_conversion_factor
    return factor, factor
