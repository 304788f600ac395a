"""
Areas on the ellipsoid against printed figures, GeographicLib and PROJ.

A key in square brackets names the source in turfgis.sources. Our edges are straight in longitude and latitude, those
of GeographicLib are geodesics: the two are compared on figures so small that the difference is under a thousandth of
a square metre, or along meridians and the equator, where there is none.
"""

import math

import numpy as np
import pyproj
import pytest
from geographiclib.geodesic import Geodesic

from turfgis.formulas.geodesy import ring_area, ring_areas, true_area_factor, vertex_area_uncertainty

CLARKE_1866 = 6378206.4, 1 - math.sqrt(1 - 0.00676866)  # as in Snyder, who prints the squared eccentricity
# [geographiclib-planimeter] C. Karney, Planimeter(1) manual page, https://github.com/geographiclib/geographiclib
# states 0.0013 m2 as the largest error of its own areas below 10 km of perimeter
CLOSE = {"abs": 1e-3, "rel": 0}


def geodesic_area(lon, lat):
    polygon = Geodesic.WGS84.Polygon()
    for point in zip(lat, lon, strict=True):
        polygon.AddPoint(*point)
    return abs(polygon.Compute(reverse=True)[2])


def box(south, north, west, east):
    return [west, east, east, west], [south, south, north, north]


@pytest.mark.parametrize(
    ("latitude", "printed"),
    # [snyder-1987] J. P. Snyder, Map Projections: A Working Manual, USGS Professional Paper 1395, 1987, pages 16, 77,
    # 278
    # q of latitude on Clarke 1866, pages 16 and 333
    [(40, "1.2792602"), (30, "0.9943535"), (90, "1.9954814")],
)
def test_authalic_q_as_printed(latitude, printed, as_printed):
    a, f = CLARKE_1866
    cell = ring_area(*box(0, latitude, 0, 1), a, f)
    assert cell / (a**2 / 2 * math.radians(1)) == as_printed(printed)


def test_equal_area_cylinder_as_printed():
    # [snyder-1987] J. P. Snyder, Map Projections: A Working Manual, USGS Professional Paper 1395, 1987, pages 16, 77,
    # 278
    # cylindrical equal-area example: 3 degrees west and 5 north are 332,699.8 and 554,248.5 m on the map
    printed = 332_699.8 * 554_248.5
    assert ring_area(*box(0, 5, -78, -75), *CLARKE_1866) == pytest.approx(printed, rel=0.05 / 332_699 + 0.05 / 554_248)


def test_whole_ellipsoid_as_printed():
    # [geographiclib-tests] C. Karney, GeographicLib Python test suite,
    # https://github.com/geographiclib/geographiclib-python
    # area of the WGS 84 ellipsoid, to the last digit a double can hold at this size
    octants = sum(ring_area(*box(*band, west, west + 90)) for band in ((-90, 0), (0, 90)) for west in range(0, 360, 90))
    assert octants == pytest.approx(510065621724088.5093, abs=0.5)


def test_octant_as_printed():
    # [geographiclib-tests] C. Karney, GeographicLib Python test suite,
    # https://github.com/geographiclib/geographiclib-python
    # pole, 0 E and 90 E on the equator: edges on meridians and the equator; tested there to 1 m2
    assert ring_area([0, 90, 90, 0], [0, 0, 90, 90]) == pytest.approx(63758202715511.0, abs=1)


def test_square_kilometre_at_the_equator_as_printed():
    # [geographiclib-tests] C. Karney, GeographicLib Python test suite,
    # https://github.com/geographiclib/geographiclib-python
    # sides of 1,000 m east, north and west from 0, 0; printed 1000000.0, tested there to 0.01
    lat, lon, azimuths = [0.0], [0.0], (90, 0, -90)
    for azimuth in azimuths:
        end = Geodesic.WGS84.Direct(lat[-1], lon[-1], azimuth, 1000)
        lat.append(end["lat2"])
        lon.append(end["lon2"])
    assert ring_area(lon, lat) == pytest.approx(1_000_000.0, abs=0.01)


def test_sphere_as_printed(as_printed):
    # [sciforums-2003] a science forum, thread on surface area, 2003, http://www.sciforums.com/surface-area-t-30916.html
    # a cell of one degree, 53 to 54 north, by a formula for a sphere of 6,371 km
    assert ring_area(*box(53, 54, 0, 1), 6_371_000, 0) == as_printed("7.35e9")


@pytest.mark.parametrize("south", [0, 30, 40, 45, 51, 53, 60, -38, -78])
def test_cells_between_parallels_as_proj(south):
    """A cell of one degree is a rectangle in PROJ's cylindrical equal-area plane."""
    plane = pyproj.Transformer.from_crs("EPSG:4326", "+proj=cea +ellps=WGS84 +type=crs", always_xy=True)
    (west, east), (bottom, top) = plane.transform([7, 8], [south, south + 1])
    assert ring_area(*box(south, south + 1, 7, 8)) == pytest.approx((east - west) * (top - bottom), rel=1e-11)


# south, north, west, east; geodesic area by GeographicLib 2.1 [m2]
SMALL = [
    pytest.param(39.9998, 40.0002, -75.0002, -74.9998, 1517.0681, id="40-north"),
    pytest.param(39.9998, 40.0002, -72.0006, -72.0002, 1517.0681, id="40-north-zone-edge"),
    pytest.param(56.3398, 56.3402, -2.8040, -2.8032, 2203.5823, id="56-north"),
    pytest.param(-37.8002, -37.7998, 144.9000, 144.9004, 1564.0285, id="37-south"),
    pytest.param(-17.8002, -17.7998, 179.9998, -179.9998, 1877.5211, id="antimeridian"),
]


@pytest.mark.parametrize(("south", "north", "west", "east", "area"), SMALL)
def test_small_rectangles_as_geographiclib(south, north, west, east, area):
    lon, lat = box(south, north, west, east)
    assert geodesic_area(lon, lat) == pytest.approx(area, **CLOSE)
    assert ring_area(lon, lat) == pytest.approx(area, **CLOSE)
    assert ring_area(lon[::-1], lat[::-1]) == pytest.approx(area, **CLOSE)


def stars(latitude, longitude, count=20, corners=24):
    """Star-shaped rings of 8 to 20 m about a point, as degrees; seeded."""
    rng = np.random.default_rng(2024)
    radius = rng.uniform(8, 20, (count, corners))
    angle = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    lat = latitude + radius * np.sin(angle) / 111_000
    lon = longitude + radius * np.cos(angle) / 111_000 / math.cos(math.radians(latitude))
    return (lon + 180) % 360 - 180, lat


@pytest.mark.parametrize("longitude", [-75.0, 0.0, 180.0])
@pytest.mark.parametrize("latitude", [0.0, 12.0, 36.5, 56.3, 69.0, -17.8, -37.8, -54.8])
def test_star_shaped_greens_as_geographiclib(latitude, longitude):
    lon, lat = stars(latitude, longitude)
    offsets = np.arange(len(lon) + 1) * lon.shape[1]
    areas = ring_areas(lon.ravel(), lat.ravel(), offsets)
    assert areas == pytest.approx([geodesic_area(*ring) for ring in zip(lon, lat, strict=True)], **CLOSE)


def test_fairway_as_a_fine_geodesic_polygon():
    """
    Long edges, cut up on the straight line in degrees, so that the geodesics follow it.

    A lopsided shape: taking each edge as straight in the equal-area plane would be thirteen square metres out.
    """
    lon, lat = np.array([-2.80, -2.795, -2.787, -2.799]), np.array([56.34, 56.342, 56.348, 56.338])
    part = np.linspace(0, 1, 400, endpoint=False)[:, None]
    fine = [(values + part * (np.roll(values, -1) - values)).T.ravel() for values in (lon, lat)]
    assert ring_area(lon, lat) == pytest.approx(geodesic_area(*fine), **CLOSE)


def test_area_of_a_slope_as_printed(as_printed):
    # [arboreal-slope] a forestry measurement page, Calculating area on a slope, https://arboreal.se/en/slope
    # 10,000 m2 on the map at 30 degrees
    assert 10_000 * true_area_factor(math.radians(30)) == as_printed("11547")


def test_area_uncertainty_from_corners_as_printed(as_printed):
    # [navratil-2003] G. Navratil, Precision of Area Computation, 2003,
    # https://m.moam.info/precision-of-area-computation_5baf6b9d097c47b73b8b47ca.html
    # the formula; 100 by 60 m with corners good to 0.5 m, worked by hand: 0.25 x sqrt(4 x 13,600)
    assert vertex_area_uncertainty([0, 100, 100, 0], [0, 0, 60, 60], 0.5) == as_printed("58.31")
