"""``work = "spot_treatment"``: a material on so much ground in all, or work by hand there."""

import pytest

from turfgis.errors import SettingsError
from turfgis.settings import read_settings

SETTINGS = """
name = "Invented"
[[layer]]
file = "a.gpkg"
surface = "green"
[material.lime]
kind = "fertiliser"
analysis = { Ca = "40 %" }
[material.soap]
kind = "liquid"
[material.turf]
kind = "turf"
[[job]]
name = "spots"
work = "spot_treatment"
"""


@pytest.fixture
def read(tmp_path):
    def reading(lines):
        (tmp_path / "course.toml").write_text(SETTINGS + lines, encoding="utf-8")
        return read_settings(tmp_path / "course.toml").job[0]

    return reading


def test_a_rate_is_a_weight_or_a_depth(read):
    job = read('material = "lime"\narea = "30 m2 ± 2 m2"\nrate = "50 g/m2"')
    assert (job.area.mean, job.area.sd, job.rate.weight.mean, job.rate.depth) == (30, 2, 0.05, None)
    job = read('material = "soap"\narea = "0.1 ha"\nrate = "10 l/ha"')
    assert (job.area.mean, job.rate.weight) == (1000, None)
    assert job.rate.depth.mean == pytest.approx(1e-6)  # 10 l over a hectare are a micrometre


@pytest.mark.parametrize("lines", ['crew_hours = "2 h"', 'material = "turf"\narea = "4 m2"'])
def test_work_by_hand_and_turf_need_no_rate(read, lines):
    assert read(lines).rate is None


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ('material = "lime"', "material and area go together"),
        ('area = "4 m2"', "material and area go together"),
        ('rate = "4 mm"', "rate is of a material"),
        ('material = "lime"\narea = "4 m2"', "fertiliser needs rate as a weight over an area"),
        ('material = "lime"\narea = "4 m2"\nrate = "4 mm"', "fertiliser needs rate as a weight over an area"),
        ('material = "soap"\narea = "4 m2"\nrate = "4 g/m2"', "liquid needs rate as a volume over an area"),
        ('material = "turf"\narea = "4 m2"\nrate = "4 mm"', "leave rate out"),
        ('material = "lime"\narea = "4 m2"\nrate = "much"', "'much' is no rate; write a weight over an area"),
        ('material = "lime"\narea = "4 m2"\nrate = "-3 g/m2"', "is no rate"),
        ('material = "line"\narea = "4 m2"\nrate = "3 g/m2"', "no material 'line'; did you mean 'lime'"),
    ],
)
def test_what_does_not_fit_together_is_one_message(read, lines, said):
    with pytest.raises(SettingsError, match=said):
        read(lines)
