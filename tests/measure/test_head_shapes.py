"""What heads reach as shapes: circles and sectors by their formulas, what is missed, and the grid beside both."""

from math import pi

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely

from tests.measure.test_heads import heads, patches
from turfgis.measure.head_shapes import head_shapes, missed_ground, wetted_m2
from turfgis.measure.heads import lay_heads

GREEN = shapely.box(0, 0, 40, 20)


@pytest.mark.parametrize("arc", [360, 270, 180, 90, 30])
def test_a_sector_is_its_part_of_the_circle(arc):
    """Area of a sector: arc / 360 x pi r^2, plane geometry."""
    (shape,) = head_shapes(heads((3, 4), throw=15, arc=arc, facing=70))
    assert shape.area == pytest.approx(pi * 15**2 * arc / 360, rel=1e-3)


def test_a_sector_looks_where_it_faces():
    (east,) = head_shapes(heads((0, 0), throw=10, arc=90, facing=90))
    assert shapely.contains_xy(east, 5, 0)
    assert not shapely.contains_xy(east, [0, 0, -5], [5, -5, 0]).any()


def test_what_is_missed_by_hand():
    """A half circle of 10 m in the middle of the west edge of 40 x 20 m: 800 - 50 pi m2 are missed."""
    spot = heads((0, 10), throw=10, arc=180, facing=90)
    found = lay_heads(spot, patches(GREEN))
    missed = missed_ground(found.heads, patches(GREEN))
    assert missed["patch"].tolist() == ["green-01"]
    assert missed.area.iloc[0] == pytest.approx(800 - 50 * pi, rel=1e-3)
    assert found.table["missed_m2"].iloc[0] == pytest.approx(missed.area.iloc[0], rel=0.01)  # cells of half a metre


def test_ground_that_is_reached_and_ground_that_no_head_serves_is_not_missed():
    both = patches(GREEN, shapely.box(500, 0, 540, 20))
    whole = lay_heads(heads((20, 10), throw=40), both)
    assert missed_ground(whole.heads, both).empty


def test_crumbs_are_left_out():
    """Two throws that leave corners of less than a square metre each."""
    square = shapely.box(0, 0, 10, 10)
    spot = heads((5, 5), throw=6.6)
    corner = (shapely.box(0, 0, 10, 10).area - square.intersection(shapely.Point(5, 5).buffer(6.6, 64)).area) / 4
    assert 0 < corner < 1
    assert missed_ground(lay_heads(spot, patches(square)).heads, patches(square)).empty


def test_ground_that_is_wetted_twice_counts_once():
    one = heads((0, 0), throw=10)
    assert wetted_m2(pd.concat([one, one])) == pytest.approx(pi * 100, rel=1e-3)


def test_splitting_a_patch_changes_no_total():
    spot = heads((12, 3), throw=9)
    halves = patches(shapely.box(0, 0, 17, 20), shapely.box(17, 0, 40, 20))
    whole = missed_ground(lay_heads(spot, patches(GREEN)).heads, patches(GREEN)).area.sum()
    laid = lay_heads(spot, halves).heads
    served = gpd.GeoDataFrame(pd.concat([laid, laid.assign(patch="green-02")]), crs=laid.crs)
    assert missed_ground(served, halves).area.sum() == pytest.approx(whole, rel=1e-9)
    assert np.isfinite(whole)
