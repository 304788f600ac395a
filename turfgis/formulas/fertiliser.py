"""Fertiliser: product from nutrient and back, granular or liquid, and elements from the oxides on a label."""

from types import MappingProxyType

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive, share, share_above_zero

# Standard atomic weights, abridged or conventional values (source "iupac-2021"), g/mol.
OXYGEN, MAGNESIUM, PHOSPHORUS, SULPHUR, POTASSIUM, CALCIUM = 15.999, 24.305, 30.973762, 32.06, 39.0983, 40.078

# Mass of the element in a unit mass of the oxide that labels declare.
ELEMENT_SHARE = MappingProxyType(
    {
        "P2O5": 2 * PHOSPHORUS / (2 * PHOSPHORUS + 5 * OXYGEN),
        "K2O": 2 * POTASSIUM / (2 * POTASSIUM + OXYGEN),
        "MgO": MAGNESIUM / (MAGNESIUM + OXYGEN),
        "CaO": CALCIUM / (CALCIUM + OXYGEN),
        "SO3": SULPHUR / (SULPHUR + 3 * OXYGEN),
    }
)


def product_rate(nutrient_rate, content):
    r"""
    Rate of product that brings a rate of nutrient.

    .. math:: r_n / c

    Parameters
    ----------
    nutrient_rate
        Nutrient wanted. [kg/m2]
    content
        Nutrient in the product, as a share of its mass. [-]

    Returns
    -------
    Product to spread. [kg/m2]

    Raises
    ------
    InputError
        The rate is below zero, or the content is not above 0 and up to 1.

    Notes
    -----
    Definition of the declared content. Local rules may cap the nutrient in one application and in a year.

    Examples
    --------
    Three grams of nitrogen to the square metre from a 12 % product, in grams:

    >>> print(f"{1000 * product_rate(0.003, 0.12):.1f}")
    25.0
    """
    part = share_above_zero("nutrient content", content)
    return not_negative("nutrient rate", nutrient_rate, "kg/m2") / part


def nutrient_rate(product_rate, content):
    r"""
    Rate of nutrient brought by a rate of product.

    .. math:: r_p \, c

    Parameters
    ----------
    product_rate
        Product spread. [kg/m2]
    content
        Nutrient in the product, as a share of its mass. [-]

    Returns
    -------
    Nutrient on the ground. [kg/m2]

    Raises
    ------
    InputError
        The rate is below zero, or the content is outside 0 to 1.

    Notes
    -----
    Definition of the declared content.

    Examples
    --------
    25 g/m2 of a 5 % product, in kilograms to the hectare:

    >>> print(f"{10_000 * nutrient_rate(0.025, 0.05):.1f}")
    12.5
    """
    return not_negative("product rate", product_rate, "kg/m2") * share("nutrient content", content)


def weight_in_volume(content, density):
    r"""
    Nutrient in a unit volume of a liquid, from its content by mass.

    .. math:: c \, \rho

    Parameters
    ----------
    content
        Nutrient in the liquid, as a share of its mass. [-]
    density
        Density of the liquid. [kg/m3]

    Returns
    -------
    Mass of nutrient in a unit volume. [kg/m3] One per cent weight in volume (1 g in 100 mL) is 10 kg/m3.

    Raises
    ------
    InputError
        The content is outside 0 to 1, or the density is not greater than zero.

    Notes
    -----
    Definition. Labels of liquids state either content by mass or weight in volume; the two differ by the density.

    Examples
    --------
    28 % by mass in a liquid of 1270 kg/m3:

    >>> print(f"{weight_in_volume(0.28, 1270):.1f}")
    355.6
    """
    return share("nutrient content", content) * positive("density", density, "kg/m3")


def liquid_nutrient_rate(volume_rate, concentration):
    r"""
    Rate of nutrient brought by a rate of liquid product.

    .. math:: q \, c_V

    Parameters
    ----------
    volume_rate
        Liquid product applied, without the water it is mixed into. [m3/m2]
    concentration
        Nutrient in a unit volume of the product: weight in volume. [kg/m3]

    Returns
    -------
    Nutrient on the ground. [kg/m2]

    Raises
    ------
    InputError
        An argument is below zero.

    Notes
    -----
    Definition of weight in volume. One litre to the hectare is 1e-7 m3/m2.

    Examples
    --------
    40 L/ha of a product of 18 % weight in volume, in kilograms to the hectare:

    >>> print(f"{10_000 * liquid_nutrient_rate(40e-7, 180):.1f}")
    7.2
    """
    strength = not_negative("concentration", concentration, "kg/m3")
    return not_negative("volume rate", volume_rate, "m3/m2") * strength


def liquid_product_rate(nutrient_rate, concentration):
    r"""
    Rate of liquid product that brings a rate of nutrient.

    .. math:: r_n / c_V

    Parameters
    ----------
    nutrient_rate
        Nutrient wanted. [kg/m2]
    concentration
        Nutrient in a unit volume of the product: weight in volume. [kg/m3]

    Returns
    -------
    Liquid product to apply, without the water it is mixed into. [m3/m2]

    Raises
    ------
    InputError
        The rate is below zero, or the concentration is not greater than zero.

    Notes
    -----
    The inverse of `liquid_nutrient_rate`.

    Examples
    --------
    7.2 kg/ha from 18 % weight in volume, in litres to the hectare:

    >>> print(f"{1e7 * liquid_product_rate(0.00072, 180):.0f}")
    40
    """
    strength = positive("concentration", concentration, "kg/m3")
    return not_negative("nutrient rate", nutrient_rate, "kg/m2") / strength


def element_from_oxide(oxide, mass):
    r"""
    Mass of the element in a mass declared as its oxide.

    .. math:: m \, \frac{n M_{el}}{M_{oxide}}

    Parameters
    ----------
    oxide
        "P2O5", "K2O", "MgO", "CaO" or "SO3".
    mass
        Mass declared as the oxide; any unit of mass, or a rate or share. [kg]

    Returns
    -------
    Mass of phosphorus, potassium, magnesium, calcium or sulphur, in the unit given. [kg]

    Raises
    ------
    InputError
        The oxide is not one of the five, or the mass is below zero.

    Notes
    -----
    Stoichiometry with the standard atomic weights (source ``iupac-2021``). The trade's 0.44 for phosphate is 0.8 %
    high.

    Examples
    --------
    >>> print(f"{element_from_oxide('P2O5', 100):.2f} {element_from_oxide('K2O', 100):.2f}")
    43.64 83.02
    """
    if oxide not in ELEMENT_SHARE:
        raise InputError(f"no factor is kept for oxide {oxide!r}; use one of {', '.join(ELEMENT_SHARE)}")
    return not_negative("mass", mass, "kg") * ELEMENT_SHARE[oxide]
