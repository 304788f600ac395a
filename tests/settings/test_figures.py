"""Figures with a spread, as written. What they are in SI is plain arithmetic."""

import pytest

from turfgis.errors import InputError
from turfgis.settings.figures import read_figure

# written, kind; likely, standard deviation
SPREADS = [
    ("75 mm", "depth", 0.075, 0),
    ("75 mm ± 8 mm", "depth", 0.075, 0.008),
    ("75 mm±8 mm", "depth", 0.075, 0.008),
    ("75 mm +/- 8 mm", "depth", 0.075, 0.008),
    ("75 mm +- 0.8 cm", "depth", 0.075, 0.008),
    ("75 ± 8 mm", "depth", 0.075, 0.008),
    ("2 mm ± 12 %", "depth", 0.002, 0.00024),
    ("0,2 cm ± 12,5%", "depth", 0.002, 0.00025),
    ("3 in ± 1/4 in", "depth", 0.0762, 0.00635),
    ("1.55 t/m3 ± 0.05 kg/l", "density", 1550, 50),
    ("1.55 t/m3 ± 4 %", "density", 1550, 62),
    ("8 g/m2 ± 0.1 lb/1000 ft2", "mass rate", 0.008, 0.000488243),
    # behind a share in % stands a share, not a share of the share
    ("92 % ± 5 %", "share", 0.92, 0.05),
    ("92 ± 5 %", "share", 0.92, 0.05),
    ("0.92 ± 0.05", "share", 0.92, 0.05),
    (0.92, "share", 0.92, 0),
]


@pytest.mark.parametrize(("written", "kind", "likely", "sd"), SPREADS)
def test_what_stands_behind_the_sign_is_the_standard_deviation(written, kind, likely, sd):
    figure = read_figure(written, kind)
    assert figure.likely == pytest.approx(likely, rel=1e-12)
    assert figure.sd == pytest.approx(sd, rel=1e-6)
    assert figure.low is figure.high is None


def test_a_triangle_may_mix_units():
    figure = read_figure({"low": "2 in", "likely": "75 mm", "high": "10 cm"}, "depth")
    assert (figure.low, figure.likely, figure.high) == (0.0508, 0.075, pytest.approx(0.1))
    assert figure.sd == 0


@pytest.mark.parametrize("written", [{"low": 0.75, "high": 1.0}, {}, {"low": 0, "likely": 0, "high": 0, "mean": 0}])
def test_a_triangle_has_three_values(written):
    with pytest.raises(InputError, match="three keys low, likely and high"):
        read_figure(written, "share")


@pytest.mark.parametrize("written", ["0 % ± 2 %", "3 % ± 3 %", "2 mm ± 2 mm"])
def test_a_spread_as_large_as_the_figure_is_refused(written):
    with pytest.raises(InputError, match=r"low = \.\.\., likely = "):
        read_figure(written, "share" if "%" in written else "depth")
