"""Shares of cells against the shapes themselves, cut cell by cell, and against exactextract."""

import numpy as np
import pytest
import shapely
from shapely import affinity

from turfgis.formulas.coverage import cell_shares

ROWS, COLUMNS = 24, 31


def rings(shape):
    return [shapely.get_coordinates(ring) for ring in shapely.get_rings(shapely.get_parts(shape))]


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
    shares = cell_shares(rings(shape), (ROWS, COLUMNS))
    assert shares == pytest.approx(cut_cells(shape), abs=1e-12)
    assert shares.sum() == pytest.approx(shape.area, rel=1e-13)


def test_rings_that_run_the_other_way_give_the_same():
    shape = SHAPES["with a hole"]
    one, other = (rings(shapely.orient_polygons(shape, exterior_cw=way)) for way in (False, True))
    assert cell_shares(one, (ROWS, COLUMNS)) == pytest.approx(cell_shares(other, (ROWS, COLUMNS)), abs=1e-12)


def test_shares_are_those_of_exactextract():
    exactextract = pytest.importorskip("exactextract")
    from exactextract.raster import NumPyRasterSource

    grid = np.zeros((ROWS, COLUMNS))
    source = NumPyRasterSource(grid, 0, 0, COLUMNS, ROWS)
    feature = {"type": "Feature", "geometry": shapely.geometry.mapping(ROUND), "properties": {}}
    (found,) = exactextract.exact_extract(source, [feature], ["coverage", "cell_id"])
    theirs = np.zeros(ROWS * COLUMNS)
    theirs[np.asarray(found["properties"]["cell_id"], dtype=int)] = found["properties"]["coverage"]
    ours = cell_shares(rings(ROUND), (ROWS, COLUMNS))
    assert ours[::-1].ravel() == pytest.approx(theirs, abs=1e-5)  # theirs are single precision
