"""Sand as a layer, as dry mass, and as it arrives: damp, with some lost in the yard."""

from turfgis.formulas.arguments import not_negative, positive


def layer_volume(area, depth):
    r"""
    Volume of a layer of even depth.

    .. math:: A \, h

    Parameters
    ----------
    area
        Area covered. [m2]
    depth
        Depth of the layer. [m]

    Returns
    -------
    Volume in place. [m3]

    Raises
    ------
    InputError
        An argument is below zero.

    Notes
    -----
    Plain geometry, without settling, bulking or loss.

    Examples
    --------
    Three millimetres on a green of 500 square metres:

    >>> print(f"{layer_volume(500, 0.003):.2f}")
    1.50
    """
    return not_negative("area", area, "m2") * not_negative("depth", depth, "m")


def layer_mass(depth, bulk_density):
    r"""
    Dry mass of a layer of sand on a square metre.

    .. math:: h \, \rho

    Parameters
    ----------
    depth
        Depth of the layer; for holes, the volume opened to the square metre. [m]
    bulk_density
        Bulk density of the dry sand as placed. [kg/m3]

    Returns
    -------
    Dry mass to the square metre. [kg/m2]

    Raises
    ------
    InputError
        The depth is below zero, or the density is not greater than zero.

    Notes
    -----
    Definition of bulk density. Loose and packed sand differ by a fifth and more: weigh a measured volume of the sand
    itself.

    Examples
    --------
    >>> print(f"{layer_mass(0.002, 1550):.2f}")
    3.10
    """
    return not_negative("depth", depth, "m") * positive("bulk density", bulk_density, "kg/m3")


def layer_depth(mass_per_area, bulk_density):
    r"""
    Depth of a layer of sand, from its dry mass on a square metre.

    .. math:: m / \rho

    Parameters
    ----------
    mass_per_area
        Dry mass to the square metre. [kg/m2]
    bulk_density
        Bulk density of the dry sand as placed. [kg/m3]

    Returns
    -------
    Depth of an even layer. [m]

    Raises
    ------
    InputError
        The mass is below zero, or the density is not greater than zero.

    Notes
    -----
    Definition of bulk density.

    Examples
    --------
    Ten tonnes on a hectare, in millimetres:

    >>> print(f"{1000 * layer_depth(1.0, 1600):.3f}")
    0.625
    """
    return not_negative("mass per area", mass_per_area, "kg/m2") / positive("bulk density", bulk_density, "kg/m3")


def delivered_mass(dry_mass, moisture, storage_loss):
    r"""
    Mass to order so that a dry mass reaches the turf.

    .. math:: m_{dry} (1 + w) (1 + l)

    Parameters
    ----------
    dry_mass
        Dry mass needed on the turf. [kg]
    moisture
        Water in the sand as delivered, as a share of its dry mass. [-]
    storage_loss
        Sand lost between delivery and use, as a share of what reaches the turf. [-]

    Returns
    -------
    Mass as delivered. [kg]

    Raises
    ------
    InputError
        An argument is below zero.

    Notes
    -----
    Definition of gravimetric moisture (water over dry solids), as soil laboratories state it. A supplier may state
    moisture on the wet mass instead: 5 % of the wet mass is 5.26 % of the dry.

    Examples
    --------
    >>> print(f"{delivered_mass(10_000, 0.05, 0.03):.0f}")
    10815
    """
    dry = not_negative("dry mass", dry_mass, "kg")
    return dry * (1 + not_negative("moisture", moisture, "")) * (1 + not_negative("storage loss", storage_loss, ""))


def dry_mass(delivered, moisture, storage_loss):
    r"""
    Dry mass that reaches the turf out of a mass delivered.

    .. math:: \frac{m}{(1 + w) (1 + l)}

    Parameters
    ----------
    delivered
        Mass as delivered. [kg]
    moisture
        Water in the sand as delivered, as a share of its dry mass. [-]
    storage_loss
        Sand lost between delivery and use, as a share of what reaches the turf. [-]

    Returns
    -------
    Dry mass on the turf. [kg]

    Raises
    ------
    InputError
        An argument is below zero.

    Notes
    -----
    The inverse of `delivered_mass`.

    Examples
    --------
    >>> print(f"{dry_mass(10_815, 0.05, 0.03):.0f}")
    10000
    """
    mass = not_negative("delivered mass", delivered, "kg")
    return mass / (1 + not_negative("moisture", moisture, "")) / (1 + not_negative("storage loss", storage_loss, ""))
