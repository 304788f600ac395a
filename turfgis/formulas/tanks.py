"""
Whole tanks along the order of the ground: how many, what goes into each, and which ground each of them covers.

Arithmetic only. What may be mixed and applied is for the product's label, the law of the place and a trained operator
to say.
"""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive
from turfgis.formulas.liquids import tank_loads


def tank_volumes(volume, tank_volume, dead_volume=0.0):
    r"""
    What each tank is to put out: full ones first, and the exact last one.

    .. math:: n = \lceil V / (V_t - V_d) \rceil

    Parameters
    ----------
    volume
        Spray to put out in all. [m3]
    tank_volume
        Volume of the tank when full. [m3]
    dead_volume
        What stays in sump, pump and hoses when no more comes out. [m3]

    Returns
    -------
    Volume that comes out of each tank, in order. [m3] Shape (k,); none where there is nothing to put out.

    Raises
    ------
    InputError
        The volume is below zero, or the tank holds no more than the dead volume.

    Notes
    -----
    The tank is filled up to full each time while what stays in it is of the same mix, so that every tank puts out what
    it holds less the dead volume, and the dead volume is left over once, at the end. Plain arithmetic, as
    `turfgis.formulas.liquids.tank_loads`.

    Examples
    --------
    480 L from a tank of 200 L of which 4 L never come out, in litres:

    >>> print((1000 * tank_volumes(0.480, 0.200, 0.004)).round(3).tolist())
    [196.0, 196.0, 88.0]
    """
    dead = not_negative("dead volume", dead_volume, "m3")
    tank = positive("tank volume", tank_volume, "m3")
    if not tank > dead:
        raise InputError(f"a tank of {tank:g} m3 holds no more than what stays in it, {dead:g} m3")
    full, last = tank_loads(volume, tank - dead)
    volumes = np.append(np.full(full, tank - dead), last)
    return volumes[volumes > 0]


def tank_mixes(volumes, dead_volume=0.0):
    """
    What is to be mixed for each tank: the first one fills sump, pump and hoses as well.

    Parameters
    ----------
    volumes
        What each tank is to put out, as :func:`tank_volumes` gives it. [m3] Shape (n,).
    dead_volume
        What stays in the sprayer. [m3]

    Returns
    -------
    Volume to mix for each tank. [m3] Shape (n,). Their sum is what comes out and the dead volume once.

    Raises
    ------
    InputError
        A volume is below zero.

    Notes
    -----
    Plain arithmetic.

    Examples
    --------
    >>> print((1000 * tank_mixes([0.196, 0.196, 0.088], 0.004)).round(3).tolist())
    [200.0, 196.0, 88.0]
    """
    mixed = np.array(np.atleast_1d(not_negative("volumes", volumes, "m3")), dtype=float)
    mixed[:1] += not_negative("dead volume", dead_volume, "m3")
    return mixed


def along_tanks(amounts, tanks):
    r"""
    Which part of each place each tank covers, in their order.

    .. math:: a_{kn} = |[S_{n-1}, S_n] \cap [T_{k-1}, T_k]|

    Parameters
    ----------
    amounts
        What each place takes, in the order in which they are sprayed. [m3] Shape (n,).
    tanks
        What each tank puts out. [m3] Shape (k,). Together they are as much as the places take.

    Returns
    -------
    What each tank puts out on each place. [m3] Shape (k, n): rows add up to the tanks, columns to the places.

    Raises
    ------
    InputError
        An amount is below zero, or tanks and places differ by more than rounding.

    Notes
    -----
    Plain arithmetic: running sums of places :math:`S` and of tanks :math:`T` laid beside each other. What rounding
    leaves beside a boundary goes to the tank that covers the rest of the place.

    Examples
    --------
    Three greens of 150, 200 and 130 L out of tanks of 196, 196 and 88 L:

    >>> print((1000 * along_tanks([0.150, 0.200, 0.130], [0.196, 0.196, 0.088])).round(3))
    [[150.  46.   0.]
     [  0. 154.  42.]
     [  0.   0.  88.]]
    """
    places = np.atleast_1d(not_negative("amounts", amounts, "m3"))
    loads = np.atleast_1d(not_negative("tanks", tanks, "m3"))
    total = float(places.sum())
    if abs(loads.sum() - total) > 1e-9 * max(total, 1e-9):
        raise InputError(f"tanks of {loads.sum():.6g} m3 do not cover places of {total:.6g} m3")
    ends, filled = np.cumsum(places), np.cumsum(loads)
    if len(loads):
        filled[-1] = ends[-1] if len(ends) else filled[-1]
    # a boundary that is one of the places' but for rounding is that one
    near = np.abs(filled[:, None] - ends[None, :]) <= 1e-9 * max(total, 1e-9)
    filled = np.where(near.any(axis=1), ends[np.argmax(near, axis=1)] if len(ends) else filled, filled)
    starts, begun = np.concatenate([[0.0], ends])[:-1], np.concatenate([[0.0], filled])[:-1]
    upper = np.minimum(filled[:, None], ends[None, :])
    return np.maximum(upper - np.maximum(begun[:, None], starts[None, :]), 0.0)
