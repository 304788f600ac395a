"""What reaches a person of vibration and noise over a day, as a level held for eight hours."""

import numpy as np

from turfgis.formulas.arguments import not_negative

REFERENCE_S = 8 * 3600.0


def vibration_exposure(acceleration, duration):
    r"""
    Daily exposure to vibration of the hands or the whole body, A(8).

    .. math:: A(8) = \sqrt{\frac{1}{T_0} \sum a_i^2 T_i}, \quad T_0 = 8\,\mathrm{h}

    Parameters
    ----------
    acceleration
        Vibration total value of each machine, frequency-weighted. [m/s2] Shape (k,).
    duration
        How long each is used. [s] Shape (k,).

    Returns
    -------
    One figure for the day; 0 where nothing is used. [m/s2]

    Raises
    ------
    InputError
        An argument is below zero or not finite.

    Notes
    -----
    Directive 2002/44/EC, annex, part A; source ``eu-2002-44``.

    Examples
    --------
    Two hours at 4 m/s2:

    >>> print(f"{vibration_exposure([4.0], [7200.0]):.1f}")
    2.0
    """
    shaking, used = not_negative("acceleration", acceleration, "m/s2"), not_negative("duration", duration, "s")
    return float(np.sqrt(np.sum(shaking**2 * used) / REFERENCE_S))


def noise_exposure(level, duration):
    r"""
    Daily exposure to noise, LEX,8h.

    .. math:: L_{EX,8h} = 10 \lg \left( \frac{1}{T_0} \sum T_i\,10^{L_i / 10} \right)

    Parameters
    ----------
    level
        A-weighted equivalent level at the ear for each machine. [dB] Shape (k,).
    duration
        How long each is heard. [s] Shape (k,).

    Returns
    -------
    One level for the day; minus infinity where nothing is heard. [dB]

    Raises
    ------
    InputError
        An argument is below zero or not finite.

    Notes
    -----
    Directive 2003/10/EC, article 2, after ISO 1999; source ``eu-2003-10``. Hearing protection is left out.

    Examples
    --------
    >>> print(f"{noise_exposure([88.0], [4 * 3600.0]):.1f}")
    85.0
    """
    heard, long = not_negative("level", level, "dB"), not_negative("duration", duration, "s")
    total = np.sum(long * 10 ** (heard / 10)) / REFERENCE_S
    return float(10 * np.log10(total)) if total > 0 else -np.inf
