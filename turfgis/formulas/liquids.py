"""
Liquids by the area: volumes, whole tanks and the exact last one, product to the tank.

Arithmetic only. What may be applied, how much, how often and by whom is for the product's label, the law of the place
and a trained operator to say.
"""

import numpy as np

from turfgis.formulas.arguments import not_negative, positive, share_above_zero
from turfgis.formulas.packs import NOISE


def liquid_volume(area, volume_rate):
    r"""
    Liquid for an area: the spray as mixed, or the product alone.

    .. math:: A \, q

    Parameters
    ----------
    area
        Area treated. [m2]
    volume_rate
        Liquid to the unit area. [m3/m2]

    Returns
    -------
    Volume. [m3]

    Raises
    ------
    InputError
        An argument is below zero.

    Notes
    -----
    Definition of the rate; one litre to the hectare is 1e-7 m3/m2. The label decides the rate.

    Examples
    --------
    1.2 ha at 400 L/ha, in litres:

    >>> print(f"{1000 * liquid_volume(12_000, 400e-7):.0f}")
    480
    """
    return not_negative("area", area, "m2") * not_negative("volume rate", volume_rate, "m3/m2")


def tank_loads(volume, tank_volume):
    r"""
    Full tanks in a volume, and the exact volume of the last tank that is not full.

    .. math:: n = \lfloor V / V_t \rfloor, \qquad V - n V_t

    Parameters
    ----------
    volume
        Volume to apply. [m3]
    tank_volume
        Volume of a full tank. [m3]

    Returns
    -------
    A tuple: number of full tanks, an int or an array of ints [-]; volume of the last tank, 0 where the full ones are
    enough [m3].

    Raises
    ------
    InputError
        The volume is below zero, or the tank is not greater than zero.

    Notes
    -----
    A part of 1e-9 beside a whole number of tanks is float noise, as in `turfgis.formulas.packs.whole_packs`: it opens
    no further tank and empties no full one. What stays in pump and hoses is not counted.

    Examples
    --------
    480 L from a tank of 200 L, in litres:

    >>> full, last = tank_loads(0.480, 0.200)
    >>> print(f"{full} {1000 * last:.0f}")
    2 80
    """
    amount, tank = not_negative("volume", volume, "m3"), positive("tank volume", tank_volume, "m3")
    count = amount / tank
    nearest = np.rint(count)
    even = abs(count - nearest) <= NOISE * np.maximum(count, 1)
    full = np.where(even, nearest, np.floor(count)).astype(int)
    last = np.where(even, 0.0, amount - full * tank)
    return (int(full), float(last)) if full.ndim == 0 else (full, last)


def tank_area(tank_volume, volume_rate):
    r"""
    Area covered by a tank.

    .. math:: V_t / q

    Parameters
    ----------
    tank_volume
        Volume in the tank, full or not. [m3]
    volume_rate
        Spray to the unit area, as calibrated. [m3/m2]

    Returns
    -------
    Area. [m2]

    Raises
    ------
    InputError
        The volume is below zero, or the rate is not greater than zero.

    Notes
    -----
    Definition of the rate.

    Examples
    --------
    200 L at 400 L/ha:

    >>> print(f"{tank_area(0.200, 400e-7):.0f}")
    5000
    """
    return not_negative("tank volume", tank_volume, "m3") / positive("volume rate", volume_rate, "m3/m2")


def tank_dose(tank_volume, volume_rate, dose_rate):
    r"""
    Product to put into a tank.

    .. math:: \frac{V_t}{q} \, d

    Parameters
    ----------
    tank_volume
        Volume in the tank, full or not. [m3]
    volume_rate
        Spray to the unit area, as calibrated. [m3/m2]
    dose_rate
        Product to the unit area, by mass or by volume. [kg/m2 or m3/m2]

    Returns
    -------
    Product in the tank, in the unit of the dose. [kg or m3]

    Raises
    ------
    InputError
        Volume or dose is below zero, or the rate is not greater than zero.

    Notes
    -----
    Definition of the two rates. The label decides the dose and the least volume of water; where this figure and the
    label disagree, the label is right.

    Examples
    --------
    200 L at 400 L/ha with 2 L/ha of product, in litres:

    >>> print(f"{1000 * tank_dose(0.200, 400e-7, 2e-7):.1f}")
    1.0
    """
    return tank_area(tank_volume, volume_rate) * not_negative("dose rate", dose_rate, "")


def product_for_active(active_rate, active_share):
    r"""
    Rate of product that brings a rate of active ingredient.

    .. math:: r / c

    Parameters
    ----------
    active_rate
        Active ingredient wanted. [kg/m2]
    active_share
        Active ingredient in the product, as a share of its mass. [-]

    Returns
    -------
    Product to apply. [kg/m2]

    Raises
    ------
    InputError
        The rate is below zero, or the share is not above 0 and up to 1.

    Notes
    -----
    Definition of the declared share. For a content by volume see
    `turfgis.formulas.fertiliser.liquid_product_rate`. The label decides the rate.

    Examples
    --------
    2 kg/ha from an 80 % powder, in kg/ha:

    >>> print(f"{1e4 * product_for_active(2e-4, 0.80):.1f}")
    2.5
    """
    part = share_above_zero("active share", active_share)
    return not_negative("active rate", active_rate, "kg/m2") / part
