"""Turns at the end of a pass, emptying of boxes, and time lost in waiting."""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive, share


def turn_length(radius, spacing):
    r"""
    Length of the shortest forward turn onto the neighbouring pass.

    .. math:: \pi r + s - 2 r \quad (s \ge 2 r), \qquad
              r \Big(\pi + 4 \arccos \frac{2 r + s}{4 r}\Big) \quad (s < 2 r)

    Parameters
    ----------
    radius
        Smallest circle that the machine turns in, from its centre to the middle of the machine. [m]
    spacing
        Distance between the two passes. [m]

    Returns
    -------
    Length driven from the end of one pass to the start of the next, opposite in direction. [m]

    Raises
    ------
    InputError
        The radius is not greater than zero, or the spacing is below zero.

    Notes
    -----
    Plain geometry: two quarter circles with a straight between them, or where the next pass is nearer than the circle
    is wide, three arcs in the form of a bulb. Shortest among paths of bounded curvature (source ``dubins-1957``).

    Examples
    --------
    A circle of 2 metres onto a pass 4 metres and 1.5 metres away:

    >>> print(f"{turn_length(2.0, 4.0):.2f} {turn_length(2.0, 1.5):.2f}")
    6.28 12.79
    """
    r, s = positive("turning radius", radius, "m"), not_negative("spacing", spacing, "m")
    bulb = r * (np.pi + 4 * np.arccos(np.clip((2 * r + s) / (4 * r), -1.0, 1.0)))
    return np.where(s >= 2 * r, (np.pi - 2) * r + s, bulb)[()]


def turn_time(radius, spacing, speed):
    r"""
    Time of one turn from the turning circle.

    .. math:: t = \ell(r, s) / v

    Parameters
    ----------
    radius
        Smallest circle that the machine turns in. [m]
    spacing
        Distance between the two passes. [m]
    speed
        Speed while turning. [m/s]

    Returns
    -------
    Time from the end of one pass to the start of the next. [s]

    Raises
    ------
    InputError
        An argument has no meaning; see `turn_length`.

    Notes
    -----
    Lifting and lowering the units is not in it: where a stop-watch has timed whole turns, that time is the better one.

    Examples
    --------
    >>> print(f"{turn_time(2.0, 1.5, 1.5):.1f}")
    8.5
    """
    return turn_length(radius, spacing) / positive("speed", speed, "m/s")


def emptying_stops(area, clippings, box):
    r"""
    How often the boxes fill.

    .. math:: A \, c / B

    Parameters
    ----------
    area
        Area cut. [m2]
    clippings
        Volume of clippings from a unit of area, as they lie in the box. [m3/m2]
    box
        Volume that the boxes hold together. [m3]

    Returns
    -------
    Number of fillings, in parts of one too: a box that is half full goes on to the next patch.

    Raises
    ------
    InputError
        The box holds nothing, or another argument is below zero.

    Notes
    -----
    Plain arithmetic.

    Examples
    --------
    500 square metres at 0.05 l/m2 into a box of 60 litres:

    >>> print(f"{emptying_stops(500, 5e-5, 0.060):.2f}")
    0.42
    """
    taken = not_negative("area", area, "m2") * not_negative("clippings", clippings, "m3/m2")
    return taken / positive("box", box, "m3")


def waiting_time(time, waiting):
    r"""
    Time lost in waiting beside the time worked.

    .. math:: t \, \frac{q}{1 - q}

    Parameters
    ----------
    time
        Time worked. [s]
    waiting
        Share of the whole time that is spent waiting. [-]

    Returns
    -------
    Time spent waiting. [s]

    Raises
    ------
    InputError
        The time is below zero, or the share is not one from 0 to below 1.

    Notes
    -----
    The share is of all the time on the ground, as a stop-watch gives it: a quarter of the whole is a third of the work.

    Examples
    --------
    >>> print(f"{waiting_time(45.0, 0.25):.1f}")
    15.0
    """
    worked, lost = not_negative("time", time, "s"), share("waiting", waiting)
    if np.any(lost >= 1):
        raise InputError("waiting must be a share below 1, since none of the time would be left to work in")
    return worked * lost / (1 - lost)
