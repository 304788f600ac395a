"""Jobs that go by the area along the slope: everything grows by the secant of a tilted plane, and by nothing else."""

import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin

from turfgis.errors import SettingsError
from turfgis.estimates.needs import job_needs
from turfgis.estimates.orders import orders_for
from turfgis.estimates.takeoff import estimate_year
from turfgis.settings.models import CourseSettings

BANKS = [("rough", "1", 40.0, 100.0), ("rough", "2", 60.0, 100.0), ("other", "1", 100.0, 50.0)]
SLOPE = 0.75  # 3 in 4: the secant is 1.25
HEIGHTS = """
[elevation]
file = "heights.tif"
units = "m"
"""
TURFED = """
[material.turf]
kind = "turf"
price = "5 EUR/m2"

[[job]]
name = "turf the banks"
work = "repair_turf"
on = ["rough"]
share = "20 %"
material = "turf"
true_area = true
"""
CONTRACT = """
[[job]]
name = "by area"
work = "contractor"
on = ["rough"]
price = "2 EUR/m2"
true_area = true
"""


@pytest.fixture
def sloping(course):
    """A course on ground that rises 3 in 4 to the north, as far as the raster reaches."""

    def opening(tables, rows=400, **more):
        opened = course(tables.replace('"green"', '"rough"') + HEIGHTS, rectangles=BANKS, **more)
        north = 3_210_500.0 + 300
        heights = -SLOPE * np.arange(rows)[:, None] + np.zeros((1, 700))
        made = {"driver": "GTiff", "height": rows, "width": 700, "count": 1, "dtype": "float64", "crs": "EPSG:3035"}
        place = from_origin(4_321_400.0, north, 1.0, 1.0)
        with rasterio.open(opened.path.parent / "heights.tif", "w", transform=place, **made) as file:
            file.write(heights, 1)
        return opened

    return opening


def test_true_areas_of_a_course(sloping):
    opened = sloping("", head='accuracy = "0.1 m"')
    table = opened.with_slopes(opened.measured.patches)
    assert (table["true_m2"] / table["net_m2"]).to_numpy() == pytest.approx(1.25, rel=1e-6)
    assert opened.with_settings(opened.settings).relief is opened.relief  # measured once


@pytest.mark.parametrize("reach", ["", 'overthrow = "0.6 m"\n', 'overthrow = "10 %"\n'], ids=["", "reach", "share"])
def test_sand_by_the_true_area(sloping, words, reach):
    tables = words.sand + words.dress + reach
    (flat,), (steep,) = (
        orders_for(sloping(tables + more, head='accuracy = "0.1 m"'), "renovation", None)
        for more in ("", "true_area = true\n")
    )
    past = {"": 0.0, 'overthrow = "0.6 m"\n': None, 'overthrow = "10 %"\n': 0.1}[reach]
    for one, other in zip(flat.lines, steep.lines, strict=True):
        beyond = other.treated_m2 - 1.25 * one.net_m2 if past is None else past * 1.25 * one.net_m2
        assert other.net_m2 == one.net_m2
        assert other.treated_m2 == pytest.approx(1.25 * one.net_m2 + beyond, rel=1e-6)
        assert other.dry_kg == pytest.approx(other.treated_m2 * 0.002 * 1600, rel=1e-6)
        if past is None:
            assert beyond == pytest.approx(one.treated_m2 - one.net_m2, rel=1e-3)
    assert any("area along the slope" in step.what for step in steep.working)
    # the plus-minus of the drawn edge grows with the ground
    if not reach:
        (need,) = job_needs(sloping(tables + "true_area = true\n"), sloping(tables).settings.job[0])
        assert need.slope.tolist() == [1.0, 1.0, 0.0]


def test_spread_of_the_area_grows_too(sloping, words):
    tables = words.sand + words.dress + "true_area = true\n"
    opened = sloping(tables)
    (need,) = job_needs(opened, opened.settings.job[0])
    assert need.slope == pytest.approx([1.25, 1.25, 0.0], rel=1e-6)


def test_turf_and_contracts_by_the_true_area(sloping):
    year = estimate_year(sloping(TURFED + CONTRACT)).table()
    by_job = year.groupby("job", observed=True)["quantity"].sum()
    net = 40 * 100 + 60 * 100
    assert by_job["turf the banks"] == pytest.approx(0.2 * 1.25 * net, rel=1e-6)
    assert by_job["by area"] == pytest.approx(1.25 * net, rel=1e-6)
    assert year[year["job"] == "by area"]["cost"].sum() == pytest.approx(2 * 1.25 * net, rel=1e-6)


def test_ground_without_heights_stops_the_job(sloping, words):
    opened = sloping(words.sand + words.dress + "true_area = true\n", rows=240)  # half of the greens
    with pytest.raises(SettingsError, match=r"rough-01, rough-02.*turfgis check"):
        orders_for(opened, "renovation", None)


@pytest.mark.parametrize(
    ("tables", "said"),
    [
        (TURFED, "needs the heights"),
        (HEIGHTS + TURFED.replace('share = "20 %"', 'area = "20 m2"'), "changes nothing"),
        (HEIGHTS + CONTRACT.replace('price = "2 EUR/m2"', 'price = "2 EUR/day"\ndays = 2'), "changes nothing"),
    ],
)
def test_true_area_where_it_means_nothing(course, tables, said):
    with pytest.raises(SettingsError, match=said):
        course(tables)


def test_single_files_have_no_heights(course):
    opened = course("")
    assert opened.relief is None
    assert isinstance(opened.settings, CourseSettings)
    assert opened.with_slopes(opened.measured.patches) is opened.measured.patches
