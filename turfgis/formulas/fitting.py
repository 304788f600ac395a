"""Least squares: figures out of observations, how far each may be out, and which of them hang together."""

import numpy as np

from turfgis.errors import InputError

_LEAST = 1e-13  # of the largest singular value: below it a column is a sum of others


def least_squares(design, observed):
    r"""
    Figures that explain observations best, as a sum without a constant term.

    .. math:: \hat\beta = (X^T X)^{-1} X^T y, \qquad
        u_j = s \sqrt{[(X^T X)^{-1}]_{jj}}, \qquad s^2 = \frac{\lVert y - X \hat\beta \rVert^2}{n - k}

    Parameters
    ----------
    design
        What each observation counts of each figure. Shape (n, k), n greater than k. A constant is a column of ones.
    observed
        The observations. Shape (n,).

    Returns
    -------
    A tuple: estimates, their standard errors, shapes (k,), and the residual standard deviation.

    Raises
    ------
    InputError
        There are not more observations than figures, a value is not finite, or the columns cannot be told apart.

    Notes
    -----
    Ordinary least squares by singular values of columns scaled to length one, which keeps eleven digits of Longley's
    data, where normal equations keep four.

    Examples
    --------
    Three green of which each takes 4 minutes, and 2 more for each 100 m:

    >>> estimates, errors, _ = least_squares([[1, 3.0], [1, 5.0], [1, 6.0]], [10.0, 14.0, 16.0])
    >>> [round(float(one), 6) for one in estimates]
    [4.0, 2.0]
    """
    columns, values = _observations(design, observed)
    scale = np.linalg.norm(columns, axis=0)
    if not scale.all():
        raise InputError("a column of the design is nothing but zeros; leave that figure out")
    left, singular, right = np.linalg.svd(columns / scale, full_matrices=False)
    if singular[-1] <= _LEAST * singular[0]:
        raise InputError("the observations cannot tell the figures apart; leave one of them out")
    estimates = right.T @ ((left.T @ values) / singular) / scale
    left_over = values - columns @ estimates
    spread = float(np.sqrt(left_over @ left_over / (len(values) - columns.shape[1])))
    errors = spread * np.sqrt(((right.T / singular) ** 2).sum(axis=1)) / scale
    return estimates, errors, spread


def condition_number(design):
    r"""
    How nearly the columns of a design hang together, each scaled to length one.

    Parameters
    ----------
    design
        What each observation counts of each figure. Shape (n, k).

    Returns
    -------
    Largest over smallest singular value; infinite where a column is a sum of others.

    Raises
    ------
    InputError
        A value is not finite, or a column is nothing but zeros.

    Notes
    -----
    Belsley, Kuh and Welsch (source ``belsley-1980``) speak of moderate to strong dependence from 30 on.

    Examples
    --------
    >>> print(condition_number([[1, 0], [0, 1], [0, 0]]))
    1.0
    """
    columns, _ = _observations(design, None)
    scale = np.linalg.norm(columns, axis=0)
    if not scale.all():
        raise InputError("a column of the design is nothing but zeros; leave that figure out")
    singular = np.linalg.svd(columns / scale, compute_uv=False)
    return float(singular[0] / singular[-1]) if singular[-1] > _LEAST * singular[0] else float("inf")


def estimate_correlations(design):
    r"""
    Correlations between the errors of estimates.

    .. math:: \rho_{ij} = \frac{[(X^T X)^{-1}]_{ij}}{\sqrt{[(X^T X)^{-1}]_{ii} [(X^T X)^{-1}]_{jj}}}

    Parameters
    ----------
    design
        What each observation counts of each figure. Shape (n, k).

    Returns
    -------
    Correlations. Shape (k, k). Near -1 or 1, one figure can stand in for the other.

    Raises
    ------
    InputError
        A value is not finite, or the columns cannot be told apart.

    Notes
    -----
    They depend on the design alone, not on what was observed.

    Examples
    --------
    A line through points far from zero: a steeper slope makes up for a lower start.

    >>> print(f"{estimate_correlations([[1, 9.0], [1, 10.0], [1, 11.0]])[0, 1]:.3f}")
    -0.997
    """
    if not np.isfinite(condition_number(design)):
        raise InputError("the observations cannot tell the figures apart; leave one of them out")
    columns, _ = _observations(design, None)
    scaled = columns / np.linalg.norm(columns, axis=0)
    inverse = np.linalg.inv(scaled.T @ scaled)
    spread = np.sqrt(np.diag(inverse))
    return inverse / np.outer(spread, spread)


def _observations(design, observed):
    """Both as arrays of floats."""
    try:
        columns = np.asarray(design, dtype=float)
        values = np.zeros(len(columns)) if observed is None else np.asarray(observed, dtype=float)
    except (TypeError, ValueError):
        raise InputError("design and observations must be numbers, as many in each row") from None
    if columns.ndim != 2 or values.shape != (len(columns),):
        raise InputError("design must be a table with one row for each observation")
    if not (np.isfinite(columns).all() and np.isfinite(values).all()):
        raise InputError("design and observations must be finite numbers")
    if len(columns) < columns.shape[1] or (observed is not None and len(columns) == columns.shape[1]):
        raise InputError(
            f"{len(columns)} observations are too few for {columns.shape[1]} figures; there must be more of them"
        )
    return columns, values
