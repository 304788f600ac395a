"""
How fast water is put on, how long to run for a depth, and in how many cycles, so that it goes in where it falls.

Arithmetic only. What may be taken, and when, is said by the licence and the regulator.
"""

import numpy as np

from turfgis.formulas.arguments import not_negative, positive, share_above_zero
from turfgis.formulas.packs import NOISE


def precipitation_rate(flow, area):
    r"""
    Mean depth that falls on some ground in a time.

    .. math:: Q / A

    Parameters
    ----------
    flow
        Flow of all heads that water the ground, or of one head. [m3/s]
    area
        That ground; or what belongs to one head: distance in the row times distance between rows, square or triangular
        alike, since the rows of a triangular layout stand nearer together. [m2]

    Returns
    -------
    Rate. [m/s]

    Raises
    ------
    InputError
        The flow is below zero, or the area is not greater than zero.

    Notes
    -----
    Definition: a litre on a square metre is a millimetre. One US gallon a minute on a square foot is 96.25 inches an
    hour, exactly.

    Examples
    --------
    Heads of 2.4 m3/h, 18 by 18 metres apart, in mm/h:

    >>> print(f"{3.6e6 * precipitation_rate(2.4 / 3600, 18 * 18):.1f}")
    7.4
    """
    return not_negative("flow", flow, "m3/s") / positive("area", area, "m2")


def run_time(depth, rate, uniformity):
    r"""
    Time to run for a depth.

    .. math:: \frac{d}{p \, u}

    Parameters
    ----------
    depth
        Depth that is wanted. [m]
    rate
        Precipitation rate. [m/s]
    uniformity
        Share of the mean that the depth is to hold for: the lower-quarter uniformity where the dry quarter is to get
        the depth in its mean, 1 where the mean of all ground is. [-]

    Returns
    -------
    Time. [s]

    Raises
    ------
    InputError
        The depth is below zero, the rate is not greater than zero, or the uniformity not a share above zero.

    Notes
    -----
    Source ``irrigation-handbook`` has it with an efficiency in place of the uniformity.

    Examples
    --------
    10 mm at 20 mm/h, in minutes; and with a uniformity of 75 %:

    >>> print(f"{run_time(0.010, 0.020 / 3600, 1) / 60:.0f} {run_time(0.010, 0.020 / 3600, 0.75) / 60:.0f}")
    30 40
    """
    applied = positive("rate", rate, "m/s") * share_above_zero("uniformity", uniformity)
    return not_negative("depth", depth, "m") / applied


def longest_cycle(rate, intake, standing):
    r"""
    How long water may fall at a stretch before it runs off.

    .. math:: \frac{s}{p - i} \quad (p > i), \qquad \infty \quad (p \le i)

    Parameters
    ----------
    rate
        Precipitation rate. [m/s]
    intake
        Rate at which the ground takes water in. [m/s]
    standing
        Depth that may stand on the ground before it runs off; less on a slope. [m]

    Returns
    -------
    Time; without end where the ground takes in all that falls. [s]

    Raises
    ------
    InputError
        Rate or intake is not greater than zero, or the depth standing is below zero.

    Notes
    -----
    Balance of what falls and what goes in, at a steady intake; the ground takes in more when it is dry, so that this is
    on the safe side. Intake and standing depth are measured on the spot: none are offered here.

    Examples
    --------
    14 mm/h on ground that takes 8 mm/h in and lets 1 mm stand, in minutes:

    >>> print(f"{longest_cycle(0.014 / 3600, 0.008 / 3600, 0.001) / 60:.0f}")
    10
    """
    excess = positive("rate", rate, "m/s") - positive("intake", intake, "m/s")
    depth = not_negative("standing depth", standing, "m")
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(excess > 0, depth / np.where(excess > 0, excess, 1.0), np.inf)[()]


def cycle_count(time, longest):
    r"""
    In how many equal cycles a run is parted.

    .. math:: \lceil t / c \rceil

    Parameters
    ----------
    time
        Time of the whole run. [s]
    longest
        Longest time at a stretch. [s]

    Returns
    -------
    Whole number of cycles; none where there is nothing to run. [-]

    Raises
    ------
    InputError
        The time is below zero, or the longest cycle is not greater than zero.

    Notes
    -----
    A part of 1e-9 above a whole number is float noise and opens no further cycle.

    Examples
    --------
    >>> cycle_count(25 * 60, 10 * 60), cycle_count(20 * 60, 10 * 60)
    (3, 2)
    """
    cycles = not_negative("time", time, "s") / positive("longest cycle", longest, "s")
    whole = np.ceil(cycles * (1 - NOISE)).astype(int)
    return int(whole) if np.ndim(whole) == 0 else whole


def soak_time(cycle, rate, intake):
    r"""
    How long the ground needs after a cycle until nothing stands on it.

    .. math:: \max\Big(0, \frac{(p - i) \, c}{i}\Big)

    Parameters
    ----------
    cycle
        Time of one cycle. [s]
    rate
        Precipitation rate. [m/s]
    intake
        Rate at which the ground takes water in. [m/s]

    Returns
    -------
    Time from the end of a cycle to the start of the next. [s]

    Raises
    ------
    InputError
        The cycle is below zero, or a rate is not greater than zero.

    Notes
    -----
    Same balance as `longest_cycle`: what has fallen and has not gone in goes in at the intake.

    Examples
    --------
    Ten minutes of 14 mm/h on ground that takes 8 mm/h in, in minutes:

    >>> print(f"{soak_time(600, 0.014 / 3600, 0.008 / 3600) / 60:.1f}")
    7.5
    """
    taken = positive("intake", intake, "m/s")
    left = np.maximum(positive("rate", rate, "m/s") - taken, 0.0)
    return left * not_negative("cycle", cycle, "s") / taken
