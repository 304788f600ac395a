"""Cans on patches: a published audit laid out on a green, and what is wrong with catches."""

import geopandas as gpd
import numpy as np
import pytest
import shapely

from turfgis.measure.cans import CatchFile, measure_cans

GRID = "EPSG:2157"
# G. Grabow (NC State University), spreval reference manual, 2022: ml in the 46 cans of a turf audit, 7.2 cm, 15 minutes
CANS_46 = [
    *(9, 11, 11, 13, 17, 14, 15, 15, 3, 15, 13, 6, 14, 11, 7, 11, 14, 17, 9, 6, 4, 8, 9, 12, 26, 17, 8, 4),
    *(6, 10, 14, 16, 14, 9, 6, 7, 10, 6, 16, 11, 3, 16, 10, 2, 5, 11),
]


@pytest.fixture
def greens():
    shapes = [shapely.box(0, 0, 30, 30), shapely.box(100, 0, 130, 30)]
    table = {"patch": ["green-01", "green-02"], "surface": "green", "hole": ["1", "2"], "net_m2": 900.0}
    at = shapely.transform(np.array(shapes), lambda xy: xy + np.array([441_000.0, 714_000.0]))
    return gpd.GeoDataFrame(table, geometry=at, crs=GRID)


def write(folder, values, x=0.0, name="cans.csv", column="caught"):
    across = np.arange(len(values)) % 7 * 4 + 2 + x
    up = np.arange(len(values)) // 7 * 4 + 2
    places = gpd.GeoSeries(gpd.points_from_xy(441_000 + across, 714_000 + up), crs=GRID).to_crs(4326)
    rows = [f"{p.x:.9f},{p.y:.9f},{value}" for p, value in zip(places, values, strict=True)]
    (folder / name).write_text("\n".join([f"lon,lat,{column}", *rows]))


def test_the_audit_of_a_handbook(tmp_path, greens):
    write(tmp_path, CANS_46)
    said = CatchFile("cans.csv", tmp_path, "caught", unit="ml", mouth_m=0.072, ran_s=900)
    cans = measure_cans(greens, [said])
    assert not cans.findings
    (row,) = cans.table.to_dict("records")
    assert row["patch"] == "green-01"
    assert row["cans"] == 46
    assert round(100 * row["christiansen"]) == 64  # as printed
    assert round(100 * row["low_quarter"]) == 45  # as printed
    assert round(row["rate_mm_h"] / 25.4, 2) == 0.41  # as printed
    assert row["scheduling_coefficient"] == pytest.approx(np.mean(CANS_46) / 2)


def test_the_latest_catch_counts_and_without_a_time_there_is_no_rate(tmp_path, greens):
    write(tmp_path, [5, 6, 7, 8], name="old.csv")
    write(tmp_path, [0.2, 0.2, 0.2, 0.3], name="new.csv")
    old = CatchFile("old.csv", tmp_path, "caught", ran_s=600, taken="2027-04-01")
    new = CatchFile("new.csv", tmp_path, "caught", unit="in", taken="2027-06-01")
    for order in ([old, new], [new, old]):
        (row,) = measure_cans(greens, order).table.to_dict("records")
        assert row["file"] == "new.csv"
        assert row["mean_mm"] == pytest.approx(0.225 * 25.4)
        assert np.isnan(row["rate_mm_h"])


def test_too_few_cans_and_cans_elsewhere_are_told(tmp_path, greens):
    write(tmp_path, [5, 6, 7], name="few.csv")
    write(tmp_path, [5, 6, 7, 8], x=50, name="rough.csv")
    write(tmp_path, [5, 6, 7, 8], x=100, name="good.csv")
    files = [CatchFile(f"{name}.csv", tmp_path, "caught", on=("green",)) for name in ("few", "rough", "good")]
    cans = measure_cans(greens, files)
    assert cans.table["patch"].tolist() == ["green-02"]
    assert [(one.code, one.file) for one in cans.findings] == [("catch_few", "few.csv"), ("catch_outside", "rough.csv")]


@pytest.mark.parametrize(
    ("values", "column", "words"), [([5, -6, 7, 8], "caught", "below zero"), ([5, 6, 7, 8], "depth", "no column")]
)
def test_a_file_that_cannot_be_used_is_a_finding_and_the_others_are_read(tmp_path, greens, values, column, words):
    write(tmp_path, values, name="bad.csv")
    write(tmp_path, [5, 6, 7, 8], x=100, name="good.csv")
    files = [CatchFile("bad.csv", tmp_path, column), CatchFile("good.csv", tmp_path, "caught")]
    cans = measure_cans(greens, [*files, CatchFile("none.csv", tmp_path)])
    assert cans.table["patch"].tolist() == ["green-02"]
    assert [one.code for one in cans.findings] == ["catch_unusable", "catch_unusable"]
    assert words in cans.findings[0].text
    assert "no such file" in cans.findings[1].text
