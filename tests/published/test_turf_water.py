"""Published coefficients of turf: as printed, by name, and never taken unasked."""

import pytest

from turfgis.errors import InputError
from turfgis.published.turf_water import HIGHEST, LOWEST, TURF_COEFFICIENTS, turf_coefficient
from turfgis.sources import SOURCES

# name, coefficient as printed
PRINTED = [
    # [fao56-table-12] R. G. Allen and others, FAO Irrigation and Drainage Paper 56, turf grass, 1998,
    # table 12, http://www.fao.org/docrep/X0490E/x0490e0b.htm (quoted from memory)
    ("FAO-56 cool-season", 0.95),
    ("FAO-56 warm-season", 0.85),
    # [new-mexico-2005] New Mexico State University, Turf crop coefficients of eight growing seasons, 2005,
    # http://a-c-s.confex.com/crops/2005am/techprogram/P6853.HTM
    ("New Mexico cool-season", 0.85),
    ("New Mexico warm-season", 0.70),
    # [texas-turf-coefficients] Texas A&M University, Irrigation Technology Center,
    # Turf coefficients, archived page (site name left out), 2009
    ("Texas cool-season", 0.8),
    ("Texas warm-season", 0.6),
]


@pytest.mark.parametrize(("name", "printed"), PRINTED)
def test_coefficients_as_printed(name, printed):
    assert turf_coefficient(name).share == printed
    assert turf_coefficient(name).source in SOURCES


def test_all_of_them_are_checked():
    assert [name for name, _ in PRINTED] == list(TURF_COEFFICIENTS)
    shares = [share for _, share in PRINTED]
    assert min(shares) == LOWEST
    assert max(shares) == HIGHEST


def test_another_name_is_refused_with_those_there_are():
    with pytest.raises(InputError, match=r"no published coefficient 'published' .*Texas cool-season"):
        turf_coefficient("published")
