"""Slope, aspect and area along the slope, out of a grid of heights."""

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive

# Weights of the three rows or columns of a window: Horn's gradient, and the mask that blots out every plane and saddle.
_ACROSS = np.array([1.0, 2.0, 1.0])
_ALONG = np.array([-1.0, 0.0, 1.0])
_BEND = np.array([1.0, -2.0, 1.0])
NORTH_WEST, HALF_UP = 7 * np.pi / 4, np.pi / 4  # where the light of a shaded relief comes from
NORMAL_QUARTILE = 0.6744897501960817  # three quarters of a normal distribution lie below so many standard deviations


def horn_gradient(heights):
    r"""
    Rise of the ground from each cell of a grid to the next, by Horn's weights of its eight neighbours.

    .. math::
        \frac{\partial z}{\partial i} = \frac{1}{8} \sum_{k} w_k (z_{i+1,k} - z_{i-1,k}), \qquad w = 1, 2, 1

    Parameters
    ----------
    heights
        Grid of heights, at least three cells each way. [m] Not a number where none is known.

    Returns
    -------
    A tuple: rise along a row from one column to the next, and along a column from one row to the next. [m] Each has a
    cell less on every side; not a number where one of its neighbours is. Divide by the size of a cell for
    the gradient.

    Raises
    ------
    InputError
        The grid has no cell with eight neighbours.

    Notes
    -----
    B. K. P. Horn's weights (source ``horn-1981``); they blur noise more than the difference of two neighbours.

    Examples
    --------
    >>> across, down = horn_gradient([[50, 45, 50], [30, 30, 30], [8, 10, 10]])
    >>> print(across[0, 0], down[0, 0])
    0.25 -19.0
    """
    grid = _grid(heights)
    columns = grid[:-1] + grid[1:]  # weights of 1, 2, 1 are two sums of neighbours
    columns = columns[:-1] + columns[1:]
    rows = grid[2:] - grid[:-2]
    rows = rows[:, :-1] + rows[:, 1:]
    return (columns[:, 2:] - columns[:, :-2]) / 8, (rows[:, :-1] + rows[:, 1:]) / 8


def slope_angle(east, north):
    r"""
    Steepness of the ground.

    .. math:: \arctan \sqrt{g_e^2 + g_n^2}

    Parameters
    ----------
    east, north
        Gradient: rise over distance. [-]

    Returns
    -------
    Angle from the horizontal. [rad]

    Raises
    ------
    InputError
        Never: a gradient that is not known gives a slope that is not known.

    Notes
    -----
    Plain geometry.

    Examples
    --------
    A rise of one in three:

    >>> print(f"{np.degrees(slope_angle(1 / 3, 0.0)):.1f}")
    18.4
    """
    return np.arctan(np.hypot(east, north))


def aspect(east, north):
    """
    Direction in which the ground falls.

    Parameters
    ----------
    east, north
        Gradient: rise over distance. [-]

    Returns
    -------
    Bearing clockwise from north, from 0 to less than a full turn. [rad] Not a number on the level.

    Raises
    ------
    InputError
        Never: a gradient that is not known gives an aspect that is not known.

    Notes
    -----
    Plain geometry.

    Examples
    --------
    Ground that rises to the east falls to the west:

    >>> print(np.degrees(aspect(0.1, 0.0)))
    270.0
    """
    east, north = np.asarray(east, dtype=float), np.asarray(north, dtype=float)
    bearing = np.arctan2(-east, -north) % (2 * np.pi)
    return np.where((east == 0) & (north == 0), np.nan, bearing)[()]


def gradient_area_factor(east, north):
    r"""
    Area along the ground over its area on the map: the secant of the slope.

    .. math:: \sqrt{1 + g_e^2 + g_n^2}

    Parameters
    ----------
    east, north
        Gradient: rise over distance. [-]

    Returns
    -------
    Factor, 1 on the level. [-]

    Raises
    ------
    InputError
        Never: a gradient that is not known gives a factor that is not known.

    Notes
    -----
    Plain geometry of a tilted plane; its mean over a patch, times the area of the patch, is the area along the slope.

    Examples
    --------
    >>> print(f"{gradient_area_factor(0.30, 0.0):.5f}")
    1.04403
    """
    return np.sqrt(1 + np.square(east) + np.square(north))


def triangle_area_factor(heights, cell):
    r"""
    Area along the ground over its area on the map, by eight triangles about the middle of each cell.

    Parameters
    ----------
    heights
        Grid of heights, at least three cells each way. [m] Not a number where none is known.
    cell
        Side of a square cell. [m]

    Returns
    -------
    Factor of each cell that has eight neighbours. [-]

    Raises
    ------
    InputError
        The side is not greater than zero, or the grid has no cell with eight neighbours.

    Notes
    -----
    J. Jenness's method (source ``jenness-2004``): the triangles between the middle of the cell and the middles of its
    neighbours, at half their size. It follows roughness that a fitted plane smooths away, and so also noise.

    Examples
    --------
    The example of the paper, cells of 100 m:

    >>> factor = triangle_area_factor([[190, 170, 155], [183, 165, 145], [175, 160, 122]], 100)
    >>> print(f"{factor[0, 0]:.4f}")
    1.0281
    """
    grid, side = _grid(heights), float(positive("cell", cell, "m"))
    rows, columns = grid.shape
    around = [(0, 0), (0, 1), (0, 2), (1, 2), (2, 2), (2, 1), (2, 0), (1, 0)]
    rise = [grid[i : rows - 2 + i, j : columns - 2 + j] - grid[1:-1, 1:-1] for i, j in around]
    way = [np.array([(j - 1) * side, (1 - i) * side]) for i, j in around]
    total = 0.0
    for at in range(8):
        (x1, y1), (x2, y2) = way[at], way[(at + 1) % 8]
        z1, z2 = rise[at], rise[(at + 1) % 8]
        total = total + np.sqrt((y1 * z2 - y2 * z1) ** 2 + (x2 * z1 - x1 * z2) ** 2 + (x1 * y2 - x2 * y1) ** 2) / 2
    return total / 4 / side**2


def smoothing_weights(smoothing, cell):
    r"""
    Weights by which heights are averaged along one direction.

    .. math:: w_k \propto \exp\left(-\frac{2 (k c)^2}{s^2}\right)

    Parameters
    ----------
    smoothing
        Distance at which a height counts for 14 % (1 / e squared) of what the nearest counts. [m] 0 for none.
    cell
        Distance from one height to the next. [m]

    Returns
    -------
    Weights that add up to 1, an odd number of them, reaching to one and a half times the distance.

    Raises
    ------
    InputError
        The smoothing is below zero, or the size of a cell not above it.

    Notes
    -----
    A normal curve whose standard deviation is half the distance.

    Examples
    --------
    >>> print(smoothing_weights(2.0, 1.0).round(3))
    [0.004 0.054 0.242 0.399 0.242 0.054 0.004]
    """
    width, step = float(not_negative("smoothing", smoothing, "m")), float(positive("cell", cell, "m"))
    reach = int(np.ceil(1.5 * width / step)) if width > 0 else 0
    at = np.arange(-reach, reach + 1) * step
    weights = np.exp(-2 * (at / width) ** 2) if reach else np.ones(1)
    return weights / weights.sum()


def smoothed(heights, down, across):
    """
    Heights averaged with their neighbours, where they are known.

    Parameters
    ----------
    heights
        Grid of heights. [m] Not a number where none is known.
    down, across
        Weights from row to row and from column to column, as of `smoothing_weights`.

    Returns
    -------
    Grid of the same shape; what was not known stays so.

    Raises
    ------
    InputError
        Never: weights of one each way give the heights back.

    Notes
    -----
    A known height is averaged with those neighbours that are known, so that gaps and rims do not pull it down.

    Examples
    --------
    >>> smoothed(np.array([[0.0, 0.0, 4.0]]), np.ones(1), np.array([0.25, 0.5, 0.25])).round(2)
    array([[0.  , 1.  , 2.67]])
    """
    if len(down) == len(across) == 1:
        return heights
    known = ~np.isnan(heights)
    total = _blurred(np.where(known, heights, 0.0), down, across)
    weight = _blurred(known.astype(float), down, across)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(known, total / weight, np.nan)


def gradient_noise(down, across):
    """
    Variance of Horn's rises where each height of the grid has an error of its own, with variance 1.

    Parameters
    ----------
    down, across
        Weights by which the heights were averaged before, as of `smoothing_weights`.

    Returns
    -------
    A tuple: variance of the rise from column to column, and from row to row. [-]

    Raises
    ------
    InputError
        Never.

    Notes
    -----
    The rises are weighted sums of heights; errors that neighbours share do not count in, and grow the slope less.

    Examples
    --------
    Without averaging, three sixteenths:

    >>> print(gradient_noise(np.ones(1), np.ones(1)))
    (0.1875, 0.1875)
    """

    def power(weights, mask):
        return float(np.square(np.convolve(weights, mask)).sum())

    columns = power(across, _ALONG) * power(down, _ACROSS) / 64
    return columns, power(down, _ALONG) * power(across, _ACROSS) / 64


def area_factor_noise(factor, variance):
    r"""
    How much errors of the gradient add to the area factor on average: a level field measured roughly looks larger.

    .. math:: \frac{\sigma^2}{2} \, \frac{1 + f^2}{f^3}

    Parameters
    ----------
    factor
        Area factor, as of `gradient_area_factor`. [-]
    variance
        Variance of the error of the gradient east, and as much north. [-]

    Returns
    -------
    Addition to the factor. [-]

    Raises
    ------
    InputError
        The variance is below zero.

    Notes
    -----
    Second order of the secant (Guide to the expression of uncertainty in measurement, source ``gum-2008``).

    Examples
    --------
    An error of 3 % of slope each way on level ground:

    >>> print(f"{area_factor_noise(1.0, 0.03**2):.5f}")
    0.00090
    """
    cosine = 1 / np.asarray(factor, dtype=float)
    half = not_negative("variance", variance, "") / 2
    return half * (cosine + cosine * cosine * cosine)  # a power of three takes ten times as long


def height_noise(heights):
    """
    Standard deviation of the errors of single heights, told from how they jump about their neighbours.

    Parameters
    ----------
    heights
        Grid of heights, at least three cells each way. [m] Not a number where none is known.

    Returns
    -------
    Standard deviation. [m] Not a number where no cell has eight known neighbours.

    Raises
    ------
    InputError
        The grid has no cell with eight neighbours.

    Notes
    -----
    J. Immerkaer's mask (source ``immerkaer-1996``), which gives nothing on planes and saddles; the middle of its sizes
    instead of their mean, so that the few cells on an edge do not count as noise. Bends of the ground do count, so it
    is rather too large; errors that neighbours share are not seen.

    Examples
    --------
    A plane has none:

    >>> print(round(height_noise(np.add.outer(np.arange(9.0), np.arange(9.0))), 12))
    0.0
    """
    left = np.abs(_masked(_grid(heights), _BEND, _BEND))
    known = left[~np.isnan(left)]
    return float(np.median(known)) / (6 * NORMAL_QUARTILE) if known.size else np.nan


def shade(east, north, sun=NORTH_WEST, height=HALF_UP):
    """
    Light on the ground from one side, as on a shaded relief.

    Parameters
    ----------
    east, north
        Gradient: rise over distance. [-]
    sun
        Bearing the light comes from, clockwise from north. [rad]
    height
        Its angle above the horizontal. [rad]

    Returns
    -------
    Cosine of the angle between the light and the upright of the ground, 0 where it turns away. [-]

    Raises
    ------
    InputError
        Never: a gradient that is not known gives a light that is not known.

    Notes
    -----
    Lambert's cosine law. North-west is the side that map readers are used to.

    Examples
    --------
    >>> print(f"{shade(0.0, 0.0):.4f}")
    0.7071
    """
    towards = np.asarray(east) * np.sin(sun) + np.asarray(north) * np.cos(sun)
    light = np.sin(height) - towards * np.cos(height)
    return np.maximum(light, 0.0) / gradient_area_factor(east, north)


def _grid(heights):
    grid = np.asarray(heights, dtype=float)
    if grid.ndim != 2 or min(grid.shape) < 3:
        raise InputError("heights must be a grid of at least three rows and three columns")
    return grid


def _masked(grid, down, across):
    """A mask of three by three, given by its factors, laid on every cell that has eight neighbours."""
    rows = down[0] * grid[:-2] + down[1] * grid[1:-1] + down[2] * grid[2:]
    return across[0] * rows[:, :-2] + across[1] * rows[:, 1:-1] + across[2] * rows[:, 2:]


def _blurred(grid, down, across):
    """Weights laid along both directions, nothing beyond the rim."""
    for axis, weights in ((0, down), (1, across)):
        reach = len(weights) // 2
        wide = np.pad(grid, [(reach, reach) if at == axis else (0, 0) for at in (0, 1)])
        size = grid.shape[axis]
        grid = np.zeros(grid.shape)
        for k, weight in enumerate(weights):
            grid += weight * wide.take(range(k, k + size), axis=axis)
    return grid
