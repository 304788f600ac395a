"""Shares of cells against the shapes themselves, cut cell by cell, and against exactextract."""

import numpy as np
import pytest
import shapely
from shapely import affinity

from turfgis.formulas.coverage import cell_shares, parted_edges

ROWS, COLUMNS = 24, 31


def edges(shape):
    """Start and end of all edges, as drawn."""
    points, ring = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(shape)), return_index=True)
    follows = ring[1:] == ring[:-1]
    return points[:-1][follows], points[1:][follows]


def shares_of(shape, size=(ROWS, COLUMNS), corner=(0, 0)):
    start, end, _ = parted_edges(*edges(shape))
    middle = (start[:, 1] + end[:, 1]) / 2 - corner[1]
    here = (middle > 0) & (middle < size[0])
    return cell_shares(start[here] - corner, end[here] - corner, size)


def cut_cells(shape):
    corner = np.meshgrid(np.arange(COLUMNS), np.arange(ROWS))
    cells = shapely.box(corner[0], corner[1], corner[0] + 1, corner[1] + 1)
    return shapely.area(shapely.intersection(cells, shape))


ROUND = shapely.Point(12.3, 11.8).buffer(8.1)
SHAPES = {
    "round": ROUND,
    "with a hole": ROUND.difference(shapely.Point(13, 12).buffer(3.3)),
    "whole cells": shapely.box(3, 4, 9, 11),
    "the whole grid": shapely.box(0, 0, COLUMNS, ROWS),
    "within one cell": shapely.box(5.2, 6.3, 5.4, 6.9),
    "thin and slanting": shapely.LineString([(1.5, 1.5), (29, 22)]).buffer(0.05, cap_style="flat"),
    "corners on the lines": shapely.Polygon([(2, 2), (20, 2), (11, 20)]),
    "two parts": shapely.union(ROUND, shapely.box(25, 1, 30.5, 3.25)),
}


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("turned", [0, 180], ids=["", "turned"])
def test_shares_are_those_of_the_cut_cells(name, turned):
    shape = shapely.orient_polygons(affinity.rotate(SHAPES[name], turned, origin=(COLUMNS / 2, ROWS / 2)))
    shares = shares_of(shape)
    assert shares == pytest.approx(cut_cells(shape), abs=1e-12)
    assert shares.sum() == pytest.approx(shape.area, rel=1e-13)


def test_rings_that_run_the_other_way_give_the_same():
    shape = SHAPES["with a hole"]
    one, other = (shares_of(shapely.orient_polygons(shape, exterior_cw=way)) for way in (False, True))
    assert one == pytest.approx(other, abs=1e-12)


@pytest.mark.parametrize("name", SHAPES)
def test_a_window_shows_its_part(name):
    """Edges left of a window tell what lies in it, those right of it nothing."""
    shape = shapely.orient_polygons(SHAPES[name])
    whole = shares_of(shape)
    for row, column in ((0, 0), (5, 7), (11, 12), (20, 26)):
        part = whole[row : row + 4, column : column + 5]
        assert shares_of(shape, part.shape, (column, row)) == pytest.approx(part, abs=1e-12)


def test_pieces_lie_in_one_cell_each_and_make_up_their_edges():
    for shape in SHAPES.values():
        start, end = edges(shape)
        first, last, edge = parted_edges(start, end)
        low, high = np.minimum(first, last), np.maximum(first, last)
        assert (np.ceil(high) - np.floor(low) <= 1 + (low == high)).all()
        length = np.bincount(edge, np.hypot(*(last - first).T), len(start))
        assert length == pytest.approx(np.hypot(*(end - start).T), abs=1e-12)
        begins = np.flatnonzero(np.diff(edge, prepend=-1))
        assert (first[begins] == start).all()
        assert (last[np.append(begins[1:], len(edge)) - 1] == end).all()
        within = np.flatnonzero(np.diff(edge) == 0)
        assert (last[within] == first[within + 1]).all()


def test_shares_are_those_of_exactextract():
    exactextract = pytest.importorskip("exactextract")
    from exactextract.raster import NumPyRasterSource

    grid = np.zeros((ROWS, COLUMNS))
    source = NumPyRasterSource(grid, 0, 0, COLUMNS, ROWS)
    feature = {"type": "Feature", "geometry": shapely.geometry.mapping(ROUND), "properties": {}}
    (found,) = exactextract.exact_extract(source, [feature], ["coverage", "cell_id"])
    theirs = np.zeros(ROWS * COLUMNS)
    theirs[np.asarray(found["properties"]["cell_id"], dtype=int)] = found["properties"]["coverage"]
    ours = shares_of(ROUND)
    assert ours[::-1].ravel() == pytest.approx(theirs, abs=1e-5)  # theirs are single precision
