"""Whole packs, bags or lorry loads for a mass."""

import numpy as np

from turfgis.formulas.arguments import not_negative, positive

# Far above the noise of a sum of floats, far below anything a weighbridge can see.
NOISE = 1e-9


def whole_packs(mass, pack_mass):
    r"""
    Whole packs (or lorry loads) that hold at least the mass.

    .. math:: \lceil m / m_{pack} \rceil

    Parameters
    ----------
    mass
        Mass needed. [kg]
    pack_mass
        Mass in one pack, bag or load. [kg]

    Returns
    -------
    Number of packs: an int, or an array of ints. [-]

    Raises
    ------
    InputError
        The mass is below zero, or the pack is not greater than zero.

    Notes
    -----
    Rounded up, save that a part of 1e-9 over a whole number is float noise and opens no further pack: three loads of
    20 t added up in floats must not order a fourth.

    Examples
    --------
    >>> whole_packs(61.0, 20.0)
    4
    >>> whole_packs(60.000000001, 20.0)
    3
    """
    count = not_negative("mass", mass, "kg") / positive("pack mass", pack_mass, "kg")
    count = np.ceil(count - NOISE * np.maximum(count, 1)).astype(int)
    return int(count) if count.ndim == 0 else count
