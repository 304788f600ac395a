"""Which surveys are compared, and what their days add."""

import math
from datetime import date

import geopandas as gpd
import numpy as np
import pytest
import shapely

from turfgis.errors import LayerError, SettingsError
from turfgis.estimates.surveys import compare_surveys, open_surveys

GRID = "EPSG:2157"  # in the open sea off the west of Ireland
SETTINGS = """
name = "Invented Links"
accuracy = "0.3 m"
[[layer]]
file = "now.gpkg"
surface = "green"
hole_from = "hole"
accuracy = "0.05 m"
surveyed = 2026-03-14
"""
EARLIER = """
[[layer]]
file = "{file}"
role = "earlier"
surface = "green"
hole_from = "hole"
accuracy = "0.1 m"
surveyed = {day}
"""


def write(file, *radii):
    """Round greens, one a hole, 60 m apart."""
    shapes = [shapely.Point(441_000 + 60 * at, 714_000).buffer(r, quad_segs=256) for at, r in enumerate(radii)]
    holes = [str(at + 1) for at in range(len(radii))]
    gpd.GeoDataFrame({"kind": "green", "hole": holes}, geometry=shapes, crs=GRID).to_file(file)
    return file


@pytest.fixture
def course(tmp_path):
    """A course whose greens were surveyed three times."""
    folder = tmp_path / "links"
    folder.mkdir()
    write(folder / "now.gpkg", 13.0, 12.0)
    write(folder / "then.gpkg", 13.7, 12.0)
    write(folder / "between.gpkg", 13.3, 12.0)

    def written(*earlier):
        files = "".join(EARLIER.format(file=file, day=day) for file, day in earlier)
        (folder / "course.toml").write_text(SETTINGS + files, encoding="utf-8")
        return folder

    return written


def compared(*paths, **said):
    return compare_surveys(*open_surveys(paths, **said))


def rows(comparison):
    return {row["hole"]: row for row in comparison.changes.to_dict("records")}


def disc(radius):
    return math.pi * radius**2


def test_an_earlier_survey_in_the_settings(course):
    comparison = compared(course(("then.gpkg", "2019-03-14")))
    row = rows(comparison)["1"]
    assert comparison.days == ("14 March 2019", "14 March 2026")
    assert row["net_m2"] == pytest.approx(disc(13.0) - disc(13.7), rel=1e-3)
    assert row["years"] == pytest.approx(7, abs=0.003)  # a year of 365.2425 days
    assert row["rate_m2_year"] == pytest.approx(row["net_m2"] / row["years"], rel=1e-9)
    assert row["rate_plus_minus_m2_year"] == pytest.approx(row["plus_minus_m2"] / row["years"], rel=1e-9)
    assert row["retreat_m_year"] == pytest.approx(0.1, abs=1e-4)
    # the accuracies of the settings: 0.1 m then, 0.05 m now
    assert row["plus_minus_m2"] == pytest.approx(1.96 * math.tau * math.hypot(0.1 * 13.7, 0.05 * 13.0), rel=1e-3)


def test_the_whole_course_a_year(course):
    comparison = compared(course(("then.gpkg", "2019-03-14")))
    (total,) = comparison.totals.to_dict("records")
    assert total["rate_m2_year"] == pytest.approx((disc(13.0) - disc(13.7)) / 7, rel=2e-3)
    assert total["rate_plus_minus_m2_year"] == pytest.approx(total["plus_minus_m2"] / 7, rel=1e-3)


def test_an_earlier_survey_is_no_part_of_the_course(course):
    folder = course(("then.gpkg", "2019-03-14"))
    opened, _ = open_surveys([folder])
    assert opened.measured.patches["net_m2"].sum() == pytest.approx(disc(13) + disc(12), rel=1e-3)
    assert opened.accuracy_note().count("5 cm") == 1
    assert opened.surveyed() == "14 March 2026"


def test_a_file_that_the_settings_describe_needs_no_options(course):
    folder = course(("then.gpkg", "2019-03-14"))
    short, long = compared(folder), compared(folder / "then.gpkg", folder)
    assert long.days == short.days
    assert np.allclose(short.changes["plus_minus_m2"], long.changes["plus_minus_m2"])


def test_a_bare_file_takes_its_day_and_accuracy_from_options(course):
    folder = course()
    comparison = compared(folder / "then.gpkg", folder, surveyed=[date(2019, 3, 14)], accuracy=[0.1])
    other = compared(course(("then.gpkg", "2019-03-14")))
    assert comparison.days == other.days
    assert np.allclose(comparison.changes["rate_m2_year"], other.changes["rate_m2_year"])
    assert np.allclose(comparison.changes["plus_minus_m2"], other.changes["plus_minus_m2"])


def test_without_days_there_is_no_rate(course):
    folder = course()
    comparison = compared(folder / "then.gpkg", folder)
    assert comparison.days[0] == "not given"
    assert comparison.changes["rate_m2_year"].isna().all()
    assert rows(comparison)["1"]["changed"] in (True, False)
    assert rows(comparison)["1"]["plus_minus_m2"] == pytest.approx(  # 0.3 m where nothing is said
        1.96 * math.tau * math.hypot(0.3 * 13.7, 0.05 * 13.0), rel=1e-3
    )


def test_three_surveys_give_the_line_through_all_of_them(course):
    """numpy's weighted fit of the three areas, with the accuracies as they are."""
    folder = course(("then.gpkg", "2012-03-14"), ("between.gpkg", "2020-03-14"))
    row = rows(compared(folder))["1"]
    days = [date(2012, 3, 14), date(2020, 3, 14), date(2026, 3, 14)]
    years = np.array([day.toordinal() / 365.2425 for day in days])
    radii, sd = np.array([13.7, 13.3, 13.0]), np.array([0.1, 0.1, 0.05])
    (slope, _), covariance = np.polyfit(
        years - 2020, math.pi * radii**2, 1, w=1 / (sd * math.tau * radii), cov="unscaled"
    )
    assert row["surveys"] == 3
    assert row["rate_m2_year"] == pytest.approx(slope, rel=2e-3)
    assert row["rate_plus_minus_m2_year"] == pytest.approx(1.96 * math.sqrt(covariance[0, 0]), rel=2e-3)


def test_a_name_may_go_over_to_another_patch(course):
    """Hole 2 got a new green elsewhere; what is gone and what is new share their name."""
    folder = course(("then.gpkg", "2012-03-14"), ("between.gpkg", "2020-03-14"))
    for file in ("then.gpkg", "between.gpkg"):
        greens = gpd.read_file(folder / file)
        greens.loc[1, "geometry"] = shapely.transform(greens.geometry[1], lambda xy: xy + np.array([0.0, 200.0]))
        greens.to_file(folder / file)
    changes = compared(folder).changes
    assert sorted(changes["match"]) == ["gone", "new", "same"]
    assert set(changes.loc[changes["match"] != "same", "patch"]) == {"green-02"}
    assert rows(compared(folder))["1"]["surveys"] == 3


def test_layers_of_one_surface_with_different_days(course):
    """Nobody said which is the earlier one: the days do."""
    folder = course()
    second = '[[layer]]\nfile = "then.gpkg"\nsurface = "green"\nhole_from = "hole"\nsurveyed = 2019-03-14\n'
    (folder / "course.toml").write_text(SETTINGS + second, encoding="utf-8")
    comparison = compared(folder)
    assert comparison.days == ("14 March 2019", "14 March 2026")
    assert rows(comparison)["1"]["old_m2"] == pytest.approx(disc(13.7), rel=1e-3)
    assert rows(comparison)["1"]["new_m2"] == pytest.approx(disc(13.0), rel=1e-3)


def test_a_column_may_carry_the_day(course):
    folder = course()
    file = folder / "dated.gpkg"
    gpd.read_file(folder / "then.gpkg").assign(surveyed=["2019-03-14", "soon"]).to_file(file)
    days = {hole: row["old_surveyed"] for hole, row in rows(compared(file, folder)).items()}
    assert days == {"1": "2019-03-14", "2": None}


def test_surveys_in_the_wrong_order(course):
    folder = course(("then.gpkg", "2019-03-14"))
    with pytest.raises(LayerError, match=r"is newer than .* name the older survey first"):
        compared(folder, folder / "then.gpkg")


def test_one_survey_is_not_enough(course):
    with pytest.raises(SettingsError, match='role = "earlier" and the day'):
        open_surveys([course()])


def test_days_must_fit_the_files(course):
    folder = course()
    files = [folder / "then.gpkg", folder / "between.gpkg", folder]
    with pytest.raises(SettingsError, match="--surveyed: given for 1, but 2 of the surveys"):
        open_surveys(files, surveyed=[date(2019, 3, 14)])
    with pytest.raises(SettingsError, match="--accuracy: given for 1, but 0 of the surveys"):
        open_surveys([folder, folder], accuracy=[0.1])
    with pytest.raises(SettingsError, match="files without settings"):
        open_surveys([folder, folder], crs=GRID)


def test_an_earlier_survey_needs_its_day(course):
    folder = course(("then.gpkg", "2019-03-14"))
    text = (folder / "course.toml").read_text(encoding="utf-8").replace("surveyed = 2019-03-14\n", "")
    (folder / "course.toml").write_text(text, encoding="utf-8")
    with pytest.raises(SettingsError, match="an earlier survey needs its day"):
        open_surveys([folder])
