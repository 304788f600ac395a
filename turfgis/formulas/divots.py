"""Divot mix: how much is wanted, and what it holds of sand and seed."""

from turfgis.formulas.arguments import not_negative, positive, share


def worn_mix_volume(area, worn_share, depth):
    r"""
    Volume of mix that fills the worn part of an area.

    .. math:: A \, w \, h

    Parameters
    ----------
    area
        Whole area, of a tee for instance. [m2]
    worn_share
        Share of the area that is torn open. [-]
    depth
        Mean depth of the divots. [m]

    Returns
    -------
    Volume of mix in place. [m3]

    Raises
    ------
    InputError
        Area or depth is below zero, or the share is outside 0 to 1.

    Notes
    -----
    Plain geometry. No firm published figure for wear was found: measure a few square metres.

    Examples
    --------
    A tenth of 400 square metres, 15 mm deep, in litres:

    >>> print(f"{1000 * worn_mix_volume(400, 0.10, 0.015):.0f}")
    600
    """
    worn = not_negative("area", area, "m2") * share("worn share", worn_share)
    return worn * not_negative("divot depth", depth, "m")


def mix_for_rounds(rounds, mix_per_round):
    r"""
    Mix used by a number of rounds played.

    .. math:: n \, q

    Parameters
    ----------
    rounds
        Rounds played. [-]
    mix_per_round
        Mix used in a round, by volume or by mass: the club's own figure. [m3 or kg]

    Returns
    -------
    Mix used, in the unit of the figure given. [m3 or kg]

    Raises
    ------
    InputError
        An argument is below zero.

    Notes
    -----
    Plain count. No firm published figure for a round was found, so none is offered: divide what was filled in a season
    by the rounds played in it.

    Examples
    --------
    2,100 rounds with a quarter of a litre each, in litres:

    >>> print(f"{mix_for_rounds(2100, 0.25):.0f}")
    525
    """
    return not_negative("rounds", rounds, "") * not_negative("mix per round", mix_per_round, "")


def sand_and_seed(mix, sand_parts, seed_parts):
    r"""
    Sand and seed in a mix, both counted in what the parts are counted in.

    .. math:: m \, \frac{a}{a + b}, \qquad m \, \frac{b}{a + b}

    Parameters
    ----------
    mix
        Mix wanted: a volume where the parts are by volume, a mass where they are by weight. [m3 or kg]
    sand_parts, seed_parts
        Parts of sand and of seed. [-]

    Returns
    -------
    A tuple: sand, seed, in the unit of the mix. [m3 or kg]

    Raises
    ------
    InputError
        Mix or seed parts are below zero, or sand parts are not greater than zero.

    Notes
    -----
    Definition of a ratio. Volumes are taken to add up; fine seed slips between the grains of sand, so a real mix
    fills a little less.

    Examples
    --------
    Half a cubic metre at four to one, in litres:

    >>> sand, seed = sand_and_seed(0.5, 4, 1)
    >>> print(f"{1000 * sand:.0f} {1000 * seed:.0f}")
    400 100
    """
    amount = not_negative("mix", mix, "")
    sand, seed = positive("sand parts", sand_parts, ""), not_negative("seed parts", seed_parts, "")
    return amount * sand / (sand + seed), amount * seed / (sand + seed)


def masses_by_volume(mix_volume, sand_parts, seed_parts, sand_density, seed_density):
    r"""
    Masses of sand and seed for a volume of mix whose parts are by volume.

    .. math:: V \, \frac{a}{a + b} \, \rho_a, \qquad V \, \frac{b}{a + b} \, \rho_b

    Parameters
    ----------
    mix_volume
        Volume of mix wanted. [m3]
    sand_parts, seed_parts
        Parts of sand and of seed, by volume. [-]
    sand_density, seed_density
        Bulk densities, as they lie in the bucket. [kg/m3]

    Returns
    -------
    A tuple: mass of sand [kg], mass of seed [kg].

    Raises
    ------
    InputError
        Volume or seed parts are below zero, or another argument is not greater than zero.

    Notes
    -----
    Definition of bulk density; volumes are taken to add up, as in `sand_and_seed`.

    Examples
    --------
    >>> sand, seed = masses_by_volume(0.5, 4, 1, 1550, 350)
    >>> print(f"{sand:.0f} {seed:.0f}")
    620 35
    """
    sand, seed = sand_and_seed(not_negative("mix volume", mix_volume, "m3"), sand_parts, seed_parts)
    return sand * positive("sand density", sand_density, "kg/m3"), seed * positive(
        "seed density", seed_density, "kg/m3"
    )


def masses_by_weight(mix_volume, sand_parts, seed_parts, sand_density, seed_density):
    r"""
    Masses of sand and seed for a volume of mix whose parts are by weight.

    .. math:: m_a = a \, q, \quad m_b = b \, q, \qquad q = \frac{V}{a / \rho_a + b / \rho_b}

    Parameters
    ----------
    mix_volume
        Volume of mix wanted. [m3]
    sand_parts, seed_parts
        Parts of sand and of seed, by weight. [-]
    sand_density, seed_density
        Bulk densities, as they lie in the bucket. [kg/m3]

    Returns
    -------
    A tuple: mass of sand [kg], mass of seed [kg].

    Raises
    ------
    InputError
        Volume or seed parts are below zero, or another argument is not greater than zero.

    Notes
    -----
    Definition of bulk density; volumes are taken to add up, as in `sand_and_seed`. Seed is light: four to one by
    weight holds far more seed than four to one by volume.

    Examples
    --------
    >>> sand, seed = masses_by_weight(0.5, 4, 1, 1550, 350)
    >>> print(f"{sand:.0f} {seed:.0f}")
    368 92
    """
    volume = not_negative("mix volume", mix_volume, "m3")
    sand, seed = positive("sand parts", sand_parts, ""), not_negative("seed parts", seed_parts, "")
    filled = sand / positive("sand density", sand_density, "kg/m3")
    filled = filled + seed / positive("seed density", seed_density, "kg/m3")
    return volume / filled * sand, volume / filled * seed
