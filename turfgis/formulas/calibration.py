"""
Calibration of sprayers and spreaders: what comes out to the unit area, and the flow or the speed for what is wanted.

All forms of the field are one rule in different units: with gallons a minute, miles an hour and inches it carries the
factor 5,940, with litres a minute, kilometres an hour and metres the factor 600.
"""

import numpy as np

from turfgis.formulas.arguments import not_negative, positive


def travel_speed(length, time):
    r"""
    Speed over a timed course.

    .. math:: \ell / t

    Parameters
    ----------
    length
        Length of the course. [m]
    time
        Time that it took. [s]

    Returns
    -------
    Speed. [m/s]

    Raises
    ------
    InputError
        An argument is not greater than zero.

    Notes
    -----
    Definition. Take the time with a half-full tank, on turf, from a running start.

    Examples
    --------
    800 m in 6 minutes, in km/h:

    >>> print(f"{3.6 * travel_speed(800, 360):.1f}")
    8.0
    """
    return positive("length", length, "m") / positive("time", time, "s")


def application_volume(flow, speed, width):
    r"""
    Spray to the unit area.

    .. math:: \frac{Q}{v \, w}

    Parameters
    ----------
    flow
        What comes out of all nozzles over the width; or of one nozzle, with its spacing as the width. [m3/s]
    speed
        Travel speed. [m/s]
    width
        Width that is covered: number of nozzles times their spacing. [m]

    Returns
    -------
    Spray to the unit area. [m3/m2]

    Raises
    ------
    InputError
        The flow is below zero, or another argument is not greater than zero.

    Notes
    -----
    Definition; the rule of 5,940 and the rule of 600 of the field (sources ``albany-weed-pest``, ``spraying-manual``).

    Examples
    --------
    12.24 L/min over 3 m at 6 km/h, in L/ha:

    >>> print(f"{1e7 * application_volume(12.24e-3 / 60, 6 / 3.6, 3.0):.1f}")
    408.0
    """
    swept = positive("speed", speed, "m/s") * positive("width", width, "m")
    return not_negative("flow", flow, "m3/s") / swept


def flow_for_volume(volume_rate, speed, width):
    r"""
    Flow that gives a spray volume: what a nozzle, or all of them, must put out.

    .. math:: q \, v \, w

    Parameters
    ----------
    volume_rate
        Spray to the unit area. [m3/m2]
    speed
        Travel speed. [m/s]
    width
        Width covered by all nozzles, or the spacing for one of them. [m]

    Returns
    -------
    Flow. [m3/s]

    Raises
    ------
    InputError
        An argument is below zero, or speed or width are not greater than zero.

    Notes
    -----
    :func:`application_volume` turned round.

    Examples
    --------
    One nozzle of a boom with half a metre between them, 400 L/ha at 6 km/h, in L/min:

    >>> print(f"{6e4 * flow_for_volume(400e-7, 6 / 3.6, 0.5):.2f}")
    2.00
    """
    swept = positive("speed", speed, "m/s") * positive("width", width, "m")
    return not_negative("spray volume", volume_rate, "m3/m2") * swept


def speed_for_volume(volume_rate, flow, width):
    r"""
    Speed at which a flow gives a spray volume.

    .. math:: \frac{Q}{q \, w}

    Parameters
    ----------
    volume_rate
        Spray to the unit area. [m3/m2]
    flow
        What comes out of all nozzles, or of one. [m3/s]
    width
        Width covered by all of them, or the spacing. [m]

    Returns
    -------
    Travel speed. [m/s]

    Raises
    ------
    InputError
        An argument is not greater than zero, but the flow may be zero.

    Notes
    -----
    :func:`application_volume` turned round.

    Examples
    --------
    0.6 L/min over 0.75 m for 200 L/ha, in km/h:

    >>> print(f"{3.6 * speed_for_volume(200e-7, 0.6e-3 / 60, 0.75):.1f}")
    2.4
    """
    over = positive("spray volume", volume_rate, "m3/m2") * positive("width", width, "m")
    return not_negative("flow", flow, "m3/s") / over


def caught_rate(amount, length, width):
    r"""
    What was put out to the unit area, from what a strip took or a tray caught.

    .. math:: \frac{m}{\ell \, w}

    Parameters
    ----------
    amount
        Product used on the strip or caught in the tray, by mass or volume. [kg or m3]
    length, width
        Of the strip that was covered, or of the tray. [m]

    Returns
    -------
    Rate. [kg/m2 or m3/m2]

    Raises
    ------
    InputError
        The amount is below zero, or the strip has no area.

    Notes
    -----
    Definition: the strip method of sprayers and the catch of spreaders.

    Examples
    --------
    350 g in a tray of 1 by 10 m, in g/m2:

    >>> print(f"{1000 * caught_rate(0.350, 10, 1):.0f}")
    35
    """
    area = positive("length", length, "m") * positive("width", width, "m")
    return not_negative("amount", amount, "") / area


def strip_length(area, width):
    r"""
    How far to drive to cover a test area.

    .. math:: A / w

    Parameters
    ----------
    area
        Test area. [m2]
    width
        Width that is covered. [m]

    Returns
    -------
    Length of the strip. [m]

    Raises
    ------
    InputError
        The area is below zero, or the width is not greater than zero.

    Notes
    -----
    Definition. On a 128th of an acre fluid ounces caught are gallons to the acre, as there are 128 of them in one.

    Examples
    --------
    A thousandth of a hectare with a metre:

    >>> print(strip_length(10.0, 1.0))
    10.0
    """
    return not_negative("area", area, "m2") / positive("width", width, "m")


def reached_share(error):
    r"""
    Share of the ground that a tank meant for all of it reaches, where more comes out than was meant.

    .. math:: \min\left(1, \frac{1}{1 + e}\right)

    Parameters
    ----------
    error
        By how much more comes out, as a share of what was meant; 0.05 for 5 %. [-]

    Returns
    -------
    Share of the ground. [-]

    Raises
    ------
    InputError
        The error is below zero.

    Notes
    -----
    Plain arithmetic: the same volume, at a higher rate.

    Examples
    --------
    >>> print(f"{reached_share(0.05):.1%}")
    95.2%
    """
    return np.minimum(1.0, 1.0 / (1.0 + not_negative("error", error, "")))[()]
