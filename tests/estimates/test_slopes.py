"""Over, under or unknown: machines on ground of 16.7 degrees, with limits on both sides of it, none, or no heights."""

from io import BytesIO

import numpy as np
import pytest
import rasterio
from openpyxl import load_workbook
from rasterio.transform import from_origin

from turfgis.errors import InputError, SettingsError
from turfgis.estimates.slopes import estimate_steepness
from turfgis.reports.outputs import course_facts, map_page, slope_files, steepness_of, workbook
from turfgis.reports.relief_map import relief_over, relief_picture, slope_facts
from turfgis.reports.slopes import slope_pdf, slope_text

GROUND = [("rough", "1", 40.0, 100.0), ("rough", "2", 60.0, 100.0), ("fairway", "1", 100.0, 50.0)]
HEIGHTS = '[elevation]\nfile = "heights.tif"\nunits = "m"\n'


def machine(name, *lines):
    head = [f"[machine.{name}]", 'width = "2 m"', 'speed = "6 km/h"', 'efficiency = "70 %"', 'on = ["rough"]']
    return "\n".join([*head, *lines, ""])


MACHINES = "".join(
    [
        machine("low", 'slope_limit = "16 deg"', 'slope_limit_from = "plate"'),
        machine("high", 'slope_limit = "1 in 3"'),
        machine("nobody_knows"),
    ]
)


@pytest.fixture
def sloping(course):
    """Ground that rises 30 % to the north, up to so many metres from the foot of the patches."""

    def opening(tables=MACHINES + HEIGHTS, rows=400):
        opened = course(tables, rectangles=GROUND)
        heights = -0.3 * np.arange(rows)[:, None] + np.zeros((1, 800))
        profile = {"height": rows, "width": 800, "count": 1, "dtype": "float64", "crs": "EPSG:3035"}
        place = from_origin(4_321_400.0, 3_210_800.0, 1.0, 1.0)
        with rasterio.open(opened.path.parent / "heights.tif", "w", driver="GTiff", transform=place, **profile) as file:
            file.write(heights, 1)
        return opened

    return opening


def test_verdicts(sloping):
    rows = estimate_steepness(sloping()).rows.set_index(["machine", "patch"])
    assert rows["verdict"].to_dict() == {
        **dict.fromkeys([("low", "rough-01"), ("low", "rough-02")], "over"),
        **dict.fromkeys([("high", "rough-01"), ("high", "rough-02")], "under"),
        **dict.fromkeys([("nobody_knows", "rough-01"), ("nobody_knows", "rough-02")], "unknown"),
    }
    low = rows.loc[("low", "rough-01")]
    assert low["limit_pct"] == pytest.approx(28.67, abs=0.01)  # tan 16 degrees
    assert low["steepest_deg"] == pytest.approx(16.70, abs=0.01)  # arctan 0.3
    assert low["over_m2"] == pytest.approx(4000, abs=1)
    assert low["limit_from"] == "plate"
    assert rows.loc[("high", "rough-01"), "over_m2"] == 0
    assert np.isnan(rows.loc[("nobody_knows", "rough-01"), "over_m2"])
    # the patch lies some 500 m east and north of the origin of the projection, 52 N 10 E
    assert (low["latitude"], low["longitude"]) == pytest.approx((52.005, 10.0076), abs=0.002)


def test_what_is_not_known_whole_is_not_under(sloping):
    """The raster ends 4 m before the foot of the patches: four in a hundred of them are not known."""
    rows = estimate_steepness(sloping(rows=297)).rows.set_index(["machine", "patch"])
    assert set(rows.loc["low", "verdict"]) == {"over"}  # one place that is over is enough
    assert set(rows.loc["high", "verdict"]) == {"unknown"}
    assert set(rows.loc["high", "why"]) == {"heights are missing on 4.0% of it"}


def test_heights_that_hide_banks_show_nothing_to_be_under(sloping):
    """Averaged over 10 m: what is over stays over, what looks under is not known."""
    rows = estimate_steepness(sloping(MACHINES + HEIGHTS + 'smoothing = "10 m"\n')).rows.set_index("machine")
    assert set(rows.loc["low", "verdict"]) == {"over"}
    assert set(rows.loc["high", "verdict"]) == {"unknown"}
    assert set(rows.loc["high", "why"]) == {"heights averaged over 10 m do not show banks"}


def test_what_was_found_about_the_heights_is_on_the_sheet(sloping):
    text = " ".join(slope_text(estimate_steepness(sloping(rows=50))).split())
    assert "heights.tif: The raster has no height on any patch" in text or "lies outside the course" in text


def test_no_heights_at_all(sloping):
    rows = estimate_steepness(sloping(rows=50)).rows
    assert set(rows["verdict"]) == {"unknown"}
    assert set(rows["why"]) == {"the heights do not tell"}


def test_sheet_on_the_screen(sloping):
    text = slope_text(estimate_steepness(sloping()))
    assert "low: limit 16.0 deg (29 %), from plate" in text
    assert "2 over, 10,000 m2 of their ground; 0 under; 0 unknown" in text
    assert "high: limit 18.4 deg (33 %), source not given" in text
    assert "nobody knows: no limit entered" in text


@pytest.mark.parametrize("units", ["metric", "us"])
def test_sheet_never_says_safe_and_always_warns(sloping, units, tmp_path):
    opened = sloping()
    steepness = estimate_steepness(opened)
    said = " ".join(slope_text(steepness, units).split())
    assert "safe" not in said.lower()
    for word in ("wet grass", "holes", "edges", "tyre", "load", "manual", "local rules", "Look at the ground"):
        assert word in said, word
    assert max(map(len, slope_text(steepness, units).splitlines())) <= 100
    made = slope_pdf(steepness, course_facts(opened, units), units)
    assert made.startswith(b"%PDF")
    assert made == slope_pdf(steepness, course_facts(opened, units), units)


@pytest.mark.parametrize(
    ("tables", "said"),
    [(MACHINES, r"add \[elevation\]"), (HEIGHTS, "no machine is described")],
)
def test_what_is_missing_is_said(course, tables, said):
    with pytest.raises(SettingsError, match=said):
        estimate_steepness(course(tables))


def test_only_some_machines(sloping):
    opened = sloping()
    assert set(estimate_steepness(opened, ["high"]).rows["machine"]) == {"high"}
    with pytest.raises(InputError, match="did you mean 'high'"):
        estimate_steepness(opened, ["hihg"])


def test_a_source_without_a_limit_is_refused(course):
    with pytest.raises(SettingsError, match="give slope_limit as well"):
        course(machine("low", 'slope_limit_from = "plate"'))


def test_map_shows_the_ground_when_asked(sloping):
    """Ground that rises by 42 m, that round the patches with it: a contour every 2 m, for 40 are enough."""
    opened = sloping(MACHINES + machine("lower", 'slope_limit = "10 deg"') + HEIGHTS)
    steepness = steepness_of(opened)
    picture = relief_picture(opened, "metric")
    assert steepness is not None
    assert picture is not None
    over = relief_over(picture, steepness, "metric")
    assert over["off"].all()
    count = over["label"].value_counts()
    assert count["steepest places over a limit"] == 2
    assert picture.contours["height_m"].nunique() in (21, 22)
    assert count["contours, every 2 m"] == len(picture.contours)
    page = map_page(opened, "metric", steepness=steepness)
    for words in ("Shaded relief", "contours, every 2 m", "over its limit of 16.0", "under its limit of 18.4"):
        assert words in page, words


def test_relief_is_drawn_once_for_many_maps(sloping):
    opened = sloping()
    assert relief_picture(opened, "metric") is relief_picture(opened, "metric")
    assert relief_picture(opened, "us") is not relief_picture(opened, "metric")  # their contours lie elsewhere


def test_workbook_has_slopes_where_there_are_heights(sloping, course):
    def heads(opened, sheet):
        book = load_workbook(BytesIO(workbook(opened, "metric", None, [], None, [])))
        rows = [[str(cell).split("\n")[0] for cell in row] for row in book[sheet].iter_rows(values_only=True)]
        at = next(place for place, row in enumerate(rows) if "net area" in row)
        return dict(zip(rows[at], rows[at + 1], strict=True))

    rough = heads(sloping(), "By surface")
    assert float(rough["true area"]) / float(rough["net area"]) == pytest.approx(1.09**0.5)
    assert float(rough["mean slope"]) == pytest.approx(30)
    assert float(heads(sloping(), "Patches")["95th percentile slope"]) == pytest.approx(30, abs=0.1)
    assert not {"true area", "steepest"} & set(heads(course(""), "Patches"))


def test_facts_of_a_patch(sloping):
    opened = sloping()
    facts = slope_facts(opened, estimate_steepness(opened), "metric")
    told = facts[facts["patch"] == "rough-01"].set_index("label")["text"]
    assert told["Slope"] == "30.0 % on average, 30 % at its steepest, falls to the south"
    assert told["Area along the slope"] == "4,176 m2"  # 4,000 m2 times the root of 1.09
    assert told["Low"].startswith("over its limit")


def test_files_of_a_report(sloping, course):
    opened = sloping()
    assert set(slope_files(opened, steepness_of(opened), "metric")) == {"slope_sheet.pdf", "slope.csv", "slope.json"}
    assert steepness_of(course("")) is None
    assert steepness_of(sloping(machine("nobody_knows") + HEIGHTS)) is None
    assert steepness_of(sloping(rows=50)) is None
