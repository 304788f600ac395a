"""Fuel that an engine burns, where nobody has measured it: published equations of farm machinery."""

import numpy as np

from turfgis.formulas.arguments import positive, share_above_zero

_L_PER_KWH = 1e-3 / 3.6e6  # m3/J
_AVERAGE = {"diesel": 0.223, "petrol": 0.223 * 0.060 / 0.044}  # l/kWh of rated power


def diesel_rate_average(power):
    r"""
    Diesel burnt in an hour of mixed work, by rated power alone.

    .. math:: 0.223 \, P

    with *P* in kW and the result in l/h.

    Parameters
    ----------
    power
        Rated power at the shaft. [W]

    Returns
    -------
    Fuel in a unit of time. [m3/s]

    Raises
    ------
    InputError
        The power is not greater than zero.

    Notes
    -----
    ASAE EP496.3, clause 6.3.2.1, by way of R. Grisso (source ``grisso-fuel``); in the US 0.044 US gal an hour for each
    horsepower (``isu-a3-29``). An average over a year of work and idling: steady hard work burns more
    (:func:`diesel_rate_at_load`), and logs of small mowers show half of it.

    Examples
    --------
    A mower of 18 kW, in litres an hour:

    >>> print(f"{diesel_rate_average(18e3) * 3.6e6:.1f}")
    4.0
    """
    return positive("power", power, "W") * _AVERAGE["diesel"] * _L_PER_KWH


def petrol_rate_average(power):
    r"""
    Petrol burnt in an hour of mixed work, by rated power alone.

    .. math:: 0.223 \, \frac{0.060}{0.044} \, P

    with *P* in kW and the result in l/h.

    Parameters
    ----------
    power
        Rated power at the shaft. [W]

    Returns
    -------
    Fuel in a unit of time. [m3/s]

    Raises
    ------
    InputError
        The power is not greater than zero.

    Notes
    -----
    Iowa State University Extension (source ``isu-a3-29``): 0.060 US gal an hour for each horsepower where diesel takes
    0.044; here in the ratio of the two to the metric figure for diesel.

    Examples
    --------
    A pedestrian mower of 4 kW, in litres an hour:

    >>> print(f"{petrol_rate_average(4e3) * 3.6e6:.1f}")
    1.2
    """
    return positive("power", power, "W") * _AVERAGE["petrol"] * _L_PER_KWH


def diesel_rate_at_load(power, load):
    r"""
    Diesel burnt in an hour at a known load.

    .. math:: \left(2.64 X + 3.91 - 0.203 \sqrt{738 X + 173}\right) X P

    with *P* in kW and the result in l/h.

    Parameters
    ----------
    power
        Rated power at the shaft. [W]
    load
        Share *X* of the rated power that is in use. [-]

    Returns
    -------
    Fuel in a unit of time. [m3/s]

    Raises
    ------
    InputError
        The power is not greater than zero, or the load is not above 0 and up to 1.

    Notes
    -----
    ASAE D497, fuel clause of the older text (source ``asae-d497-fuel``), which gives the bracket in l/kWh of the power
    in use; in US units with rounded figures by ``msu-fuel``, whose worksheet pairs it with a load of 0.6 for light and
    0.7 for heavy work.

    Examples
    --------
    A mower of 18 kW at half its power, in litres an hour:

    >>> print(f"{diesel_rate_at_load(18e3, 0.5) * 3.6e6:.1f}")
    4.5
    """
    rated, used = positive("power", power, "W"), share_above_zero("load", load)
    return (2.64 * used + 3.91 - 0.203 * np.sqrt(738 * used + 173)) * used * rated * _L_PER_KWH


def petrol_rate_at_load(power, load):
    r"""
    Petrol burnt in an hour at a known load.

    .. math:: \left(2.74 X + 3.15 - 0.203 \sqrt{697 X}\right) X P

    with *P* in kW and the result in l/h.

    Parameters
    ----------
    power
        Rated power at the shaft. [W]
    load
        Share *X* of the rated power that is in use. [-]

    Returns
    -------
    Fuel in a unit of time. [m3/s]

    Raises
    ------
    InputError
        The power is not greater than zero, or the load is not above 0 and up to 1.

    Notes
    -----
    ASAE D497, fuel clause of the older text (source ``asae-d497-fuel``), from memory; it agrees with the US form of
    ``msu-fuel``, 0.54 X + 0.62 - 0.04 sqrt(697 X) US gal/(hp h), to the last digit of its figures.

    Examples
    --------
    A pedestrian mower of 4 kW at six tenths of its power, in litres an hour:

    >>> print(f"{petrol_rate_at_load(4e3, 0.6) * 3.6e6:.1f}")
    1.5
    """
    rated, used = positive("power", power, "W"), share_above_zero("load", load)
    return (2.74 * used + 3.15 - 0.203 * np.sqrt(697 * used)) * used * rated * _L_PER_KWH
