"""
How far an area can be trusted.

A drawn edge may lie in or out as a whole: by an offset of its own for every patch (``accuracy``) and by one that all
patches of a layer share (``edge_bias``). Follows JCGM 100:2008, Guide to the expression of uncertainty in measurement
(GUM), 5.1 and 5.2: independent parts add in squares, shared parts add as they are.
"""

import numpy as np
import pandas as pd
import shapely

from turfgis.formulas.geodesy import offset_area_uncertainty

# Half-width of the 95 % interval of a normal distribution, in standard uncertainties (GUM, table G.1).
COVERAGE_95 = 1.96


def vertex_uncertainty(shapes: np.ndarray, vertex_sd: np.ndarray) -> np.ndarray:
    """
    Standard uncertainty of areas whose vertices are each off on their own.

    Parameters
    ----------
    shapes
        Polygons. [m]
    vertex_sd
        Standard deviation of each coordinate of a vertex, one for each shape. [m]

    Returns
    -------
    Standard uncertainty, from var(A) = (s^2 / 4) sum |p[i+1] - p[i-1]|^2 over the vertices of all rings. [m2]
    """
    parts, owner = shapely.get_parts(shapes, return_index=True)
    rings, part = shapely.get_rings(parts, return_index=True)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    count = np.bincount(ring, minlength=len(rings))
    start = np.cumsum(count) - count
    vertex = np.arange(len(xy)) - start[ring]
    turn = count[ring] - 1  # the last point of a ring repeats the first
    open_end = vertex < turn
    after = start[ring] + (vertex + 1) % np.maximum(turn, 1)
    before = start[ring] + (vertex - 1) % np.maximum(turn, 1)
    squares = ((xy[after] - xy[before]) ** 2).sum(axis=1) * open_end
    total = np.bincount(owner[part[ring]], weights=squares, minlength=len(shapes))
    return 0.5 * np.asarray(vertex_sd) * np.sqrt(total)


def area_uncertainties(
    shapes: np.ndarray, accuracy: np.ndarray, edge_bias: np.ndarray, vertex_sd: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """
    The two parts of the standard uncertainty of each area.

    Parameters
    ----------
    shapes
        Net shapes. [m]
    accuracy, edge_bias, vertex_sd
        Standard deviations, one for each shape. [m] Where ``vertex_sd`` is a number it takes the place of ``accuracy``.

    Returns
    -------
    own, shared
        Standard uncertainty that a patch has for itself, and that it shares with its layer. [m2]
    """
    perimeter = shapely.length(shapes)
    own = offset_area_uncertainty(perimeter, accuracy)
    by_vertex = ~np.isnan(vertex_sd)
    if by_vertex.any():
        own[by_vertex] = vertex_uncertainty(shapes[by_vertex], vertex_sd[by_vertex])
    return own, offset_area_uncertainty(perimeter, edge_bias)


def area_covariance(patches: pd.DataFrame, members: np.ndarray) -> np.ndarray:
    """
    Covariance of summed areas, where one patch may stand in several sums.

    Parameters
    ----------
    patches
        Table with ``u_own_m2``, ``u_bias_m2`` and ``bias_group``. n rows.
    members
        Which patch stands in which sum, as 0 and 1. Shape (sums, n).

    Returns
    -------
    Covariance matrix. [m4] Shape (sums, sums).
    """
    own = patches["u_own_m2"].to_numpy(dtype=float)
    groups = pd.factorize(patches["bias_group"])[0]
    shared = np.zeros((len(members), groups.max(initial=-1) + 1))
    for row, weights in zip(shared, members * patches["u_bias_m2"].to_numpy(dtype=float), strict=True):
        np.add.at(row, groups, weights)
    return (members * own**2) @ members.T + shared @ shared.T
