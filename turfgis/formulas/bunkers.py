"""Bunkers: sand on floor and face, and liner under it."""

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive


def bunker_sand_volume(floor_area, floor_depth, face_area, face_depth, face_slope_factor=1.0, settling_factor=1.0):
    r"""
    Sand for a bunker, its floor and its face.

    .. math:: (A_1 h_1 + A_2 k \, h_2) f

    Parameters
    ----------
    floor_area, face_area
        Areas on the map. [m2]
    floor_depth, face_depth
        Depths wanted once the sand has settled; on the face at right angles to it. [m]
    face_slope_factor
        True area of the face over its area on the map, see `turfgis.formulas.geodesy.true_area_factor`. [-]
    settling_factor
        Depth as placed over depth once settled: 1.05 where 5 % is to be added. [-]

    Returns
    -------
    Volume to place. [m3]

    Raises
    ------
    InputError
        An area or a depth is below zero, or a factor is below 1.

    Notes
    -----
    Plain geometry. Published settling goes from under 10 % of the depth (source ``arizona-bunkers``) to a third of it
    under a vibrating plate (source ``bunker-plate-2014``), so measure it. Settling changes the volume and not the
    mass: with a density taken as settled, leave its factor at 1.

    Examples
    --------
    A floor of 80 square metres at 120 mm and a face of 40 at 60 mm, rising at 30 degrees:

    >>> print(f"{bunker_sand_volume(80, 0.12, 40, 0.06, face_slope_factor=1.1547):.2f}")
    12.37
    """
    floor = not_negative("floor area", floor_area, "m2") * not_negative("floor depth", floor_depth, "m")
    face = not_negative("face area", face_area, "m2") * not_negative("face depth", face_depth, "m")
    face = face * _one_or_more("face slope factor", face_slope_factor)
    return (floor + face) * _one_or_more("settling factor", settling_factor)


def liner_area(floor_area, face_area, lap, face_slope_factor=1.0):
    r"""
    Liner to order for a bunker.

    .. math:: (A_1 + A_2 k)(1 + l)

    Parameters
    ----------
    floor_area, face_area
        Areas on the map. [m2]
    lap
        Liner that goes into laps, edges and waste, as a share of the area covered. [-]
    face_slope_factor
        True area of the face over its area on the map, see `turfgis.formulas.geodesy.true_area_factor`. [-]

    Returns
    -------
    Liner to order. [m2]

    Raises
    ------
    InputError
        An area or the lap is below zero, or the factor is below 1.

    Notes
    -----
    Definition of the lap, on the area covered.

    Examples
    --------
    >>> print(f"{liner_area(80, 40, 0.10):.0f}")
    132
    """
    face = not_negative("face area", face_area, "m2") * _one_or_more("face slope factor", face_slope_factor)
    return (not_negative("floor area", floor_area, "m2") + face) * (1 + not_negative("lap", lap, ""))


def _one_or_more(name, factor):
    numbers = positive(name, factor, "")
    if (numbers < 1).any():
        raise InputError(f"{name} must be 1 or more (for 5 % write 1.05), but {numbers.min():g} was given")
    return numbers
