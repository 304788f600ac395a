"""Field capacity and mowing time by the handbook method."""

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive, share_above_zero


def working_width(width, overlap):
    r"""
    Width of fresh ground taken by each pass.

    .. math:: w - o

    Parameters
    ----------
    width
        Width of the machine. [m]
    overlap
        Width of ground already worked that each pass runs over again. [m]

    Returns
    -------
    Width gained by each pass. [m]

    Raises
    ------
    InputError
        The width is not greater than zero, or the overlap is below zero or not less than the width.

    Notes
    -----
    Plain geometry.

    Examples
    --------
    >>> print(f"{working_width(0.56, 0.05):.2f}")
    0.51
    """
    full, lost = positive("width", width, "m"), not_negative("overlap", overlap, "m")
    if (lost >= full).any():
        raise InputError("overlap must be less than the width of the machine; check that both are in the same unit")
    return full - lost


def field_capacity(width, speed, efficiency):
    r"""
    Area worked in a unit of time, time lost in turning and stopping included.

    .. math:: w \, v \, \eta

    Parameters
    ----------
    width
        Width of fresh ground taken by each pass. [m]
    speed
        Forward speed while working. [m/s]
    efficiency
        Field efficiency: share of the theoretical capacity that is reached. [-]

    Returns
    -------
    Effective field capacity. [m2/s]

    Raises
    ------
    InputError
        Width or speed is not greater than zero, or the efficiency is not above 0 and up to 1.

    Notes
    -----
    The formula of farm-machinery handbooks, there as ``mph x ft x efficiency / 8.25`` in acres an hour (sources
    ``isu-a3-24``, ``uk-aen-73``). Field efficiency knows nothing of driving between sites: a share of engine hours
    measured at a club is another figure, and far lower.

    Examples
    --------
    Two metres at 8 km/h and 80 %, in hectares an hour:

    >>> print(f"{field_capacity(2.0, 8 / 3.6, 0.80) * 3600 / 10_000:.2f}")
    1.28
    """
    reached = share_above_zero("field efficiency", efficiency)
    return positive("width", width, "m") * positive("speed", speed, "m/s") * reached


def mowing_time(area, perimeter, width, speed, efficiency, overlap=0.0):
    r"""
    Time to cut an area, and time for one clean-up pass round its edge.

    .. math:: t_1 = \frac{A}{(w - o) v \eta}, \qquad t_2 = \frac{P}{v}

    Parameters
    ----------
    area
        Area to cut. [m2]
    perimeter
        Length of its edge. [m]
    width
        Width of the machine. [m]
    speed
        Forward speed while cutting. [m/s]
    efficiency
        Field efficiency. [-]
    overlap
        Overlap of neighbouring passes. [m]

    Returns
    -------
    A tuple: cutting time [s], clean-up time [s].

    Raises
    ------
    InputError
        An argument has no meaning; see `working_width` and `field_capacity`.

    Notes
    -----
    Handbook method: the shape enters by its area and perimeter only. Getting there, emptying boxes and waiting for
    play are not in it.

    Examples
    --------
    A green of 500 square metres with an edge of 85 metres, in minutes:

    >>> cutting, clean_up = mowing_time(500, 85, 0.56, 1.25, 0.70, overlap=0.05)
    >>> print(f"{cutting / 60:.1f} {clean_up / 60:.1f}")
    18.7 1.1
    """
    capacity = field_capacity(working_width(width, overlap), speed, efficiency)
    cutting = not_negative("area", area, "m2") / capacity
    return cutting, not_negative("perimeter", perimeter, "m") / positive("speed", speed, "m/s")
