"""A course as it is opened, and what every sheet says of it."""

import pytest

from turfgis.errors import LayerError, SettingsError
from turfgis.estimates.course import open_course, survey_words


def test_a_folder_its_settings_and_its_drawing_open_alike(course):
    folder = course().path.parent
    by_folder, by_settings = open_course(folder), open_course(folder / "course.toml")
    drawing = open_course(str(folder / "areas.geojson"))
    assert by_folder.path == by_settings.path == folder / "course.toml"
    assert by_folder.name == "Invented Links"
    assert drawing.settings is None
    assert drawing.name == "areas"
    net = [opened.measured.patches["net_m2"].sum() for opened in (by_folder, by_settings, drawing)]
    assert net == pytest.approx([15_000] * 3, rel=1e-8)


def test_nothing_to_open(tmp_path):
    with pytest.raises(LayerError, match="no such file or folder"):
        open_course(tmp_path / "nowhere.gpkg")
    with pytest.raises(SettingsError, match=r"no such file"):
        open_course(tmp_path / "nowhere.toml")
    with pytest.raises(SettingsError, match=r"no course\.toml in this folder; write one with 'turfgis start"):
        open_course(tmp_path)


def test_what_needs_settings_says_how_to_get_them(course):
    drawing = open_course(course().path.parent / "areas.geojson")
    with pytest.raises(SettingsError, match=r"an order needs jobs\. Write a course\.toml with 'turfgis start"):
        drawing.needs_settings("an order needs jobs")


def test_surfaces_of_the_clubs_own_keep_their_ground(course):
    # heather drawn over the rough: 50 x 100 m of it
    rectangles = [("rough", "1", 100.0, 100.0), ("heather", "1", 50.0, 100.0)]
    opened = course('[surface.heather]\nover = ["rough"]\ncut = "80 mm"\n', rectangles)
    order = opened.drawing.order
    assert order.index("heather") + 1 == order.index("rough")
    patches = opened.measured.patches.set_index("surface")
    assert patches["net_m2"].to_dict() == pytest.approx({"rough": 10_000, "heather": 5_000}, rel=1e-8)
    assert patches.loc["heather", "cut_mm"] == pytest.approx(80)


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (["2026-03-14"], "14 March 2026"),
        (["2026-03-14", "2026-03-14"], "14 March 2026"),
        (["2026-03-14", "2025-11-02"], "2 November 2025 to 14 March 2026"),
        (["2026-03-14", None], "14 March 2026; for some areas not given"),
        ([None, None], "not given"),
        ([], "not given"),
    ],
)
def test_the_day_of_the_survey_in_words(days, words):
    assert survey_words(days) == words


def test_how_well_it_was_drawn_in_words(course):
    assert "(standard deviation 30 cm)" in course(head="").accuracy_note()
    assert "(standard deviation 5 cm)" in course(head='accuracy = "0.05 m"').accuracy_note()
