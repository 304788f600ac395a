"""Holes made by tines: how much of the surface they open, how many there are, what they hold."""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive, share


def hole_area_share(diameter, spacing_along, spacing_across):
    r"""
    Share of the surface opened by one pass of tines.

    .. math:: \frac{\pi d^2 / 4}{s_1 s_2}

    Parameters
    ----------
    diameter
        Diameter of the hole, not the outside of the tine. [m]
    spacing_along, spacing_across
        Distance between hole centres in, and across, the direction of travel. [m]

    Returns
    -------
    Share of the surface. [-] The arguments are broadcast against each other.

    Raises
    ------
    InputError
        An argument is not greater than zero, or holes would overlap.

    Notes
    -----
    Plain geometry: circles on a rectangular grid. Hollow tines are sold by their outside diameter; which diameter is
    meant can change the answer nearly twofold.

    Examples
    --------
    Half-inch holes, two inches apart both ways:

    >>> print(f"{hole_area_share(0.0127, 0.0508, 0.0508):.2%}")
    4.91%
    """
    d = positive("hole diameter", diameter, "m")
    density = hole_density(spacing_along, spacing_across)
    closest = np.minimum(spacing_along, spacing_across)
    if np.any(d > closest):
        d, closest = (values[d > closest][0] for values in np.broadcast_arrays(d, closest))
        raise InputError(
            f"holes overlap: diameter {d:g} m is wider than the closest spacing {closest:g} m; "
            "check that both are in the same unit"
        )
    return np.pi * d**2 / 4 * density


def hole_density(spacing_along, spacing_across):
    r"""
    Number of holes on a square metre after one pass of tines.

    .. math:: \frac{1}{s_1 s_2}

    Parameters
    ----------
    spacing_along, spacing_across
        Distance between hole centres in, and across, the direction of travel. [m]

    Returns
    -------
    Holes to the square metre. [1/m2]

    Raises
    ------
    InputError
        A spacing is not greater than zero.

    Notes
    -----
    Plain geometry. Charts that count whole holes in a square foot round this figure.

    Examples
    --------
    >>> print(f"{hole_density(0.05, 0.05):.0f}")
    400
    """
    return 1 / (positive("spacing along", spacing_along, "m") * positive("spacing across", spacing_across, "m"))


def hole_volume(diameter, spacing_along, spacing_across, depth):
    r"""
    Volume opened by one pass of tines under a square metre of surface.

    .. math:: \frac{\pi d^2 / 4}{s_1 s_2} \, h

    Parameters
    ----------
    diameter
        Diameter of the hole, not the outside of the tine. [m]
    spacing_along, spacing_across
        Distance between hole centres in, and across, the direction of travel. [m]
    depth
        Depth of the holes. [m]

    Returns
    -------
    Volume to the square metre: the depth of an even layer that would fill the holes. [m3/m2 = m]

    Raises
    ------
    InputError
        An argument is not greater than zero (depth: below zero), or holes would overlap.

    Notes
    -----
    Plain geometry: upright cylinders that keep their shape. Solid tines push soil aside and holes close again, so the
    sand that goes in is a share of this, to be measured on site.

    Examples
    --------
    12 mm holes every 50 mm, 75 mm deep, in millimetres of sand over the whole surface:

    >>> print(f"{1000 * hole_volume(0.012, 0.05, 0.05, 0.075):.2f}")
    3.39
    """
    return hole_area_share(diameter, spacing_along, spacing_across) * not_negative("hole depth", depth, "m")


def combined_share(share_1, share_2):
    r"""
    Share of the surface opened by two passes whose holes fall on each other at random.

    .. math:: p_1 + p_2 - p_1 p_2

    Parameters
    ----------
    share_1, share_2
        Share of the surface opened by each pass alone. [-]

    Returns
    -------
    Share of the surface opened by one pass or both. [-]

    Raises
    ------
    InputError
        A share is outside 0 to 1.

    Notes
    -----
    Probability of the union of two independent events. The trade usually prints the plain sum ``share_1 + share_2``,
    which counts ground opened twice as if it were two places; the difference is ``share_1 * share_2``.

    Examples
    --------
    >>> print(f"{combined_share(0.10, 0.07):.3f}")
    0.163
    """
    p, q = share("first share", share_1), share("second share", share_2)
    return p + q - p * q
