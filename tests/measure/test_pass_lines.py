"""Lines of passes over ground in two parts: none of them in the gap, and nothing lost."""

import pytest
import shapely

from turfgis.measure.passes import lay_passes


def test_passes_that_meet_no_part_are_left_out():
    # two strips of 2 m by 20 m, ten metres apart, driven north to south at 1 m: two passes of 20 m on each
    parts = shapely.MultiPolygon([shapely.box(0, 0, 2, 20), shapely.box(12, 0, 14, 20)])
    rounds, passes = lay_passes(parts, 1.0, clean_up=0, direction=0.0)
    assert rounds.is_empty
    assert len(passes.geoms) == 4
    assert passes.length == pytest.approx(80, rel=1e-12)
    assert passes.difference(parts).length == pytest.approx(0, abs=1e-9)
