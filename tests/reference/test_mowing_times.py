"""
Mowing times that others wrote down, as bands in which a plausible answer lies.

They are single clubs and surveys, with driving between greens in them; so these checks are wide. The machines are
common practice, no source: pedestrian 0.56 m at 4.5 km/h, 10 s a turn; ride-on three units, 1.55 m at 6 km/h, 11 s.
"""

import numpy as np
import pytest
import shapely

from turfgis.layers.drawing import plain_drawing
from turfgis.measure.passes import measure_passes
from turfgis.measure.patches import measure_course

KMH = 1 / 3.6


def seconds(shapes, width, overlap, speed, turn, **more):
    laid = measure_passes(shapes, width, overlap, **more)
    return laid.length_m / speed + laid.turns * turn


@pytest.fixture(params=["bahamas_new_providence", "bahamas_paradise_island"])
def greens(request, open_data):
    """Greens of 18-hole courses. © OpenStreetMap contributors, ODbL."""
    patches = measure_course(plain_drawing(open_data / "golf" / f"{request.param}.geojson")).patches
    return patches.loc[patches["surface"] == "green"].geometry.to_numpy()


def test_a_green_on_foot(greens):
    # [usga-triplex-2018] United States Golf Association, Implementing a New Triplex Mower Program for Putting Greens,
    # 2018, https://usga.org/content/usga/home-page/course-care/water-resource-center/bmp-case-studies/2018/implementing-a-new-triplex-mower-program-for-putting-greens.html
    # double cut on foot 19 to 22 labour-hours for 18 greens: 32 to 37 minutes for one green once, all in all
    # [mowing-diary-2010] a club's course diary, Mowing, 2010, http://lakevalleygolf.blogspot.com/2010/04/mowing.html
    # 19 greens in 3 to 5 labour-hours: 9.5 to 16 minutes for one
    minutes = seconds(greens, 0.56, 0.05, 4.5 * KMH, 10.0).mean() / 60
    assert 9.5 < minutes < 36.7


def test_on_foot_against_riding(greens):
    # [usga-triplex-2018] United States Golf Association, Implementing a New Triplex Mower Program for Putting Greens,
    # 2018, https://usga.org/content/usga/home-page/course-care/water-resource-center/bmp-case-studies/2018/implementing-a-new-triplex-mower-program-for-putting-greens.html
    # 19 to 22 hours on foot, 8 to 9 riding: 2.1 to 2.8 times as much
    # [modern-efficiency-2013] a club's course diary, Modern efficiency, 2013,
    # http://fccturf.blogspot.com/2013/11/modern-efficiency.html
    # 11 hours on foot, 3 riding: 3.7 times
    foot = seconds(greens, 0.56, 0.05, 4.5 * KMH, 10.0).sum()
    riding = seconds(greens, 1.55, 0.10, 6.0 * KMH, 11.0).sum()
    assert 2.1 < foot / riding < 3.7


# [lsu-wider-2005] R. Parish (LSU AgCenter), Faster Wider Mowers Not Always Better, 2005,
# https://www.lsuagcenter.com/portals/communications/news/news_archive/2005/december/news%20you%20can%20use/faster-wider-mowers-not-always-better
def test_efficiency_of_a_large_plain_rectangle():
    """Above 90 % of width times speed, where nothing is in the way."""
    field = np.array([shapely.box(0, 0, 100, 300)])
    taken = seconds(field, 1.5, 0.0, 8 * KMH, 6.0).item()
    assert 30_000 / (1.5 * 8 * KMH) / taken > 0.90


def test_half_as_much_more_width_gives_less_than_half_more_ground():
    """And the share of the time that is spent cutting falls as machines get wider or faster."""
    field = np.array([shapely.box(0, 0, 60, 120)])
    narrow, wide = (seconds(field, width, 0.0, 8 * KMH, 8.0).item() for width in (1.2, 1.8))
    assert 1.0 < narrow / wide < 1.5
    slow, fast = (seconds(field, 1.2, 0.0, speed * KMH, 8.0).item() for speed in (8, 12))
    assert 1.0 < slow / fast < 1.5
