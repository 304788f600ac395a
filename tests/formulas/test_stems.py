"""Stems: girth over diameter is pi."""

import math

import pytest

from turfgis.errors import InputError
from turfgis.formulas.stems import stem_diameter


@pytest.mark.parametrize("diameter", [0.05, 0.25, 1.0])
def test_girth_over_diameter_is_pi(diameter):
    """What pi is; no source is needed."""
    assert stem_diameter(math.pi * diameter) == pytest.approx(diameter, rel=1e-15)


def test_twice_the_girth_is_twice_across():
    assert stem_diameter(3.14) == 2 * stem_diameter(1.57)


def test_no_girth_is_refused():
    with pytest.raises(InputError, match="girth must be greater than 0 m"):
        stem_diameter([1.0, 0.0])
