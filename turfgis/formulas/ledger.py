"""What a year adds up to on the ground: sand as a depth, overthrow beside an edge, nutrients to the area."""

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive
from turfgis.formulas.sand import layer_depth


def yearly_depth(dry_mass, area, bulk_density, years=1.0):
    r"""
    Depth of sand a year, from all that went on an area.

    .. math:: \frac{m}{A \rho \, n}

    Parameters
    ----------
    dry_mass
        Dry sand put on the area in those years, in holes and on the surface. [kg]
    area
        Area it went on. [m2]
    bulk_density
        Bulk density of the dry sand as placed. [kg/m3]
    years
        Number of years. [-]

    Returns
    -------
    Depth of an even layer, a year. [m]

    Raises
    ------
    InputError
        The mass is below zero, or another argument is not greater than zero.

    Notes
    -----
    Definition of bulk density. Sand in the holes of hollow tines takes the place of what was taken out, so it does not
    raise the surface: keep a ledger for each.

    Examples
    --------
    A hundred tonnes on a hectare, in millimetres:

    >>> print(f"{1000 * yearly_depth(100_000, 10_000, 1600):.2f}")
    6.25
    """
    mass = not_negative("dry mass", dry_mass, "kg") / positive("area", area, "m2")
    return layer_depth(mass, bulk_density) / positive("years", years, "")


def mass_beyond(mass, net_area, treated_area):
    r"""
    Mass that lands beyond the area it is meant for.

    .. math:: m \, \frac{A_{treated} - A_{net}}{A_{treated}}

    Parameters
    ----------
    mass
        Mass spread. [kg]
    net_area
        Area it is meant for. [m2]
    treated_area
        Area really covered, overthrow included. [m2]

    Returns
    -------
    Mass on the strip beyond the edge. [kg]

    Raises
    ------
    InputError
        The mass is below zero, an area is not greater than zero, or less is treated than is meant to be.

    Notes
    -----
    An even spread is assumed; near the edge a spinner throws less, and brushing and blowing carry more outwards.

    Examples
    --------
    Twelve tonnes meant for 1.0 ha but spread over 1.2 ha:

    >>> print(f"{mass_beyond(12_000, 10_000, 12_000):.0f}")
    2000
    """
    spread = not_negative("mass", mass, "kg")
    net, treated = positive("net area", net_area, "m2"), positive("treated area", treated_area, "m2")
    # A strip clipped to nothing leaves both areas equal but for the last digits.
    if (treated < net * (1 - 1e-9)).any():
        raise InputError(
            "treated area is smaller than net area; give the area covered with its overthrow, and check that the two "
            "are in the same unit and order"
        )
    return spread * (treated - net).clip(min=0) / treated


def edge_build_up(mass, strip_area, bulk_density):
    r"""
    Depth that sand thrown past an edge builds up on the strip beside it.

    .. math:: \frac{m}{A \rho}

    Parameters
    ----------
    mass
        Dry sand that lands on the strip: of one year, or of all years together. [kg]
    strip_area
        Area of the strip. [m2]
    bulk_density
        Bulk density of the dry sand as placed. [kg/m3]

    Returns
    -------
    Depth of an even layer. [m]

    Raises
    ------
    InputError
        The mass is below zero, or another argument is not greater than zero.

    Notes
    -----
    Definition of bulk density. Nothing is taken off for cores lifted from the strip.

    Examples
    --------
    Five tonnes on 1,500 square metres, in millimetres:

    >>> print(f"{1000 * edge_build_up(5000, 1500, 1600):.1f}")
    2.1
    """
    return layer_depth(not_negative("mass", mass, "kg") / positive("strip area", strip_area, "m2"), bulk_density)


def nutrient_load(mass, area):
    r"""
    Nutrient to the unit area, from a total.

    .. math:: m / A

    Parameters
    ----------
    mass
        Nutrient put on the area, of one application or of all together. [kg]
    area
        Area it went on: say beside the figure whether net or treated. [m2]

    Returns
    -------
    Nutrient to the unit area. [kg/m2] One kilogram to the hectare is 1e-4 kg/m2.

    Raises
    ------
    InputError
        The mass is below zero, or the area is not greater than zero.

    Notes
    -----
    Definition. Local rules may cap it in one application and in a year, and say on which area.

    Examples
    --------
    11.5 kg on 1.2 ha, in kilograms to the hectare:

    >>> print(f"{1e4 * nutrient_load(11.5, 12_000):.1f}")
    9.6
    """
    return not_negative("mass", mass, "kg") / positive("area", area, "m2")
