"""What the air takes from well-watered reference grass: Penman-Monteith and Hargreaves, as FAO-56 gives them."""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import finite, not_negative, positive, temperature
from turfgis.formulas.arguments import share as a_share
from turfgis.formulas.sunshine import temperature_range

EVAPORATED = 0.408e-9  # m of water that 1 J/m2 evaporates: 1 / 2.45 MJ/kg, as FAO-56 prints it
LEAST_WIND = 0.5  # m/s


def saturation_vapour_pressure(air):
    """
    Vapour pressure of saturated air; of the air itself at its dew point.

    Parameters
    ----------
    air
        Temperature. [degC]

    Returns
    -------
    Pressure. [Pa]

    Raises
    ------
    InputError
        A temperature does not occur on earth.

    Notes
    -----
    Equation 11 of FAO-56, source ``fao-56``.

    Examples
    --------
    >>> print(f"{saturation_vapour_pressure(24.5):.0f}")
    3075
    """
    warm = temperature("temperature", air)
    return 610.8 * np.exp(17.27 * warm / (warm + 237.3))


def saturation_slope(air):
    """
    How fast the pressure of saturation grows with temperature.

    Parameters
    ----------
    air
        Temperature. [degC]

    Returns
    -------
    Slope. [Pa/K]

    Raises
    ------
    InputError
        A temperature does not occur on earth.

    Notes
    -----
    Equation 13 of FAO-56, source ``fao-56``.

    Examples
    --------
    >>> print(f"{saturation_slope(16.9):.0f}")
    122
    """
    return 4098 * saturation_vapour_pressure(air) / (np.asarray(air, dtype=float)[()] + 237.3) ** 2


def air_pressure(height):
    """
    Pressure of the air at a height.

    Parameters
    ----------
    height
        Above the sea. [m]

    Returns
    -------
    Pressure. [Pa]

    Raises
    ------
    InputError
        The height is beyond any ground.

    Notes
    -----
    Equation 7 of FAO-56, source ``fao-56``.

    Examples
    --------
    >>> print(f"{air_pressure(1800):.0f}")
    81756
    """
    above = finite("height", height, "m")
    if np.any((above < -500) | (above > 9000)):
        raise InputError(f"a height above the sea lies from -500 to 9,000 m, but it is {height!r}")
    return 101_300 * ((293 - 0.0065 * above) / 293) ** 5.26


def psychrometric_constant(pressure):
    """
    Psychrometric constant.

    Parameters
    ----------
    pressure
        Of the air. [Pa]

    Returns
    -------
    The constant. [Pa/K]

    Raises
    ------
    InputError
        The pressure is not above zero.

    Notes
    -----
    Equation 8 of FAO-56, source ``fao-56``.

    Examples
    --------
    >>> print(f"{psychrometric_constant(81_800):.0f}")
    54
    """
    return 0.665e-3 * positive("air pressure", pressure, "Pa")


def wind_at_two_metres(speed, height):
    """
    Wind at 2 m above short grass.

    Parameters
    ----------
    speed
        As measured. [m/s]
    height
        Of the gauge above the ground. [m]

    Returns
    -------
    Wind. [m/s]

    Raises
    ------
    InputError
        The speed is below zero, or the gauge too low for the profile.

    Notes
    -----
    Equation 47 of FAO-56, source ``fao-56``.

    Examples
    --------
    >>> print(f"{wind_at_two_metres(3.2, 10):.1f}")
    2.4
    """
    gauge = positive("height of the wind gauge", height, "m")
    if np.any(gauge < 0.5):
        raise InputError("a wind gauge stands at 0.5 m or more above the ground")
    return not_negative("wind", speed, "m/s") * 4.87 / np.log(67.8 * gauge - 5.42)


def vapour_pressure(lowest, highest, humidity_least, humidity_most):
    """
    Vapour pressure of the air, by the extremes of relative humidity.

    Parameters
    ----------
    lowest, highest
        Temperature of the day. [degC]
    humidity_least, humidity_most
        Relative humidity of the day, as shares. [-]

    Returns
    -------
    Pressure. [Pa]

    Raises
    ------
    InputError
        The lowest is above the highest, or a humidity is no share.

    Notes
    -----
    Equation 17 of FAO-56, source ``fao-56``. The most humid hour is the coldest.

    Examples
    --------
    >>> print(f"{vapour_pressure(18, 25, 0.54, 0.82):.0f}")
    1702
    """
    temperature_range(lowest, highest)
    dry, wet = a_share("least humidity", humidity_least), a_share("most humidity", humidity_most)
    if np.any(dry > wet):
        raise InputError("the least humidity of a day is above the most")
    return (saturation_vapour_pressure(lowest) * wet + saturation_vapour_pressure(highest) * dry) / 2


def vapour_pressure_from_mean(lowest, highest, humidity):
    """
    Vapour pressure of the air, by the mean relative humidity.

    Parameters
    ----------
    lowest, highest
        Temperature of the day. [degC]
    humidity
        Mean relative humidity, as a share. [-]

    Returns
    -------
    Pressure. [Pa]

    Raises
    ------
    InputError
        The lowest is above the highest, or the humidity is no share.

    Notes
    -----
    Equation 19 of FAO-56, source ``fao-56``.

    Examples
    --------
    >>> print(f"{vapour_pressure_from_mean(18, 25, 0.68):.0f}")
    1779
    """
    temperature_range(lowest, highest)
    return a_share("humidity", humidity) * mean_saturation(lowest, highest)


def mean_saturation(lowest, highest):
    """
    Mean of the pressures of saturation at the extremes of a day.

    Parameters
    ----------
    lowest, highest
        Temperature of the day. [degC]

    Returns
    -------
    Pressure. [Pa]

    Raises
    ------
    InputError
        A temperature does not occur on earth.

    Notes
    -----
    Equation 12 of FAO-56, source ``fao-56``: the pressure at the mean temperature would be too low.

    Examples
    --------
    >>> print(f"{mean_saturation(15, 24.5):.0f}")
    2390
    """
    return (saturation_vapour_pressure(lowest) + saturation_vapour_pressure(highest)) / 2


def evapotranspiration_penman_monteith(net, lowest, highest, vapour, wind, height, ground=0.0):
    r"""
    Reference evapotranspiration of a day (Penman-Monteith).

    .. math:: ET_0 = \frac{0.408 \Delta (R_n - G) + \gamma \frac{900}{T + 273} u_2 (e_s - e_a)}
        {\Delta + \gamma (1 + 0.34 u_2)}

    Parameters
    ----------
    net
        Net radiation. [J/m2]
    lowest, highest
        Temperature of the day. [degC]
    vapour
        Vapour pressure of the air. [Pa]
    wind
        At 2 m. [m/s]
    height
        Above the sea. [m]
    ground
        Heat that goes into the ground; none over a day. [J/m2]

    Returns
    -------
    Depth of water; none where dew forms. [m]

    Raises
    ------
    InputError
        An argument is impossible.

    Notes
    -----
    Equation 6 of FAO-56, source ``fao-56``. Air damper than saturated is taken as saturated.

    Examples
    --------
    Uccle, 6 July:

    >>> print(f"{evapotranspiration_penman_monteith(13.28e6, 12.3, 21.5, 1409, 2.078, 100) * 1000:.1f}")
    3.9
    """
    kept = finite("net radiation", net, "J/m2") - finite("heat into the ground", ground, "J/m2")
    temperature_range(lowest, highest)
    mean = (np.asarray(lowest, dtype=float) + np.asarray(highest, dtype=float)) / 2
    blowing, slope = not_negative("wind", wind, "m/s"), saturation_slope(mean)
    gamma = psychrometric_constant(air_pressure(height))
    deficit = np.maximum(mean_saturation(lowest, highest) - not_negative("vapour pressure", vapour, "Pa"), 0.0)
    # 900 is for kPa and mm: here Pa and m
    aerodynamic = gamma * 900e-6 / (mean + 273) * blowing * deficit
    return np.maximum((EVAPORATED * slope * kept + aerodynamic) / (slope + gamma * (1 + 0.34 * blowing)), 0.0)[()]


def evapotranspiration_hargreaves(lowest, highest, extraterrestrial):
    r"""
    Reference evapotranspiration of a day, by temperature alone (Hargreaves).

    .. math:: ET_0 = 0.0023 (T + 17.8) \sqrt{T_{max} - T_{min}}\, R_a

    Parameters
    ----------
    lowest, highest
        Temperature of the day. [degC]
    extraterrestrial
        Radiation above the air. [J/m2]

    Returns
    -------
    Depth of water; none in hard frost. [m]

    Raises
    ------
    InputError
        The lowest is above the highest, or the radiation below zero.

    Notes
    -----
    Equation 52 of FAO-56, source ``fao-56``; the radiation counts as the depth that it evaporates.

    Examples
    --------
    Lyon in July:

    >>> print(f"{evapotranspiration_hargreaves(14.8, 26.6, 40.5546e6) * 1000:.2f}")
    5.03
    """
    rise = temperature_range(lowest, highest)
    mean = (np.asarray(lowest, dtype=float) + np.asarray(highest, dtype=float)) / 2
    depth = EVAPORATED * not_negative("extraterrestrial radiation", extraterrestrial, "J/m2")
    return np.maximum(0.0023 * (mean + 17.8) * np.sqrt(rise) * depth, 0.0)[()]
