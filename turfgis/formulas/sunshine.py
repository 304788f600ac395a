"""Radiation of a day: what comes from the sun, and what is left of it at the ground. FAO-56, chapter 3."""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import finite, not_negative, positive, temperature
from turfgis.formulas.arguments import share as a_share

SOLAR_CONSTANT = 0.0820e6 / 60  # J/(m2 s)
STEFAN_BOLTZMANN = 4.903e-3  # J/(K4 m2 d), as FAO-56 prints it
ALBEDO = 0.23  # of the reference grass
DAY_S = 86_400.0
KELVIN = 273.16  # as FAO-56 prints it
COAST, INLAND = 0.19, 0.16  # factors of Hargreaves' radiation equation


def extraterrestrial_radiation(latitude, day_of_year):
    r"""
    Radiation of a day above the air.

    .. math:: R_a = \frac{86400}{\pi} G_{sc} d_r
        (\omega_s \sin\varphi \sin\delta + \cos\varphi \cos\delta \sin\omega_s)

    Parameters
    ----------
    latitude
        North above zero. [rad]
    day_of_year
        1 to 366. [-]

    Returns
    -------
    Radiation of the whole day; 0 in polar night. [J/m2]

    Raises
    ------
    InputError
        The latitude is no latitude, or the day none of a year.

    Notes
    -----
    Equation 21 of FAO-56, source ``fao-56``.

    Examples
    --------
    3 September at 20 degrees south:

    >>> print(f"{extraterrestrial_radiation(np.radians(-20), 246) / 1e6:.1f}")
    32.2
    """
    north, day = _latitude(latitude), _day(day_of_year)
    angle = 2 * np.pi * day / 365
    distance, declination = 1 + 0.033 * np.cos(angle), solar_declination(day)
    sunset = _sunset(north, declination)
    height = sunset * np.sin(north) * np.sin(declination) + np.cos(north) * np.cos(declination) * np.sin(sunset)
    return DAY_S / np.pi * SOLAR_CONSTANT * distance * height


def solar_declination(day_of_year):
    """
    Angle of the sun above the equator at noon.

    Parameters
    ----------
    day_of_year
        1 to 366. [-]

    Returns
    -------
    The angle. [rad]

    Raises
    ------
    InputError
        The day is none of a year.

    Notes
    -----
    Equation 24 of FAO-56, source ``fao-56``.

    Examples
    --------
    >>> print(f"{solar_declination(246):.3f}")
    0.120
    """
    return 0.409 * np.sin(2 * np.pi * _day(day_of_year) / 365 - 1.39)


def daylight(latitude, day_of_year):
    """
    Longest time that the sun can shine on a day.

    Parameters
    ----------
    latitude
        North above zero. [rad]
    day_of_year
        1 to 366. [-]

    Returns
    -------
    From sunrise to sunset. [s]

    Raises
    ------
    InputError
        The latitude is no latitude, or the day none of a year.

    Notes
    -----
    Equation 34 of FAO-56, source ``fao-56``.

    Examples
    --------
    >>> print(f"{daylight(np.radians(-20), 246) / 3600:.1f}")
    11.7
    """
    return DAY_S / np.pi * _sunset(_latitude(latitude), solar_declination(day_of_year))


def radiation_from_sunshine(extraterrestrial, sunshine, longest):
    r"""
    Solar radiation at the ground, by hours of sunshine (Angstrom).

    .. math:: R_s = (0.25 + 0.50\, n / N) R_a

    Parameters
    ----------
    extraterrestrial
        Radiation above the air. [J/m2]
    sunshine, longest
        How long the sun shone, and how long it could have. [s]

    Returns
    -------
    Radiation of the day. [J/m2]

    Raises
    ------
    InputError
        An argument is below zero, or the sun shone longer than it was up.

    Notes
    -----
    Equation 35 of FAO-56 with the values it advises where none were fitted, source ``fao-56``.

    Examples
    --------
    >>> print(f"{radiation_from_sunshine(25.1e6, 7.1 * 3600, 10.9 * 3600) / 1e6:.1f}")
    14.4
    """
    above = not_negative("extraterrestrial radiation", extraterrestrial, "J/m2")
    shone, could = not_negative("sunshine", sunshine, "s"), positive("daylight", longest, "s")
    if np.any(shone > could * 1.05):  # gauges and horizons differ by minutes
        raise InputError("the sun shone longer than it was up; check hours of sunshine and the latitude")
    return (0.25 + 0.50 * np.minimum(shone / could, 1.0)) * above


def radiation_from_temperature(extraterrestrial, lowest, highest, factor):
    r"""
    Solar radiation at the ground, by how far the temperature rises (Hargreaves).

    .. math:: R_s = k \sqrt{T_{max} - T_{min}}\, R_a

    Parameters
    ----------
    extraterrestrial
        Radiation above the air. [J/m2]
    lowest, highest
        Temperature of the day. [degC]
    factor
        0.16 inland, 0.19 near the coast. [-]

    Returns
    -------
    Radiation of the day, no more than three quarters of that above the air. [J/m2]

    Raises
    ------
    InputError
        Radiation or factor are not above zero, or the lowest temperature is above the highest.

    Notes
    -----
    Equation 50 of FAO-56, source ``fao-56``.

    Examples
    --------
    >>> print(f"{radiation_from_temperature(40.6e6, 14.8, 26.6, 0.16) / 1e6:.1f}")
    22.3
    """
    above = not_negative("extraterrestrial radiation", extraterrestrial, "J/m2")
    rise = temperature_range(lowest, highest)
    return np.minimum(a_share("factor of the radiation equation", factor) * np.sqrt(rise), 0.75) * above


def clear_sky_radiation(extraterrestrial, height):
    """
    Solar radiation at the ground under a sky without clouds.

    Parameters
    ----------
    extraterrestrial
        Radiation above the air. [J/m2]
    height
        Above the sea. [m]

    Returns
    -------
    Radiation of the day. [J/m2]

    Raises
    ------
    InputError
        An argument is below zero.

    Notes
    -----
    Equation 37 of FAO-56, source ``fao-56``.

    Examples
    --------
    >>> print(f"{clear_sky_radiation(41.09e6, 100) / 1e6:.2f}")
    30.90
    """
    above = not_negative("extraterrestrial radiation", extraterrestrial, "J/m2")
    return (0.75 + 2e-5 * not_negative("height", height, "m")) * above


def net_longwave_radiation(lowest, highest, vapour_pressure, solar, clear_sky):
    r"""
    Heat that the ground sends out more than it gets back from the air.

    .. math:: R_{nl} = \sigma \frac{T_{max}^4 + T_{min}^4}{2} (0.34 - 0.14 \sqrt{e_a})
        \left(1.35 \frac{R_s}{R_{so}} - 0.35\right)

    Parameters
    ----------
    lowest, highest
        Temperature of the day. [degC]
    vapour_pressure
        Of the air. [Pa]
    solar, clear_sky
        Radiation at the ground, and what it would be without clouds. [J/m2]

    Returns
    -------
    Radiation of the day. [J/m2] The ratio of the two is kept from 0.3 to 1, as the paper asks.

    Raises
    ------
    InputError
        The lowest temperature is above the highest, or another argument is below zero.

    Notes
    -----
    Equation 39 of FAO-56, source ``fao-56``. Where the sun does not rise the sky is taken to be half covered.

    Examples
    --------
    >>> print(f"{net_longwave_radiation(19.1, 25.1, 2100, 14.5e6, 18.8e6) / 1e6:.1f}")
    3.5
    """
    temperature_range(lowest, highest)
    cold, warm = np.asarray(lowest, dtype=float) + KELVIN, np.asarray(highest, dtype=float) + KELVIN
    moist = not_negative("vapour pressure", vapour_pressure, "Pa") / 1000
    got, clear = not_negative("solar radiation", solar, "J/m2"), not_negative("clear-sky radiation", clear_sky, "J/m2")
    ratio = np.clip(np.divide(got, clear, out=np.full(np.broadcast(got, clear).shape, 0.65), where=clear > 0), 0.3, 1)
    sent = STEFAN_BOLTZMANN * (cold**4 + warm**4) / 2
    return (sent * (0.34 - 0.14 * np.sqrt(moist)) * (1.35 * ratio - 0.35))[()]


def net_radiation(solar, longwave):
    """
    Radiation that the reference grass keeps.

    Parameters
    ----------
    solar
        Solar radiation at the ground. [J/m2]
    longwave
        Net heat sent out. [J/m2]

    Returns
    -------
    Radiation of the day; below zero where more is sent out. [J/m2]

    Raises
    ------
    InputError
        The solar radiation is below zero, or an argument not finite.

    Notes
    -----
    Equations 38 and 40 of FAO-56 with an albedo of 0.23, source ``fao-56``.

    Examples
    --------
    >>> print(f"{net_radiation(22.07e6, 3.71e6) / 1e6:.2f}")
    13.28
    """
    return (1 - ALBEDO) * not_negative("solar radiation", solar, "J/m2") - finite(
        "net longwave radiation", longwave, "J/m2"
    )


def temperature_range(lowest, highest):
    """
    How far the temperature rises on a day, all of it possible on earth.

    Parameters
    ----------
    lowest, highest
        Of the day. [degC]

    Returns
    -------
    The difference. [K]

    Raises
    ------
    InputError
        The lowest is above the highest, or one does not occur on earth.

    Notes
    -----
    A difference, and a check of what is most often typed the wrong way round.

    Examples
    --------
    >>> print(temperature_range(12.5, 21.5))
    9.0
    """
    cold, warm = temperature("lowest temperature", lowest), temperature("highest temperature", highest)
    if np.any(cold > warm):
        raise InputError("the lowest temperature of a day is above the highest")
    return warm - cold


def _latitude(latitude):
    north = finite("latitude", latitude, "rad")
    if np.any(np.abs(north) > np.pi / 2):
        raise InputError("a latitude lies from -pi/2 to pi/2 rad; check that degrees were converted")
    return north


def _day(day_of_year):
    day = finite("day of the year", day_of_year, "")
    if np.any((day < 1) | (day > 366)):
        raise InputError(f"a day of the year is from 1 to 366, but it is {day_of_year!r}")
    return day


def _sunset(latitude, declination):
    """Hour angle at sunset; the sun may stay up or down all day. [rad]"""
    return np.arccos(np.clip(-np.tan(latitude) * np.tan(declination), -1.0, 1.0))
