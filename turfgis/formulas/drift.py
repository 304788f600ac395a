"""How a mown edge moves between surveys: retreat, the area it costs, and the trend of several surveys."""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive


def disc_loss_share(radius, retreat):
    r"""
    Share of a round green that is gone once its edge has moved in.

    .. math:: 1 - \left( \frac{R - d}{R} \right)^2

    Parameters
    ----------
    radius
        Radius before. [m]
    retreat
        How far the edge has moved in, all round. [m]

    Returns
    -------
    Share of the area before. [-]

    Raises
    ------
    InputError
        An argument is below zero, the radius is zero, or the edge has moved in further than the middle.

    Notes
    -----
    Plain geometry; the worked example of source ``klein-maintenance-math``.

    Examples
    --------
    A radius of 44 ft that loses 3 in each year for twenty years:

    >>> print(f"{disc_loss_share(44 * 0.3048, 20 * 0.0762):.3f}")
    0.214
    """
    radius, retreat = positive("radius", radius, "m"), not_negative("retreat", retreat, "m")
    if np.any(retreat > radius):
        raise InputError("the edge cannot move in further than the middle: retreat is more than radius")
    return 1 - ((radius - retreat) / radius) ** 2


def mean_retreat(old_area, new_area, old_perimeter, new_perimeter):
    r"""
    How far an edge has moved in on the mean, from areas and perimeters alone.

    .. math:: d = \frac{A_0 - A_1}{(P_0 + P_1) / 2}

    Parameters
    ----------
    old_area, new_area
        Area before and after. [m2]
    old_perimeter, new_perimeter
        Length of the edge before and after. [m]

    Returns
    -------
    Retreat; below zero where the edge has moved out. [m]

    Raises
    ------
    InputError
        An area is below zero or a perimeter is not above zero.

    Notes
    -----
    The trapezoidal rule on :math:`dA = P \, \delta`. It is exact for a disc and for any convex shape whose edge moves
    parallel to itself without losing a corner: perimeters then change evenly with the distance (Steiner's formula).

    Examples
    --------
    A disc of 12 m radius that has lost 0.3 m all round:

    >>> import math
    >>> areas, edges = (math.pi * 12.0**2, math.pi * 11.7**2), (math.tau * 12.0, math.tau * 11.7)
    >>> print(f"{mean_retreat(*areas, *edges):.3f}")
    0.300
    """
    lost = not_negative("old area", old_area, "m2") - not_negative("new area", new_area, "m2")
    return 2 * lost / (positive("old perimeter", old_perimeter, "m") + positive("new perimeter", new_perimeter, "m"))


def difference_uncertainty(old_sd, new_sd):
    r"""
    Standard uncertainty of the difference of two surveys.

    .. math:: u = \sqrt{u_0^2 + u_1^2}

    Parameters
    ----------
    old_sd, new_sd
        Standard uncertainty of each survey. [same unit]

    Returns
    -------
    Standard uncertainty of their difference. [same unit]

    Raises
    ------
    InputError
        An argument is below zero.

    Notes
    -----
    GUM (source ``gum-2008``), for surveys that err independently of each other. Two surveys that share an error, such
    as one outline drawn over the other, differ by less than this says.

    Examples
    --------
    >>> print(difference_uncertainty(3.0, 4.0))
    5.0
    """
    return np.hypot(not_negative("old uncertainty", old_sd, ""), not_negative("new uncertainty", new_sd, ""))


def trend(years, values, sd):
    r"""
    Change a year over several surveys: the weighted least-squares line.

    .. math::

        b = \frac{\sum w_i (t_i - \bar t) y_i}{\sum w_i (t_i - \bar t)^2}, \qquad w_i = \frac{1}{u_i^2}, \qquad
        u_b^2 = \frac{\max(1, \chi^2 / (n - 2))}{\sum w_i (t_i - \bar t)^2}

    Parameters
    ----------
    years
        When each survey was made. [years] At least two different times.
    values
        What each found, such as areas. [any unit]
    sd
        Standard uncertainty of each. [same unit]

    Returns
    -------
    slope, slope_sd
        Change a year and its standard uncertainty. [unit/year]

    Raises
    ------
    InputError
        Fewer than two times, arrays of different lengths, or an uncertainty that is not above zero.

    Notes
    -----
    Uncertainties are those of the surveys. Where the values scatter about the line by more than these explain, the
    uncertainty of the slope is widened by the Birge ratio (source ``birge-1932``). With two surveys the slope is the
    difference over the time between.

    Examples
    --------
    >>> slope, slope_sd = trend([2019, 2023, 2026], [520.0, 508.0, 499.0], [3.0, 3.0, 3.0])
    >>> print(f"{slope:.2f} {slope_sd:.2f}")
    -3.00 0.60
    """
    times, found = np.asarray(years, dtype=float), np.asarray(values, dtype=float)
    weight = 1 / np.broadcast_to(positive("uncertainty", sd, ""), times.shape) ** 2
    if times.ndim != 1 or times.shape != found.shape or not np.isfinite([times, found]).all() or np.ptp(times) == 0:
        raise InputError("a trend needs years and values of the same number, from at least two different times")
    apart = times - np.average(times, weights=weight)
    spread = (weight * apart**2).sum()
    slope = (weight * apart * found).sum() / spread
    rest = found - np.average(found, weights=weight) - slope * apart
    birge = max(1.0, (weight * rest**2).sum() / (len(times) - 2)) if len(times) > 2 else 1.0
    return float(slope), float(np.sqrt(birge / spread))
