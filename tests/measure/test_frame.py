"""
The equal-area frame against GeographicLib, PROJ and printed areas.

GeographicLib's edges are geodesics, ours are straight in the drawing: they are compared on small figures, where the two
differ by less than a thousandth of a square metre, or with points set so close that both follow the same line.
"""

import math

import numpy as np
import pyproj
import pytest
import shapely
from geographiclib.geodesic import Geodesic

from turfgis.formulas.geodesy import ring_area
from turfgis.measure.frame import (
    LONGEST_EDGE_M,
    datum_shift,
    local_frame,
    middle,
    near_meridian,
    project,
    transformer,
)

WGS84 = pyproj.CRS(4326)
# C. Karney, Planimeter(1) manual page, https://github.com/geographiclib/geographiclib: its own areas are good to
# 0.0013 m2 below 10 km of perimeter.
CLOSE = {"abs": 1e-3, "rel": 0}


def in_frame(shapes, crs):
    """Shapes in the frame made for them."""
    shapes, crs = np.array(shapes, dtype=object), pyproj.CRS(crs)
    frame = local_frame([(crs, *middle(shapes, crs))])
    return project(shapes, crs, frame)


def box(south, north, west, east):
    return [west, east, east, west], [south, south, north, north]


# south, north, west, east [degrees]: small rectangles about the middle and the edge of a UTM zone, far north, south of
# the equator, and across the antimeridian. Area and perimeter come from GeographicLib when the test runs.
SMALL = [
    pytest.param(39.9998, 40.0002, -75.0002, -74.9998, id="40-north"),
    pytest.param(39.9998, 40.0002, -72.0006, -72.0002, id="40-north-zone-edge"),
    pytest.param(56.3398, 56.3402, -2.8040, -2.8032, id="56-north"),
    pytest.param(69.6498, 69.6501, 18.9500, 18.9510, id="69-north"),
    pytest.param(-37.8002, -37.7998, 144.9000, 144.9004, id="37-south"),
    pytest.param(-0.0002, 0.0002, 9.0000, 9.0004, id="equator"),
    pytest.param(-17.8002, -17.7998, 179.9998, 180.0002, id="antimeridian-one-way"),
    pytest.param(-17.8002, -17.7998, 179.9998, -179.9998, id="antimeridian-other-way"),
]


@pytest.mark.parametrize(("south", "north", "west", "east"), SMALL)
def test_small_rectangles_as_geographiclib(geodesic_area, south, north, west, east):
    lon, lat = box(south, north, west, east)
    area, perimeter = geodesic_area(lon, lat)
    (shape,) = in_frame([shapely.Polygon(np.column_stack([lon, lat]))], WGS84)
    assert shape.area == pytest.approx(area, **CLOSE)
    assert shape.length == pytest.approx(perimeter, **CLOSE)


@pytest.mark.parametrize(("south", "north", "west", "east"), SMALL)
def test_small_rectangles_as_proj(south, north, west, east):
    """Another hand's ruler: PROJ's own geodesics."""
    lon, lat = box(south, north, west, east)
    area, perimeter = pyproj.Geod(ellps="WGS84").polygon_area_perimeter(lon, lat)
    (shape,) = in_frame([shapely.Polygon(np.column_stack([lon, lat]))], WGS84)
    assert shape.area == pytest.approx(abs(area), **CLOSE)
    assert shape.length == pytest.approx(perimeter, **CLOSE)


def star(seed, corners=40):
    """A lopsided green of 8 to 20 m about (0, 0). [m] Seeded."""
    rng = np.random.default_rng(seed)
    angle = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    radius = rng.uniform(8, 20, corners)
    return np.column_stack([radius * np.cos(angle), radius * np.sin(angle)])


# A green drawn in a system that people draw in: its code, and a place inside its reach [units of the system].
SYSTEMS = [
    pytest.param(4326, (-77.47, 25.02), id="degrees"),
    pytest.param(32618, (250_000, 2_770_000), id="utm-zone-edge"),
    pytest.param(32733, (500_000, 6_240_000), id="utm-south"),
    pytest.param(27700, (351_000, 717_000), id="british-grid"),
    pytest.param(3857, (-312_140, 7_620_000), id="web-mercator"),
    pytest.param(2263, (1_030_000, 160_000), id="us-survey-feet"),
    pytest.param(2222, (700_000, 900_000), id="international-feet"),
    pytest.param(27572, (600_000, 2_200_000), id="grid-in-grads-from-paris"),
    pytest.param(4807, (-0.6, 52.1), id="grads-from-paris"),
    pytest.param(3035, (4_321_000, 3_210_000), id="equal-area-far-from-its-centre"),
    pytest.param(2193, (1_570_000, 5_180_000), id="northing-before-easting"),
    pytest.param(3413, (-1_000_000, -2_000_000), id="polar-stereographic"),
]


@pytest.mark.parametrize(("code", "place"), SYSTEMS)
def test_a_green_in_any_system_as_geographiclib(geodesic_area, code, place):
    """Corners taken to longitude and latitude on the system's own ellipsoid, there measured by GeographicLib."""
    crs = pyproj.CRS(code)
    per_metre = 1 / 111_320 if crs.is_geographic else 1 / crs.axis_info[0].unit_conversion_factor
    xy = np.array(place) + star(code) * per_metre
    geographic = crs.geodetic_crs
    lon, lat = pyproj.Transformer.from_crs(crs, geographic, always_xy=True).transform(*xy.T)
    unit = math.degrees(geographic.axis_info[0].unit_conversion_factor)
    ellipsoid = geographic.ellipsoid
    own = Geodesic(ellipsoid.semi_major_metre, 1 / ellipsoid.inverse_flattening)
    area, perimeter = geodesic_area(np.multiply(lon, unit), np.multiply(lat, unit), own)
    (shape,) = in_frame([shapely.Polygon(xy)], crs)
    assert shape.area == pytest.approx(area, **CLOSE)
    assert shape.length == pytest.approx(perimeter, **CLOSE)


def test_a_plane_in_web_mercator_would_be_far_out(geodesic_area):
    """
    What not using it saves: at 56.34 degrees north its plane shows 3.2467 times the ground.

    Closed form on WGS 84: (1 - e^2 sin^2)^2 / ((1 - e^2) cos^2), from the radii of curvature
    (Snyder, Map Projections: A Working Manual, 1987, pages 24 and 25).
    """
    lon, lat = box(56.3398, 56.3402, -2.8040, -2.8032)
    plane = shapely.Polygon(np.column_stack(transformer(WGS84, pyproj.CRS(3857)).transform(lon, lat))).area
    e2, sine = 0.00669437999014, math.sin(math.radians(56.34))
    stretched = (1 - e2 * sine**2) ** 2 / ((1 - e2) * (1 - sine**2))
    assert plane / geodesic_area(lon, lat)[0] == pytest.approx(stretched, rel=1e-5)
    assert stretched == pytest.approx(3.2467, abs=5e-4)


def test_square_kilometre_at_the_equator_as_printed():
    # C. Karney, GeographicLib Python test suite, https://github.com/geographiclib/geographiclib-python
    # sides of 1,000 m east, north and west from 0, 0; printed 1000000.0, tested there to 0.01
    lat, lon = [0.0], [0.0]
    for azimuth in (90, 0, -90):
        end = Geodesic.WGS84.Direct(lat[-1], lon[-1], azimuth, 1000)
        lat.append(end["lat2"])
        lon.append(end["lon2"])
    (shape,) = in_frame([shapely.Polygon(np.column_stack([lon, lat]))], WGS84)
    assert shape.area == pytest.approx(1_000_000.0, abs=0.01)


UTM18 = pyproj.CRS(32618)
GRID_SQUARE = [(500_000, 4_400_000), (600_000, 4_400_000), (600_000, 4_500_000), (500_000, 4_500_000)]


def test_grid_square_between_geodesics_as_printed():
    # C. Karney, Planimeter(1) manual page, https://github.com/geographiclib/geographiclib
    # 100 km grid square 18SWK in UTM zone 18 north, corners joined by geodesics: printed 400139.532959 m and
    # 10007388597.2 m2. We draw each geodesic in 1,000 pieces.
    to_degrees, back = transformer(UTM18, WGS84), transformer(WGS84, UTM18)
    corners = np.column_stack(to_degrees.transform(*np.array(GRID_SQUARE, dtype=float).T))
    ring = []
    for (lon, lat), (lon_to, lat_to) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        side = Geodesic.WGS84.InverseLine(lat, lon, lat_to, lon_to)
        places = [side.Position(step * side.s13 / 1000) for step in range(1000)]
        ring += [back.transform(place["lon2"], place["lat2"]) for place in places]
    (shape,) = in_frame([shapely.Polygon(ring)], UTM18)
    assert shape.area == pytest.approx(10007388597.2, rel=1e-10)


def test_grid_square_along_the_grid_as_the_areal_scale_of_proj():
    """
    Long edges, straight in the grid: its area is the integral of PROJ's areal scale over the square.

    The geodesics of the printed figure bulge 205,000 m2 further than the grid lines, 2e-5 of the whole; joining the
    corners by straight lines in the frame would be out as well.
    """
    nodes, weights = np.polynomial.legendre.leggauss(12)
    x, y = (np.array(start) + 50_000 * (nodes + 1) for start in GRID_SQUARE[0])
    lon, lat = transformer(UTM18, WGS84).transform(*(grid.ravel() for grid in np.meshgrid(x, y)))
    scale = pyproj.Proj(UTM18).get_factors(np.array(lon), np.array(lat)).areal_scale
    integral = (np.outer(weights, weights).ravel() * 50_000**2 / scale).sum()
    (shape,) = in_frame([shapely.Polygon(GRID_SQUARE)], UTM18)
    assert shape.area == pytest.approx(integral, rel=1e-9)
    assert abs(integral / 10007388597.2 - 1) == pytest.approx(2.05e-5, rel=0.01)


# Edges of hundreds of metres, lopsided, so that what lies between chord and curve does not cancel. [degrees]
LONG = [
    pytest.param([-2.80, -2.795, -2.787, -2.799], [56.34, 56.342, 56.348, 56.338], id="56-north"),
    pytest.param([14.48, 14.50, 14.49], [35.875, 35.875, 35.871], id="35-north"),
    pytest.param([144.90, 144.93, 144.915], [-37.80, -37.80, -37.81], id="37-south"),
    pytest.param([179.99, -179.99, -180.0], [-17.80, -17.80, -17.81], id="antimeridian"),
]


@pytest.mark.parametrize(("lon", "lat"), LONG)
def test_long_edges_stay_straight_in_the_drawing(geodesic_area, lon, lat):
    """The straight line in degrees, followed by so many geodesics that they cannot leave it."""
    lon, lat = near_meridian(np.array(lon, dtype=float), lon[0]), np.array(lat)
    part = np.linspace(0, 1, 1500, endpoint=False)[:, None]
    fine = [(values + part * (np.roll(values, -1) - values)).T.ravel() for values in (lon, lat)]
    area, _ = geodesic_area(*fine)
    (shape,) = in_frame([shapely.Polygon(np.column_stack([lon, lat]))], WGS84)
    assert np.hypot(*np.diff(shapely.get_coordinates(shape), axis=0).T).max() <= LONGEST_EDGE_M * 1.001
    assert shape.area == pytest.approx(area, rel=1e-7)
    assert shape.area == pytest.approx(ring_area(lon, lat), rel=1e-7)
    chords = project(np.array([shapely.Polygon(np.column_stack([lon, lat])).exterior]), WGS84, frame_of(lon, lat))
    assert abs(shapely.Polygon(chords[0]).area / area - 1) > 1e-6


def frame_of(lon, lat):
    return local_frame([(WGS84, float(np.median(lon)), float(np.median(lat)))])


def test_long_edges_that_neighbours_share_stay_shared():
    """Two fairways on either side of one edge of 1.2 km, drawn in opposite directions."""
    corner, other = (-2.80, 56.34), (-2.7803, 56.3417)
    west = shapely.Polygon([corner, other, (-2.79, 56.35)])
    east = shapely.Polygon([other, corner, (-2.785, 56.33)])
    a, b = in_frame([west, east], WGS84)
    shared = {tuple(point) for point in shapely.get_coordinates(a)} & {
        tuple(point) for point in shapely.get_coordinates(b)
    }
    assert len(shared) > 1200 / LONGEST_EDGE_M
    assert a.touches(b)
    assert shapely.union(a, b).area == pytest.approx(a.area + b.area, rel=1e-15)


def test_points_on_a_long_edge_are_the_same_from_either_end():
    """Two hundred pairs of triangles, drawn by chance, each pair on either side of one edge (seeded)."""
    rng = np.random.default_rng(17)
    for _ in range(200):
        corner, other, near, far = np.add((-2.8, 56.34), rng.uniform(-0.01, 0.01, (4, 2)))
        a, b = in_frame([shapely.Polygon([corner, other, near]), shapely.Polygon([other, corner, far])], WGS84)
        points = [{tuple(point) for point in shapely.get_coordinates(shape)} for shape in (a, b)]
        edge = shapely.LineString(
            project(np.array([shapely.LineString([corner, other])]), WGS84, frame_of(-2.8, 56.34))[0]
        )
        assert len(points[0] & points[1]) >= edge.length / LONGEST_EDGE_M


def test_kinds_parts_and_cutouts_are_kept():
    holed = (
        shapely.box(0, 0, 400, 300).difference(shapely.box(50, 50, 350, 90)).difference(shapely.box(50, 150, 60, 160))
    )
    pair = shapely.MultiPolygon([shapely.box(500, 0, 700, 100), holed])
    small = shapely.box(0, 500, 10, 510)
    line, point = shapely.LineString([(0, 0), (1000, 0)]), shapely.Point(3, 4)
    drawn = shapely.transform(np.array([holed, pair, small, line, point]), lambda xy: np.add(xy, (500_000, 5_300_000)))
    moved = in_frame(drawn, 32632)
    assert shapely.get_type_id(moved).tolist() == shapely.get_type_id(drawn).tolist()
    assert shapely.is_valid(moved).all()
    assert shapely.get_num_interior_rings(moved[0]) == 2
    assert shapely.get_num_geometries(moved[1]) == 2
    assert shapely.get_num_coordinates(moved[2:]).tolist() == [5, 2, 1]
    scale = 1 / 0.9996**2  # on the central meridian of UTM, by definition of the zone
    assert shapely.area(moved[:3]) == pytest.approx(shapely.area(drawn[:3]) * scale, rel=1e-7)


def test_a_frame_some_way_off_measures_the_same_area():
    """An equal-area map is that everywhere, so one frame does for a large course; only lengths suffer."""
    xy = np.array([-2.80, 56.34]) + star(7) / 111_320
    shape = np.array([shapely.Polygon(xy)])
    near = project(shape, WGS84, local_frame([(WGS84, -2.8, 56.34)]))[0]
    far = project(shape, WGS84, local_frame([(WGS84, -1.2, 56.9)]))[0]
    assert far.area == pytest.approx(near.area, rel=2e-8)
    assert far.length == pytest.approx(near.length, rel=1e-3)


def test_what_cannot_be_shown_is_left_for_mending():
    bad = shapely.Polygon([(0, 0), (1, 0), (1, np.inf), (0, 1)])
    good = shapely.box(-2.8, 56.34, -2.79, 56.35)
    moved = project(np.array([good, bad]), WGS84, local_frame([(WGS84, -2.8, 56.34)]))
    assert np.isfinite(shapely.get_coordinates(moved[0])).all()
    assert not np.isfinite(shapely.get_coordinates(moved[1])).all()


def test_layers_on_one_datum_keep_it():
    grid, degrees = pyproj.CRS(27700), pyproj.CRS(4277)
    frame = local_frame([(grid, 351_000, 717_000), (degrees, -2.8, 56.34)])
    assert frame.geodetic_crs.name == "OSGB36"
    assert datum_shift(grid, frame, 351_000, 717_000) is None


def test_layers_on_two_datums_meet_on_wgs_84():
    grid = pyproj.CRS(27700)
    frame = local_frame([(grid, 351_000, 717_000), (WGS84, -2.8, 56.34)])
    assert frame.geodetic_crs.name == "WGS 84"
    assert datum_shift(WGS84, frame, -2.8, 56.34) is None
    # EPSG registry, operation 1314, OSGB36 to WGS 84 (6): accuracy 2 m (from memory); better where PROJ has its grid
    assert 0 < datum_shift(grid, frame, 351_000, 717_000) <= 2.0


def test_a_shift_that_nobody_has_measured_is_said_to_be_unknown():
    """A grid on Krassowsky's ellipsoid of no stated datum: the library can only guess that the two coincide."""
    grid = pyproj.CRS("+proj=utm +zone=30 +ellps=krass +type=crs")
    frame = local_frame([(grid, 500_000, 6_240_000), (WGS84, -3.0, 56.3)])
    assert math.isnan(datum_shift(grid, frame, 500_000, 6_240_000))


def test_the_frame_stands_in_the_middle_and_does_not_follow_every_edge():
    frame = local_frame([(WGS84, 14.4872, 35.8761), (WGS84, 14.4899, 35.8744), (WGS84, 14.4869, 35.8741)])
    moved = local_frame([(WGS84, 14.4873, 35.8762), (WGS84, 14.4899, 35.8744), (WGS84, 14.4869, 35.8741)])
    assert frame == moved
    centre = pyproj.Transformer.from_crs(frame, WGS84, always_xy=True).transform(0, 0)
    assert centre == pytest.approx((14.49, 35.87), abs=1e-9)


def test_the_middle_heeds_no_stray_shape_and_no_antimeridian():
    near = [shapely.box(x, 50.0, x + 0.001, 50.001) for x in (7.0, 7.002, 7.004)]
    assert middle(np.array([*near, shapely.box(0, 0, 0.001, 0.001)]), WGS84) == pytest.approx((7.002, 50.0), abs=2e-3)
    across = [shapely.box(x, -17.8, x + 0.001, -17.799) for x in (179.99, -179.99)]
    lon, lat = middle(np.array(across), WGS84)
    assert abs(abs(lon) - 180) < 0.011
    assert lat == pytest.approx(-17.8, abs=1e-3)


def test_a_course_on_both_sides_of_the_antimeridian(geodesic_area):
    """The middle of two layers, one on either side, must not lie on the far side of the earth."""
    lon_west, lat = box(-17.8002, -17.7998, 179.9900, 179.9904)
    lon_east, _ = box(-17.8002, -17.7998, -179.9904, -179.9900)
    west, east = (np.array([shapely.Polygon(np.column_stack([lon, lat]))]) for lon in (lon_west, lon_east))
    frame = local_frame([(WGS84, *middle(west, WGS84)), (WGS84, *middle(east, WGS84))])
    a, b = project(west, WGS84, frame)[0], project(east, WGS84, frame)[0]
    assert a.area == pytest.approx(geodesic_area(lon_west, lat)[0], **CLOSE)
    assert b.area == pytest.approx(geodesic_area(lon_east, lat)[0], **CLOSE)
    gap = Geodesic.WGS84.Inverse(-17.8, 179.9904, -17.8, -179.9904)["s12"]
    assert a.distance(b) == pytest.approx(gap, abs=0.01)
