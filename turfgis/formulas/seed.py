"""Seed: what part of a bag can grow, and how much to sow for it."""

from turfgis.formulas.arguments import not_negative, share, share_above_zero


def pure_live_seed(purity, germination):
    r"""
    Share of a seed lot that is the kind named on the label and will germinate.

    .. math:: p \, g

    Parameters
    ----------
    purity
        Share of the mass that is seed of the kind named. [-]
    germination
        Share of that seed that germinates in the test. [-]

    Returns
    -------
    Pure live seed, as a share of the mass. [-]

    Raises
    ------
    InputError
        A share is outside 0 to 1.

    Notes
    -----
    Definition, as in Penn State, "Calculating the Price of Pure Live Seed" (source ``psu-pls``).

    Examples
    --------
    >>> print(f"{pure_live_seed(0.92, 0.80):.1%}")
    73.6%
    """
    return share("purity", purity) * share("germination", germination)


def sowing_rate(pure_live_rate, pure_live_share):
    r"""
    Rate of seed as it comes from the bag that sows a rate of pure live seed.

    .. math:: r_{live} / s

    Parameters
    ----------
    pure_live_rate
        Pure live seed wanted. [kg/m2]
    pure_live_share
        Pure live seed in the bag, as a share of the mass. [-]

    Returns
    -------
    Seed to sow. [kg/m2]

    Raises
    ------
    InputError
        The rate is below zero, or the share is not above 0 and up to 1.

    Notes
    -----
    Definition. Divide by the share that lives; adding the share that does not (20 % for 80 %) sows too little.

    Examples
    --------
    Ten grams of pure live seed to the square metre from a lot of 73.6 %, in grams:

    >>> print(f"{1000 * sowing_rate(0.010, 0.736):.1f}")
    13.6
    """
    live = share_above_zero("share of pure live seed", pure_live_share)
    return not_negative("rate of pure live seed", pure_live_rate, "kg/m2") / live
