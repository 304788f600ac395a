"""
Passes on real courses: inside their shapes, and as shapely cuts them.

Drawings: © OpenStreetMap contributors, ODbL.
"""

from functools import cache

import numpy as np
import pytest
import shapely

from turfgis.formulas.passes import passes_over_shapes
from turfgis.layers.drawing import plain_drawing
from turfgis.measure.passes import edges_of, lay_passes, measure_passes
from turfgis.measure.patches import measure_course

COURSES = ["bahamas_new_providence", "bahamas_paradise_island", "malta_marsa"]


@cache
def mown_shapes(path):
    patches = measure_course(plain_drawing(path)).patches
    return patches.loc[patches["surface"].isin(["green", "tee", "fairway"])].geometry.to_numpy()


@pytest.fixture(params=COURSES)
def shapes(request, open_data):
    return mown_shapes(open_data / "golf" / f"{request.param}.geojson")


@pytest.mark.parametrize(("width", "clean_up"), [(0.56, 1), (2.1, 2)])
def test_every_pass_and_round_lies_inside_its_shape(shapes, width, clean_up):
    for shape in shapes:
        rounds, passes = lay_passes(shape, width, 0.05, clean_up, 25.0)
        # ends of passes lie on the inner edge of the last round; a millionth of a metre is left to rounding
        assert shapely.covers(shape.buffer(1e-6), shapely.union_all([rounds, passes]))


def test_counted_as_drawn(shapes):
    for direction in (0.0, 65.0):
        laid = measure_passes(shapes, 1.5, 0.1, 0, direction)
        for at, shape in enumerate(shapes):
            _, passes = lay_passes(shape, 1.5, 0.1, 0, direction)
            if laid.fits[at] == "yes":
                assert len(passes.geoms) == laid.passes[at]
                assert passes.length == pytest.approx(laid.passes_m[at], abs=1e-6)


def test_passes_without_rounds_cover_the_area(shapes):
    """The sum of chords is the midpoint rule of the area, whatever the direction."""
    edges, of = edges_of(shapes)
    passes, length = passes_over_shapes(edges, of, len(shapes), np.arange(0.0, 180.0, 30.0), 0.1)
    for row in length:
        assert row.sum() * 0.1 == pytest.approx(shapely.area(shapes).sum(), rel=0.01)
    assert (passes >= 1).all()
