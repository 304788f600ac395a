"""
How evenly water falls, from catch cans or from the cells of a grid.

All readings stand for the same area of ground. What a low figure means is for the turf to say; a can that was knocked
over is for a person to take out.
"""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive


def low_count(count, share):
    r"""
    How many of a number of cans make up the lowest share of them.

    .. math:: \max(1, \lfloor n s + 1/2 \rfloor)

    Parameters
    ----------
    count
        Number of cans. [-]
    share
        Share of them, such as a quarter. [-]

    Returns
    -------
    The nearest whole number of cans, halves upward, and never none. [-]

    Raises
    ------
    InputError
        An argument is not greater than zero.

    Notes
    -----
    Published examples round the quarter of 15 cans to 4 and that of 46 to 12 (source ``spreval-2022``); another
    publisher asks for a number divisible by four (source ``ucdavis-du``), which needs no rule. The rule matters: 3 cans
    in place of 4 move the first example from 50 % to 40 %.

    Examples
    --------
    >>> low_count(15, 0.25), low_count(46, 0.25), low_count(36, 0.25)
    (4, 12, 9)
    """
    nearest = np.floor(positive("count", count, "") * positive("share", share, "") + 0.5)
    whole = np.maximum(nearest, 1).astype(int)
    return int(whole) if np.ndim(whole) == 0 else whole


def low_quarter_uniformity(depths):
    r"""
    Distribution uniformity of the lower quarter.

    .. math:: \mathrm{DU} = \bar d_{1/4} / \bar d

    Parameters
    ----------
    depths
        Depths, rates or volumes of cans, a row of them. [any one unit]

    Returns
    -------
    Mean of the lowest quarter as a share of the mean of all. [-]

    Raises
    ------
    InputError
        There are no readings, one is below zero, or all are nothing.

    Notes
    -----
    How many cans a quarter is, is said by `low_count`.

    Examples
    --------
    >>> print(f"{low_quarter_uniformity([8, 10, 11, 11]):.2f}")
    0.80
    """
    return _low_mean(depths, 0.25)


def low_half_uniformity(depths):
    r"""
    Distribution uniformity of the lower half.

    .. math:: \mathrm{DU} = \bar d_{1/2} / \bar d

    Parameters
    ----------
    depths
        Depths, rates or volumes of cans, a row of them. [any one unit]

    Returns
    -------
    Mean of the lower half as a share of the mean of all. [-]

    Raises
    ------
    InputError
        There are no readings, one is below zero, or all are nothing.

    Notes
    -----
    How many cans a half is, is said by `low_count`.

    Examples
    --------
    >>> print(f"{low_half_uniformity([8, 10, 11, 11]):.2f}")
    0.90
    """
    return _low_mean(depths, 0.5)


def christiansen_uniformity(depths):
    r"""
    Christiansen's coefficient of uniformity.

    .. math:: \mathrm{CU} = 1 - \frac{\sum |d_i - \bar d|}{n \bar d}

    Parameters
    ----------
    depths
        Depths, rates or volumes of cans, a row of them. [any one unit]

    Returns
    -------
    The coefficient; below zero where most of the water falls in a few places. [-]

    Raises
    ------
    InputError
        There are no readings, one is below zero, or all are nothing.

    Notes
    -----
    As in source ``spreval-2022``.

    Examples
    --------
    >>> print(f"{christiansen_uniformity([8, 10, 11, 11]):.2f}")
    0.90
    """
    known, mean = _row(depths)
    return float(1 - np.abs(known - mean).mean() / mean)


def scheduling_coefficient(mean, driest):
    r"""
    How much longer to run so that the driest place gets what the mean was to get.

    .. math:: \bar d / d_{\min}

    Parameters
    ----------
    mean
        Mean of all readings. [any one unit]
    driest
        Reading of the driest place. [the same]

    Returns
    -------
    The factor; 1 where water falls evenly. [-]

    Raises
    ------
    InputError
        The mean is below zero, or the driest place gets nothing.

    Notes
    -----
    As in source ``scheduling-page``. How large the driest place is taken changes the figure: say it beside it.

    Examples
    --------
    >>> print(f"{scheduling_coefficient(12.0, 7.0):.2f}")
    1.71
    """
    return not_negative("mean", mean, "") / positive("driest", driest, "")


def _row(depths):
    known = np.atleast_1d(not_negative("depth", depths, ""))
    if known.ndim != 1 or known.size == 0:
        raise InputError("uniformity needs a row of readings, one for each can")
    mean = known.mean()
    if mean == 0:
        raise InputError("no can caught any water, so nothing can be said of how evenly it falls")
    return known, mean


def _low_mean(depths, share):
    known, mean = _row(depths)
    count = low_count(known.size, share)
    return float(np.partition(known, count - 1)[:count].mean() / mean)
