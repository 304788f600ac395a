"""Money over the years, and the lines a budget adds to its sum: contingency and tax."""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, share


def grown_price(price, growth, years):
    r"""
    Price after some years of compound growth.

    .. math:: p (1 + g)^n

    Parameters
    ----------
    price
        Price now. [money]
    growth
        Growth a year, as a share: 0.03 for 3 %, -0.02 where prices fall by 2 %. [-]
    years
        Number of years, whole or not. [-]

    Returns
    -------
    Price then. [money]

    Raises
    ------
    InputError
        Price or years are below zero, or the growth is not above -1.

    Notes
    -----
    Compound growth as in tables of the future value of one (source ``future-value-table``). A growth is an
    assumption of the reader's; none is offered.

    Examples
    --------
    >>> print(f"{grown_price(42, 0.03, 2):.2f}")
    44.56
    """
    now, n = not_negative("price", price, ""), not_negative("years", years, "")
    return now * (1 + _growth(growth)) ** n


def contingency_sum(cost, contingency):
    r"""
    Money set aside for what cannot be foreseen.

    .. math:: c \, s

    Parameters
    ----------
    cost
        Cost planned. [money]
    contingency
        Contingency, as a share of the cost planned. [-]

    Returns
    -------
    Money to set aside, on top of the cost. [money]

    Raises
    ------
    InputError
        The cost is below zero, or the share is outside 0 to 1.

    Notes
    -----
    Definition. The share is the committee's to choose.

    Examples
    --------
    >>> print(f"{contingency_sum(80_000, 0.05):.0f}")
    4000
    """
    return not_negative("cost", cost, "") * share("contingency", contingency)


def tax_sum(net, tax_rate):
    r"""
    Tax that is added to a net sum.

    .. math:: c \, t

    Parameters
    ----------
    net
        Sum before tax. [money]
    tax_rate
        Rate of the tax, as a share of the sum before tax. [-]

    Returns
    -------
    Tax, on top of the net sum. [money]

    Raises
    ------
    InputError
        The sum is below zero, or the rate is outside 0 to 1.

    Notes
    -----
    Definition of a tax on the net price (source ``hmrc-vat``). Whether a club bears it or claims it back is for its
    accountant to say.

    Examples
    --------
    >>> print(f"{tax_sum(100, 0.20):.2f}")
    20.00
    """
    return not_negative("net sum", net, "") * share("tax rate", tax_rate)


def net_of_tax(gross, tax_rate):
    r"""
    Net sum in a sum that holds the tax.

    .. math:: \frac{c}{1 + t}

    Parameters
    ----------
    gross
        Sum with tax. [money]
    tax_rate
        Rate of the tax, as a share of the sum before tax. [-]

    Returns
    -------
    Sum before tax. [money]

    Raises
    ------
    InputError
        The sum is below zero, or the rate is outside 0 to 1.

    Notes
    -----
    The inverse of adding `tax_sum`: a tax of 20 % is a sixth of the gross, not a fifth.

    Examples
    --------
    >>> print(f"{net_of_tax(120, 0.20):.2f}")
    100.00
    """
    return not_negative("gross sum", gross, "") / (1 + share("tax rate", tax_rate))


def _growth(growth):
    try:
        rate = np.asarray(growth)
    except ValueError:  # ragged lists
        rate = np.asarray(None)
    if rate.dtype.kind not in "iuf" or not (np.isfinite(rate) & (rate > -1)).all():
        raise InputError(
            f"price growth must be a share above -1 (3 % is 0.03, a fall of 2 % is -0.02), but it is {growth!r}"
        )
    return rate.astype(float)[()]
