"""The colours of the map: told apart by readers who see colours differently, and in black and white."""

from itertools import combinations

import numpy as np
import pytest

from turfgis.reports.map_palette import PALETTE, PAPER, PATTERNS, SPARE, fills_for, pattern_defs
from turfgis.surfaces import SURFACES

# What people with one kind of cone missing see, as matrices on linear sRGB.
# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A physiologically-based model for simulation of color vision
# deficiency", IEEE Transactions on Visualization and Computer Graphics 15(6), 2009, at severity 1.0.
SEEN_WITH = {
    "all cones": np.eye(3),
    "protanopia": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "deuteranopia": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "tritanopia": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}

# Surfaces that lie side by side on nearly every course (common practice, no source).
NEIGHBOURS = [
    *(("green", other) for other in ("collar", "surround", "approach", "bunker", "fairway", "rough")),
    *(("collar", other) for other in ("approach", "surround", "fairway", "rough")),
    *(("fairway", other) for other in ("approach", "semi-rough", "rough", "bunker", "water", "path", "tee")),
    *(("rough", other) for other in ("semi-rough", "surround", "tee", "path", "water", "other")),
    *(("bunker", other) for other in ("surround", "semi-rough", "rough")),
]

# A difference of 2.3 is just noticed side by side (M. Mahy, L. Van Eycken, A. Oosterlinck, "Evaluation of uniform color
# spaces developed after the adoption of CIELAB and CIELUV", Color Research and Application 19(2), 1994; from memory).
# Three times that is asked for here.
APART = 7.0


def linear(colour: str) -> np.ndarray:
    """Linear sRGB of a colour such as #1f5c4d (IEC 61966-2-1)."""
    given = np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)]) / 255
    return np.where(given <= 0.04045, given / 12.92, ((given + 0.055) / 1.055) ** 2.4)


def lab(rgb: np.ndarray) -> np.ndarray:
    """CIE 1976 L*a*b* of linear sRGB with white D65 (CIE 15, Colorimetry)."""
    to_xyz = np.array(
        [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.072175], [0.0193339, 0.119192, 0.9503041]]
    )
    ratio = to_xyz @ np.clip(rgb, 0, 1) / (to_xyz @ np.ones(3))
    root = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.array([116 * root[1] - 16, 500 * (root[0] - root[1]), 200 * (root[1] - root[2])])


def difference(one: str, other: str, seen: np.ndarray) -> float:
    """CIE 1976 colour difference (CIE 15, Colorimetry) as seen with the given matrix."""
    return float(np.linalg.norm(lab(seen @ linear(one)) - lab(seen @ linear(other))))


def lightness(colour: str) -> float:
    """L* of a colour: what is left of it in black and white."""
    return float(lab(linear(colour))[0])


@pytest.mark.parametrize(
    ("colour", "printed"),
    [
        # B. Lindbloom, CIE Color Calculator (brucelindbloom.com/ColorCalculator.html), sRGB with D65.
        ("#ff0000", (53.2408, 80.0925, 67.2032)),
        ("#00ff00", (87.7347, -86.1827, 83.1793)),
        ("#0000ff", (32.2970, 79.1875, -107.8602)),
        ("#ffffff", (100.0, 0.0, 0.0)),
    ],
)
def test_the_measure_itself(colour, printed):
    assert lab(linear(colour)) == pytest.approx(printed, abs=0.01)


def test_grey_is_grey_to_everyone():
    # What no cone tells apart stays as it is, so each row sums to 1: guards the figures above against slips in copying.
    for matrix in SEEN_WITH.values():
        assert matrix.sum(axis=1) == pytest.approx(1.0, abs=1e-5)


def test_every_surface_of_the_trade_has_a_look():
    assert set(PALETTE) == set(SURFACES)


@pytest.mark.parametrize("seen", SEEN_WITH)
@pytest.mark.parametrize(("one", "other"), NEIGHBOURS)
def test_neighbours_differ_in_colour_alone(one, other, seen):
    assert difference(PALETTE[one].tint, PALETTE[other].tint, SEEN_WITH[seen]) >= APART


@pytest.mark.parametrize("seen", SEEN_WITH)
def test_any_two_surfaces_differ_in_colour_or_pattern(seen):
    for one, other in combinations([*PALETTE.values(), *SPARE], 2):
        assert one.pattern != other.pattern or difference(one.tint, other.tint, SEEN_WITH[seen]) >= 2 * APART


def test_any_two_surfaces_differ_in_black_and_white():
    for one, other in combinations([*PALETTE.values(), *SPARE], 2):
        assert one.pattern != other.pattern or abs(lightness(one.tint) - lightness(other.tint)) >= 2 * APART


def test_every_pattern_can_be_seen_in_black_and_white():
    for name, fill in [*PALETTE.items(), *((fill.pattern, fill) for fill in SPARE)]:
        if fill.pattern != "solid":
            assert abs(lightness(fill.tint) - lightness(fill.ink)) >= 2 * APART, name


def test_greens_are_the_darkest_and_every_tint_shows_on_the_page():
    tints = {name: lightness(fill.tint) for name, fill in PALETTE.items()}
    assert min(tints, key=lambda name: tints[name]) == "green"
    for name, fill in PALETTE.items():
        apart = difference(fill.tint, PAPER, SEEN_WITH["all cones"]) + abs(lightness(fill.ink) - lightness(PAPER))
        assert apart >= 2 * APART, name


def test_surfaces_of_the_clubs_own_get_looks_of_their_own():
    fills = fills_for(["green", "heather", "gorse", "dune", "wild flowers"])
    assert len({fill.pattern for fill in fills.values()}) == 5
    assert fills["green"] == PALETTE["green"]


def test_patterns_are_named_by_place_and_solid_tints_need_none():
    svg = pattern_defs(list(PALETTE.values()))
    for number, fill in enumerate(PALETTE.values()):
        assert (f'id="fill-{number}"' in svg) == (fill.pattern != "solid")
        assert fill.pattern == "solid" or fill.pattern in PATTERNS
