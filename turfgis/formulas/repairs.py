"""Turf for repairs: strips along an edge, turf to order for an area, whole rolls or pallets."""

from turfgis.formulas.arguments import not_negative, positive
from turfgis.formulas.packs import whole_packs


def strip_area(edge_length, width):
    r"""
    Area of a strip along an edge.

    .. math:: L \, w

    Parameters
    ----------
    edge_length
        Length of the edge, measured along the middle of the strip. [m]
    width
        Width of the strip. [m]

    Returns
    -------
    Area of the strip. [m2]

    Raises
    ------
    InputError
        An argument is below zero.

    Notes
    -----
    Exact along the middle of the strip. Round a closed edge the strip outside it is larger by pi times the square of
    the width, the one inside smaller by as much (Steiner): 3.1 square metres for a strip of one metre.

    Examples
    --------
    >>> print(f"{strip_area(85, 0.3):.1f}")
    25.5
    """
    return not_negative("edge length", edge_length, "m") * not_negative("strip width", width, "m")


def turf_to_lay(area, trim_loss):
    r"""
    Turf to order so that an area is covered after trimming.

    .. math:: A (1 + l)

    Parameters
    ----------
    area
        Area to cover. [m2]
    trim_loss
        Turf cut off and thrown away, as a share of the area covered. [-]

    Returns
    -------
    Turf to order. [m2]

    Raises
    ------
    InputError
        An argument is below zero.

    Notes
    -----
    Definition of the loss, on the area covered. Crooked and small patches lose more than straight ones.

    Examples
    --------
    >>> print(f"{turf_to_lay(120, 0.05):.0f}")
    126
    """
    return not_negative("area", area, "m2") * (1 + not_negative("trim loss", trim_loss, ""))


def turf_packs(area, trim_loss, pack_area):
    r"""
    Whole rolls or pallets of turf that cover an area after trimming.

    .. math:: \lceil A (1 + l) / A_{pack} \rceil

    Parameters
    ----------
    area
        Area to cover. [m2]
    trim_loss
        Turf cut off and thrown away, as a share of the area covered. [-]
    pack_area
        Turf on one roll or pallet: ask the grower, it differs. [m2]

    Returns
    -------
    Number of rolls or pallets: an int, or an array of ints. [-]

    Raises
    ------
    InputError
        Area or loss is below zero, or the pack is not greater than zero.

    Notes
    -----
    Rounded up as in `turfgis.formulas.packs.whole_packs`. Turf is laid within a day or two of cutting: order what can
    be laid. Rolls and pallets are heavy; lift with a machine or in pairs.

    Examples
    --------
    >>> turf_packs(120, 0.05, 40)
    4
    """
    return whole_packs(turf_to_lay(area, trim_loss), positive("pack area", pack_area, "m2"))
