"""Why a sum changed: the difference of two products split among their factors, and parts shown in whole cents."""

import math
from collections.abc import Mapping

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import positive


def split_change(before, after):
    r"""
    Split the difference of two products among their factors: the Shapley value of each.

    .. math::

        \sum_{S \subseteq K \setminus i} \frac{|S|! \, (k - |S| - 1)!}{k!}
        \prod_{j \in S} a_j \prod_{j \notin S, j \ne i} b_j \; (a_i - b_i)

    Parameters
    ----------
    before, after
        The factors of each row, before and after: a mapping from the name of a factor to its values, or an array with
        one factor to each first index. Area, rate, number of times and price, for instance; any finite numbers.

    Returns
    -------
    The part of each factor, in the unit of the product: a dict with the names given, or an array of the shape given.

    Raises
    ------
    InputError
        Factors are missing, differ in name or shape, or are not finite numbers.

    Notes
    -----
    The mean, over all orders in which the factors could go over from the old value to the new one, of what each
    factor changes when its turn comes (source ``shapley-1953``); for products, the complete decomposition of
    source ``sun-1998``. No factor is favoured, and one that did not change gets nothing.

    The weights of the subsets are the integrals of :math:`t^{|S|} (1 - t)^{k - |S| - 1}` from 0 to 1, so that the sum
    over subsets is the integral along the straight line from before to after (source ``owen-1972``). Gauss-Legendre
    points integrate that polynomial exactly: half as many evaluations as there are factors, and no subsets to count.

    What rounding leaves between parts and difference goes into the smallest part that is not zero, the one on the
    finest grid of floats. `math.fsum` of the parts is then the difference of the two products as floats, unless parts
    of opposite sign are larger than any sum can show; then it misses by no more than the last digit of that part.

    A row that exists on one side only has no factors to compare: count it as new or dropped, not here.

    Examples
    --------
    Three times 2 t at 40 a tonne become four times 2.5 t at 42:

    >>> parts = split_change({"times": 3, "tonnes": 2, "price": 40}, {"times": 4, "tonnes": 2.5, "price": 42})
    >>> for name, part in parts.items():
    ...     print(f"{name} {part:.2f}")
    times 92.33
    tonnes 71.83
    price 15.83
    >>> print(f"{math.fsum(parts.values()):.2f}")
    180.00
    """
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        if set(before) != set(after):
            odd = ", ".join(sorted(str(name) for name in set(before) ^ set(after)))
            raise InputError(f"before and after must have the same factors, but only one of them has {odd}")
        names = list(before)
        old = [_factor(f"factor {name!r} before", before[name]) for name in names]
        new = [_factor(f"factor {name!r} after", after[name]) for name in names]
        return dict(zip(names, _parts(old, new), strict=True))
    old, new = _factor("before", before), _factor("after", after)
    if old.ndim == 0 or old.shape != new.shape:
        raise InputError(
            f"before and after must be arrays of one shape, factors first, but they are {old.shape} and {new.shape}"
        )
    return np.array(_parts(list(old), list(new)))


def whole_steps(parts, step, total=None):
    r"""
    Parts of a sum in whole steps, such as cents, that add up to the whole steps of the sum.

    .. math:: \sum_i n_i = \mathrm{round}(T / s), \qquad |n_i s - p_i| \text{ small}

    Parameters
    ----------
    parts
        The parts. [money]
    step
        The smallest amount shown, such as 0.01. [money]
    total
        The sum as it is shown; where left out, the sum of the parts. [money]

    Returns
    -------
    Whole numbers of steps, one to each part, as an array of ints. [-]

    Raises
    ------
    InputError
        An argument is not a finite number, the step is not greater than zero, or the parts are too far from the total.

    Notes
    -----
    Each part is rounded by itself; steps that are then missing or over go to the parts that rounding moved furthest
    the other way (largest remainders). A part of zero stays zero. Two sums that are each rounded can differ by a step
    more than their difference rounded: give that shown difference as `total`.

    Examples
    --------
    Three thirds of a euro:

    >>> print(whole_steps([1 / 3, 1 / 3, 1 / 3], 0.01))
    [34 33 33]
    """
    amounts, unit = np.atleast_1d(_factor("parts", parts)), float(positive("step", step, ""))
    exact = amounts / unit
    whole = np.rint(exact)
    target = math.fsum(amounts) if total is None else float(_factor("total", total))
    missing = round(target / unit) - int(whole.sum())
    sign = 1 if missing > 0 else -1
    takers = np.flatnonzero(amounts)
    if abs(missing) > takers.size:
        raise InputError(
            f"parts that sum to {math.fsum(amounts):.12g} cannot be shown as {target:.12g} in steps of {unit:g}; "
            "give all parts of the total"
        )
    furthest = takers[np.argsort(-sign * (exact - whole)[takers], kind="stable")]
    whole[furthest[: abs(missing)]] += sign
    return whole.astype(int)


def _factor(name, value):
    try:
        numbers = np.asarray(value)
    except ValueError:  # ragged lists
        numbers = np.asarray(None)
    if numbers.dtype.kind not in "iuf" or not np.isfinite(numbers).all():
        raise InputError(f"{name} must be finite numbers, but it is {value!r}")
    return numbers.astype(float)


def _parts(old, new):
    """Shapley values of the factors, closed so that they sum to the difference."""
    if not old:
        raise InputError("a product needs at least one factor")
    try:
        both = np.array(np.broadcast_arrays(*old, *new))
    except ValueError as error:
        raise InputError("factors must have the same number of rows, or one value for all of them") from error
    before, after = both[: len(old)], both[len(old) :]
    points, weights = np.polynomial.legendre.leggauss((len(old) + 1) // 2)
    others = sum(
        weight / 2 * _products_of_others((1 - point) / 2 * before + (1 + point) / 2 * after)
        for point, weight in zip(points, weights, strict=True)
    )
    parts = np.asarray(others * (after - before))
    return list(_closed(parts, np.prod(after, axis=0) - np.prod(before, axis=0)))


def _products_of_others(factors):
    """For each factor, the product of all the others; without division, because a factor may be zero."""
    products = np.ones_like(factors)
    for at in range(1, len(factors)):
        products[at] = products[at - 1] * factors[at - 1]
    behind = np.ones_like(factors[0])
    for at in range(len(factors) - 2, -1, -1):
        behind = behind * factors[at + 1]
        products[at] *= behind
    return products


def _closed(parts, total):
    smallest = np.where(parts == 0, np.inf, abs(parts)).argmin(axis=0)[np.newaxis]
    for _ in range(2):  # the first time rounds once more
        rest = _rest(total, parts)
        taken = np.take_along_axis(parts, smallest, axis=0)
        np.put_along_axis(parts, smallest, np.where(taken == 0, 0, taken + rest), axis=0)
    return parts


def _rest(total, parts):
    """Return total less the sum of the parts, with what each float subtraction loses carried along (Knuth)."""
    sum_, lost = total, 0.0
    for part in parts:
        less = sum_ - part
        back = less - sum_
        lost = lost + ((sum_ - (less - back)) - (part + back))
        sum_ = less
    return sum_ + lost
