"""Slits cut by the blades of a scarifier or verticutter: surface opened, volume taken out, debris to cart away."""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive


def slit_area_share(blade_width, spacing):
    r"""
    Share of the surface opened by one pass of blades.

    .. math:: b / s

    Parameters
    ----------
    blade_width
        Width of the slit that a blade leaves. [m]
    spacing
        Distance between the middles of neighbouring blades. [m]

    Returns
    -------
    Share of the surface. [-] The arguments are broadcast against each other.

    Raises
    ------
    InputError
        An argument is not greater than zero, or the blades are wider than their spacing.

    Notes
    -----
    Plain geometry: straight slits side by side. Two passes in different directions open the union of both, see
    `turfgis.formulas.tines.combined_share`; at right angles that is exact.

    Examples
    --------
    Blades of 3 mm, an inch apart:

    >>> print(f"{slit_area_share(0.003, 0.0254):.1%}")
    11.8%
    """
    blade, apart = positive("blade width", blade_width, "m"), positive("blade spacing", spacing, "m")
    if (blade > apart).any():
        wide, close = (values[blade > apart][0] for values in np.broadcast_arrays(blade, apart))
        raise InputError(
            f"slits overlap: blade width {wide:g} m is more than the blade spacing {close:g} m; "
            "check that both are in the same unit"
        )
    return blade / apart


def slit_length(spacing):
    r"""
    Length of slit cut in a square metre by one pass, which is also the number of blades to a metre of working width.

    .. math:: 1 / s

    Parameters
    ----------
    spacing
        Distance between the middles of neighbouring blades. [m]

    Returns
    -------
    Length to the square metre. [m/m2 = 1/m]

    Raises
    ------
    InputError
        The spacing is not greater than zero.

    Notes
    -----
    Plain geometry.

    Examples
    --------
    >>> print(f"{slit_length(0.025):.0f}")
    40
    """
    return 1 / positive("blade spacing", spacing, "m")


def slit_volume(blade_width, spacing, depth):
    r"""
    Volume opened by one pass of blades under a square metre of surface.

    .. math:: \frac{b}{s} \, h

    Parameters
    ----------
    blade_width
        Width of the slit that a blade leaves. [m]
    spacing
        Distance between the middles of neighbouring blades. [m]
    depth
        Depth of the slits below the surface, not below the height of cut. [m]

    Returns
    -------
    Volume to the square metre: the depth of an even layer that would fill the slits. [m3/m2 = m]

    Raises
    ------
    InputError
        An argument is not greater than zero (depth: below zero), or the blades are wider than their spacing.

    Notes
    -----
    Plain geometry: slits with upright sides that stay open. Sand goes into a share of this, to be measured on site.

    Examples
    --------
    Blades of 3 mm every 25 mm, 20 mm deep, in millimetres of sand over the whole surface:

    >>> print(f"{1000 * slit_volume(0.003, 0.025, 0.020):.1f}")
    2.4
    """
    return slit_area_share(blade_width, spacing) * not_negative("slit depth", depth, "m")


def debris_volume(area, blade_width, spacing, depth, loosening):
    r"""
    Loose volume of what one pass of blades throws up.

    .. math:: A \, \frac{b}{s} \, h \, f

    Parameters
    ----------
    area
        Area worked. [m2]
    blade_width
        Width of the slit that a blade leaves. [m]
    spacing
        Distance between the middles of neighbouring blades. [m]
    depth
        Depth of the slits below the surface. [m]
    loosening
        Loose volume of the debris over its volume in the ground. [-]

    Returns
    -------
    Loose volume to collect. [m3]

    Raises
    ------
    InputError
        An argument is not greater than zero (area, depth: below zero), or the blades are wider than their spacing.

    Notes
    -----
    Plain geometry. No published figure for the loosening of thatch was found, so none is offered: count trailers once.

    Examples
    --------
    One hectare, loosened to three times its volume in the ground:

    >>> print(f"{debris_volume(10_000, 0.003, 0.025, 0.020, 3):.0f}")
    72
    """
    volume = not_negative("area", area, "m2") * slit_volume(blade_width, spacing, depth)
    return volume * positive("loosening", loosening, "")
