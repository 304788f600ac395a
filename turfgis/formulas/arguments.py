"""
What a formula may be given: the checks that all formulas share.

Each check returns the argument as a float or an array of floats, so that lists and whole columns work as well as
single numbers, and raises `InputError` with the first value that does not fit.
"""

import numpy as np

from turfgis.errors import InputError


def positive(name, value, unit):
    """
    Return the value as numbers, all of them greater than zero.

    Parameters
    ----------
    name
        What the value is, in the reader's words.
    value
        A number or an array of numbers.
    unit
        Unit to show in the message; empty for a share.

    Returns
    -------
    A float, or an array of floats where the value is an array or a list.

    Raises
    ------
    InputError
        A value is not a number, not finite, or not greater than zero.

    Examples
    --------
    >>> print(positive("depth", 0.02, "m"))
    0.02
    >>> positive("depth", [0.02, -0.02], "m")
    Traceback (most recent call last):
    turfgis.errors.InputError: depth must be greater than 0 m, but value 2 of 2 is -0.02 m
    """
    numbers = _numbers(name, value)
    return _accept(name, numbers, numbers > 0, unit, f"greater than 0 {unit}")


def not_negative(name, value, unit):
    """
    Return the value as numbers, none of them below zero.

    Parameters
    ----------
    name
        What the value is, in the reader's words.
    value
        A number or an array of numbers.
    unit
        Unit to show in the message; empty for a share.

    Returns
    -------
    A float, or an array of floats where the value is an array or a list.

    Raises
    ------
    InputError
        A value is not a number, not finite, or below zero.

    Examples
    --------
    >>> print(not_negative("stock", 0, "kg"))
    0.0
    """
    numbers = _numbers(name, value)
    return _accept(name, numbers, numbers >= 0, unit, f"0 {unit} or more".replace("  ", " "))


def share(name, value):
    """
    Return the value as shares of one, from 0 to 1.

    Parameters
    ----------
    name
        What the value is, in the reader's words.
    value
        A number or an array of numbers.

    Returns
    -------
    A float, or an array of floats where the value is an array or a list.

    Raises
    ------
    InputError
        A value is not a number, or lies outside 0 to 1.

    Examples
    --------
    >>> share("germination", 85)
    Traceback (most recent call last):
    turfgis.errors.InputError: germination must be a share from 0 to 1 (85 % is 0.85), but it is 85
    """
    numbers = _numbers(name, value)
    return _accept(name, numbers, (numbers >= 0) & (numbers <= 1), "", "a share from 0 to 1 (85 % is 0.85)")


def share_above_zero(name, value):
    """
    Return the value as shares of one, above 0 and up to 1: a share that something is divided by.

    Parameters
    ----------
    name
        What the value is, in the reader's words.
    value
        A number or an array of numbers.

    Returns
    -------
    A float, or an array of floats where the value is an array or a list.

    Raises
    ------
    InputError
        A value is not a number, or lies outside the range.

    Examples
    --------
    >>> share_above_zero("content", 0)
    Traceback (most recent call last):
    turfgis.errors.InputError: content must be a share above 0 and up to 1 (85 % is 0.85), but it is 0
    """
    numbers = _numbers(name, value)
    return _accept(name, numbers, (numbers > 0) & (numbers <= 1), "", "a share above 0 and up to 1 (85 % is 0.85)")


def finite(name, value, unit):
    """
    Return the value as finite numbers of either sign.

    Parameters
    ----------
    name
        What it is, in the reader's words.
    value
        A number or an array of numbers.
    unit
        Unit to show in the message; empty for a share.

    Returns
    -------
    A float, or an array of floats.

    Raises
    ------
    InputError
        A value is not a number or not finite.

    Examples
    --------
    >>> print(finite("heat", -3, "J"))
    -3.0
    """
    numbers = _numbers(name, value)
    return _accept(name, numbers, np.isfinite(numbers), unit, "a finite number")


def temperature(name, value):
    """
    Return the value as temperatures that occur on earth.

    Parameters
    ----------
    name
        What it is, in the reader's words.
    value
        In degrees Celsius. [degC]

    Returns
    -------
    A float, or an array of floats.

    Raises
    ------
    InputError
        A value is not a number, or beyond 60 degrees below or above zero.

    Examples
    --------
    >>> temperature("dew point", 80)
    Traceback (most recent call last):
    turfgis.errors.InputError: dew point must be from -60 to 60 degC, but it is 80 degC
    """
    numbers = _numbers(name, value)
    return _accept(name, numbers, np.abs(numbers) <= 60, "degC", "from -60 to 60 degC")


def _numbers(name, value):
    try:
        numbers = np.asarray(value)
    except ValueError:  # ragged lists
        numbers = np.asarray(None)
    # Text is refused although numpy would read "3": a unit may have been lost on the way here.
    if numbers.dtype.kind not in "iuf":
        raise InputError(f"{name} must be a number or an array of numbers, but it is {value!r}")
    return numbers.astype(float)[()]


def _accept(name, numbers, fits, unit, allowed):
    fits = np.atleast_1d(fits & np.isfinite(numbers))
    if fits.all():
        return numbers
    at = int(np.argmin(fits))
    found = f"{np.atleast_1d(numbers).ravel()[at]:.12g} {unit}".rstrip()
    which = "it" if fits.size == 1 else f"value {at + 1} of {fits.size}"
    raise InputError(f"{name} must be {allowed.rstrip()}, but {which} is {found}")
