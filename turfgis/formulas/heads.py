"""
How a head throws its water: a profile along the radius, even over the arc, whose integral is the flow.

The profile is level out to a share of the throw and falls in a straight line to nothing at its end. With a share of 0
it is the wedge (triangle) of the textbooks, with 1 an even disc.
"""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive, share


def wetted_area(throw, arc):
    r"""
    Ground that one head reaches.

    .. math:: \theta R^2 / 2

    Parameters
    ----------
    throw
        From the head to where the water ends. [m]
    arc
        Angle that it waters; a full circle is 2 pi. [rad]

    Returns
    -------
    Area. [m2]

    Raises
    ------
    InputError
        An argument is not greater than zero, or the arc is more than a full circle.

    Notes
    -----
    Plain geometry: a sector of a circle.

    Examples
    --------
    A half circle of 18 metres:

    >>> print(f"{wetted_area(18.0, np.pi):.0f}")
    509
    """
    return _arc(arc) * positive("throw", throw, "m") ** 2 / 2


def application_rate(distance, flow, throw, arc, level):
    r"""
    Rate at which water falls at a distance from a head, inside its arc.

    .. math:: \frac{6 Q}{\theta R^2 (1 + k + k^2)} \;
              \min\Big(1, \max\Big(0, \frac{R - r}{R (1 - k)}\Big)\Big)

    Parameters
    ----------
    distance
        From the head. [m]
    flow
        Of the head. [m3/s]
    throw
        From the head to where the water ends. [m]
    arc
        Angle that it waters; a full circle is 2 pi. [rad]
    level
        Share of the throw over which the rate is level, before it falls in a straight line: 0 for a wedge, 1 for an
        even disc. [-]

    Returns
    -------
    Rate. [m/s]

    Raises
    ------
    InputError
        Throw or arc is not greater than zero, the arc is more than a full circle, the level is no share, or another
        argument is below zero.

    Notes
    -----
    The factor in front is what makes the integral over the sector the flow: the volume below the profile is that of a
    frustum of a cone. No wind, no evaporation, no slope; a catch of cans says more than any profile.

    Examples
    --------
    3.6 m3/h over a full circle of 20 metres, at the head and half way out, in mm/h:

    >>> [f"{3.6e6 * application_rate(r, 0.001, 20.0, 2 * np.pi, 0.0):.2f}" for r in (0.0, 10.0)]
    ['8.59', '4.30']
    """
    far, reach = not_negative("distance", distance, "m"), positive("throw", throw, "m")
    flat, water = share("level", level), not_negative("flow", flow, "m3/s")
    peak = 3 * water / (wetted_area(reach, arc) * (1 + flat + flat**2))
    slope = np.where(flat < 1, 1 - flat, 1.0)
    fall = np.where(flat < 1, np.clip((1 - far / reach) / slope, 0.0, 1.0), far <= reach)
    return (peak * fall)[()]


def _arc(arc):
    angle = positive("arc", arc, "rad")
    if np.any(angle > 2 * np.pi * (1 + 1e-9)):
        raise InputError("arc must be at most a full circle, 2 pi; check that it is not in degrees")
    return angle
