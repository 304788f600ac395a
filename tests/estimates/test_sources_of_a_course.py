"""Which files a course is read from: what is watched for changes, and never written over."""

from turfgis.estimates.course import open_course


def test_every_file_that_the_settings_of_the_demo_name(demo_course):
    import re

    text = (demo_course / "course.toml").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    keys = r"(?:file|weather|forecast|meter|log|visits)"
    named = {found.group(1) for line in lines if (found := re.match(rf'{keys} = "([^"]+)"', line))}
    assert {"weather.csv", "meter.csv", "heights.tif", "photo.tif", "moisture.csv", "catch_cans.csv"} <= named
    assert {file.name for file in open_course(demo_course).sources} == {"course.toml", *named}


def test_tiles_are_each_a_file(demo_course):
    (demo_course / "heights.tif").rename(demo_course / "dem_1.tif")
    (demo_course / "dem_2.tif").touch()
    settings = demo_course / "course.toml"
    settings.write_text(settings.read_text(encoding="utf-8").replace('"heights.tif"', '"dem_*.tif"'), encoding="utf-8")
    assert {"dem_1.tif", "dem_2.tif"} <= {file.name for file in open_course(demo_course).sources}


def test_a_single_vector_file_is_its_own_source(demo_course):
    course = open_course(demo_course / "bunkers.geojson")
    assert {file.name for file in course.sources} == {"bunkers.geojson"}
