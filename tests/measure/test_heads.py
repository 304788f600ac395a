"""Water of heads on cells and patches: nothing is lost, closed forms, what is wrong with heads."""

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely

from turfgis.formulas.heads import application_rate
from turfgis.measure.heads import lay_heads

FRAME = "+proj=laea +lat_0=53.16 +lon_0=-10.37"


def patches(*shapes, surface="green"):
    surfaces = [surface] * len(shapes) if isinstance(surface, str) else surface
    return gpd.GeoDataFrame(
        {
            "patch": [f"{name}-{number:02}" for number, name in enumerate(surfaces, 1)],
            "surface": surfaces,
            "hole": "1",
            "net_m2": shapely.area(np.array(shapes)),
        },
        geometry=list(shapes),
        crs=FRAME,
    )


def heads(*places, throw=15.0, arc=360.0, facing=np.nan, flow=3.6, station="1", serves="", level=0.0):
    count = len(places)
    full = {"throw_m": throw, "arc_rad": np.radians(arc), "facing_rad": np.radians(facing), "flow_m3_s": flow / 3600}
    table = pd.DataFrame({name: np.broadcast_to(value, count) for name, value in full.items()})
    table = table.assign(
        head=[f"h{place}" for place in range(count)],
        **{"file": "heads.geojson", "layer": "", "feature": "", "hole": None, "pressure_pa": np.nan},
        **{"station": np.broadcast_to(station, count), "controller": "", "serves": serves, "level": level},
    )
    return gpd.GeoDataFrame(table, geometry=shapely.points(np.array(places, dtype=float)), crs=FRAME)


FIELD = shapely.box(-60, -60, 60, 60)


@pytest.mark.parametrize("level", [0.0, 0.5, 1.0])
@pytest.mark.parametrize(("throw", "arc"), [(18.0, 360), (9.3, 360), (4.1, 90), (21.0, 137), (0.2, 360), (0.1, 45)])
def test_what_falls_on_the_cells_is_flow_by_time(throw, arc, level):
    found = lay_heads(heads((1.37, -2.11), throw=throw, arc=arc, facing=33, flow=2.4, level=level), patches(FIELD))
    assert np.nansum(found.grid.values) * found.grid.cell_m2 * 3600 == pytest.approx(2.4, rel=1e-12)
    assert found.landing.sum() == pytest.approx(1.0, rel=1e-12)


def test_cells_follow_the_profile():
    """The scaling that makes the sum exact is small: each cell is the profile of the formula to a thousandth of it."""
    found = lay_heads(heads((0.1, 0.2), throw=18.0, flow=3.6), patches(FIELD))
    rows, columns = np.nonzero(np.isfinite(found.grid.values))
    x, y = found.grid.transform @ (columns + 0.5, rows + 0.5)
    profile = application_rate(np.hypot(x - 0.1, y - 0.2), 3.6 / 3600, 18.0, 2 * np.pi, 0.0)
    assert found.grid.values[rows, columns] == pytest.approx(profile, rel=1e-3)


def test_part_circles_look_where_they_are_said_to_look():
    ground = patches(shapely.box(0, 0, 60, 60), shapely.box(-60, 0, 0, 60), shapely.box(-60, -60, 60, 0))
    for facing, patch in ((45, "green-01"), (-45, "green-02"), (180, "green-03")):
        found = lay_heads(heads((0, 0), arc=90, facing=facing), ground)
        assert found.landing[0].max() == pytest.approx(1.0, rel=1e-12)
        assert found.heads["patch"].tolist() == [patch]


def test_a_part_circle_that_does_not_say_looks_at_the_nearest_patch_and_that_is_told():
    found = lay_heads(heads((0, -1), arc=180), patches(shapely.box(-10, 0, 10, 20)))
    (finding,) = found.findings
    assert (finding.code, finding.level) == ("head_no_facing", "warning")
    assert found.landing[0, 0] > 0.6


def test_parting_a_patch_changes_no_total():
    whole, parted = shapely.box(-20, -15, 20, 15), [shapely.box(-20, -15, 3.3, 15), shapely.box(3.3, -15, 20, 15)]
    some = heads((-12, -9), (12, -9), (12, 9), (-12, 9), (0, 0), throw=16)
    one, two = lay_heads(some, patches(whole)), lay_heads(some, patches(*parted))
    assert two.landing.sum(axis=1) == pytest.approx(one.landing.sum(axis=1), rel=1e-12)
    volume = [(found.table["rate_mm_h"] * found.table["net_m2"]).sum() for found in (one, two)]
    assert volume[1] == pytest.approx(volume[0], rel=1e-12)


def test_covered_and_missed_ground_of_one_circle():
    # a circle of 15 m in a square of 120 m; half a metre at the edge is what cells can tell
    found = lay_heads(heads((0, 0), throw=15.0), patches(FIELD))
    row = found.table.iloc[0]
    assert row["covered_m2"] == pytest.approx(np.pi * 15**2, rel=5e-3)
    assert row["covered_m2"] + row["missed_m2"] == pytest.approx(120 * 120)
    assert row["overlap"] == 1.0
    assert row["low_quarter"] == 0.0
    assert row["rate_mm_h"] == pytest.approx(1000 * 3.6 / 120**2)


def test_square_spacing_as_an_endless_field():
    """
    Heads on a square whose side is the throw, level profile 0: the pattern repeats, so that one square holds it all.

    The same sum by plain arithmetic on a fine grid of one square, nothing of ours but the profile of the wedge.
    """
    side = np.arange(-5, 6) * 15.0
    places = [(x, y) for x in side for y in side]
    found = lay_heads(heads(*places, throw=15.0), patches(shapely.box(-15, -15, 15, 15)))
    fine = (np.arange(150) + 0.5) / 10
    x, y = np.meshgrid(fine, fine)
    depth = sum(
        np.clip(1 - np.hypot(x - a, y - b) / 15, 0, None) for a in (-15, 0, 15, 30) for b in (-15, 0, 15, 30)
    ).ravel()
    low = np.sort(depth)[: depth.size // 4].mean() / depth.mean()
    even = 1 - np.abs(depth - depth.mean()).mean() / depth.mean()
    row = found.table.iloc[0]
    assert row["low_quarter"] == pytest.approx(low, abs=2e-3)
    assert row["christiansen"] == pytest.approx(even, abs=2e-3)
    assert row["rate_mm_h"] == pytest.approx(1000 * 3.6 / 15**2, rel=1e-3)


def test_a_head_serves_the_surface_it_is_meant_for_or_where_most_of_its_water_falls():
    ground = patches(shapely.box(0, -20, 12, 20), shapely.box(-40, -20, 0, 20), surface=["green", "fairway"])
    found = lay_heads(heads((-1, 0), (-1, 5)), ground)
    assert found.heads["patch"].tolist() == ["fairway-02"] * 2
    found = lay_heads(heads((-1, 0), (-1, 5), serves="green"), ground)
    assert found.heads["patch"].tolist() == ["green-01"] * 2
    found = lay_heads(heads((-1, 0)), ground, watered=["green"])
    assert found.heads["patch"].tolist() == ["green-01"]


def test_heads_off_the_course_and_drawn_twice_are_told_once_each():
    found = lay_heads(heads((0, 0), (0.03, 0.04), (500, 0), (0, 700), (5, 5)), patches(shapely.box(-10, -10, 10, 10)))
    assert [finding.code for finding in found.findings] == ["head_repeated", "head_off_course"]
    assert "1 head drawn a second time" in found.findings[0].text
    assert "2 heads out of reach" in found.findings[1].text
    assert len(found.heads) == 2


def test_two_half_circles_at_one_place_are_two_heads():
    two = pd.concat([heads((0, 0), arc=180, facing=0), heads((0, 0), arc=180, facing=180)], ignore_index=True)
    found = lay_heads(gpd.GeoDataFrame(two, crs=FRAME), patches(FIELD))
    assert len(found.heads) == 2
    assert not found.findings


def test_no_head_at_all():
    found = lay_heads(heads((500, 0)), patches(shapely.box(-10, -10, 10, 10)))
    assert found.table.empty
    assert found.grid is None
