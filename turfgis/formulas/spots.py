"""Spots of disease, weed or wet ground, and how fast they grow."""

from turfgis.formulas.arguments import not_negative, positive


def weekly_growth(before, after, days):
    r"""
    How much a spot grows in a week.

    .. math:: 7 (A_2 - A_1) / t

    Parameters
    ----------
    before, after
        Size at two looks. [m2]
    days
        Days between them. [d]

    Returns
    -------
    Growth; below zero where it shrinks. [m2/week]

    Raises
    ------
    InputError
        A size is below zero, or there is no time between.

    Notes
    -----
    The slope of a straight line between two looks; says nothing of what lies before or behind them.

    Examples
    --------
    From 12 to 20 m2 in four weeks:

    >>> print(weekly_growth(12, 20, 28))
    2.0
    """
    was, now = not_negative("before", before, "m2"), not_negative("after", after, "m2")
    return 7.0 * (now - was) / positive("days", days, "d")
