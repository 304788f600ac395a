"""Heads out of a file: columns and their units, and one finding for each kind of trouble."""

import geopandas as gpd
import numpy as np
import pytest
import shapely

from turfgis.errors import LayerError
from turfgis.layers.drawing import LayerNote
from turfgis.layers.heads import read_heads

US_GALLON = 3.785411784e-3


def write(folder, columns, count=3, name="heads.geojson"):
    points = shapely.points(np.column_stack([-10.37 + np.arange(count) * 0.001, np.full(count, 53.16)]))
    gpd.GeoDataFrame(columns, geometry=points, crs="EPSG:4326").to_file(folder / name)
    return LayerNote(file=name, role="heads")


def test_columns_are_found_by_their_names_and_units_by_their_ends(tmp_path):
    note = write(
        tmp_path,
        {
            "throw_ft": [60.0, 62.5, 70.0],
            "flow_us_gpm": [20.0, 21.0, 30.0],
            "pressure_psi": [70, 70, 80],
            "arc_deg": [360, 180, 90],
            "facing": [0, 90, 270],
            "station": [1, 1, 2],
            "hole": [7, 7, 8],
        },
    )
    heads, findings = read_heads(tmp_path, note)
    assert not findings
    assert heads["throw_m"].tolist() == pytest.approx([18.288, 19.05, 21.336])
    assert heads["flow_m3_s"].tolist() == pytest.approx([one * US_GALLON / 60 for one in (20, 21, 30)])
    assert heads["pressure_pa"].iloc[0] == pytest.approx(70 * 6894.757293168361)
    assert heads["arc_rad"].tolist() == pytest.approx([2 * np.pi, np.pi, np.pi / 2])
    assert heads["facing_rad"].tolist() == pytest.approx([0, np.pi / 2, 1.5 * np.pi])
    assert heads["station"].tolist() == ["1", "1", "2"]
    assert heads["hole"].tolist() == ["7", "7", "8"]


def test_columns_and_units_that_the_settings_name(tmp_path):
    write(tmp_path, {"R": [18.0, 18, 18], "Q": [40.0, 40, 60], "valve": ["A", "B", "B"]})
    note = LayerNote(
        file="heads.geojson",
        role="heads",
        columns={"throw": "R", "flow": "Q", "station": "valve"},
        column_units={"throw": "m", "flow": "l/min"},
        level=0.3,
    )
    heads, findings = read_heads(tmp_path, note)
    assert not findings
    assert heads["flow_m3_s"].tolist() == pytest.approx([0.040 / 60, 0.040 / 60, 0.060 / 60])
    assert heads["arc_rad"].tolist() == pytest.approx([2 * np.pi] * 3)  # no such column: full circles
    assert set(heads["level"]) == {0.3}


def test_each_kind_of_trouble_is_told_once_and_the_rest_is_read(tmp_path):
    note = write(
        tmp_path,
        {
            "name": [f"h{place}" for place in range(8)],
            "throw_m": [18.0, None, 0.0, 18.0, 18.0, 18.0, 70.0, 18.0],
            "flow_m3_h": [3.0, 3.0, 3.0, 0.0, None, 3.0, 3.0, 90.0],
            "arc": [360, 360, 360, 360, 360, 0, 360, 360],
            "station": ["1", "1", "1", "1", "1", "1", "", None],
        },
        count=8,
    )
    heads, findings = read_heads(tmp_path, note)
    assert heads["head"].tolist() == ["h0", "h6", "h7"]
    assert heads["station"].tolist() == ["1", "head h6", "head h7"]
    said = {finding.code: finding.text for finding in findings}
    assert len(said) == len(findings)
    assert "h3, h4" in said["head_no_flow"]
    assert "h1, h2" in said["head_no_throw"]
    assert "h5" in said["head_wrong_arc"]
    assert "h6, h7" in said["head_no_station"]
    both = [finding.text for finding in findings if finding.code == "head_implausible"]
    assert len(both) == 1
    assert "h6" in both[0]
    assert "h7" in both[0]


@pytest.mark.parametrize(
    ("columns", "said", "words"),
    [
        ({"flow_m3_h": [3.0, 3.0, 3.0]}, {}, "no column with the throw"),
        ({"throw_m": [18.0, 18, 18]}, {}, "no column with the flow"),
        ({"throw": [18.0, 18, 18], "flow_m3_h": [3.0, 3, 3]}, {}, "in which unit the column 'throw'"),
        ({"throw_m": [18.0, 18, 18], "throw_ft": [60.0, 60, 60], "flow_m3_h": [3.0, 3, 3]}, {}, "could each be"),
        ({"throw_m": [18.0, 18, 18], "flow_m3_h": [3.0, 3, 3]}, {"columns": {"flow": "Q"}}, "no column 'Q'"),
        ({"throw_m": [18.0, 18, 18], "flow": [3.0, 3, 3]}, {"column_units": {"flow": "gal/min"}}, "bare 'gallon'"),
        ({"throw_m": [18.0, 18, 18], "flow": [3.0, 3, 3]}, {"column_units": {"flow": "bar"}}, "is not a volume over"),
        ({"throw_m": ["18", "about 18", "18"], "flow_m3_h": [3.0, 3, 3]}, {}, "'about 18'"),
    ],
)
def test_a_column_that_cannot_be_used_is_named(tmp_path, columns, said, words):
    write(tmp_path, columns)
    with pytest.raises(LayerError, match=words):
        read_heads(tmp_path, LayerNote(file="heads.geojson", role="heads", **said))


def test_no_such_file(tmp_path):
    with pytest.raises(LayerError, match=r"heads\.geojson"):
        read_heads(tmp_path, LayerNote(file="heads.geojson", role="heads"))
