"""What is said of a change: numbers against the table, and words for each case."""

import pytest

from turfgis.reports.drift import drift_sentence, in_short, told

LOST = {
    "place": "No. 7 green",
    "match": "same",
    "old_surveyed": "2024-03-14",
    "net_m2": -22.8,
    "plus_minus_m2": 9.2,
    "changed": True,
    "moved": True,
    "retreat_m": 0.214,
    "lost_edge_m": 31.2,
    "won_edge_m": 0.0,
}


@pytest.mark.parametrize(
    ("other", "sentence"),
    [
        (
            {"net_m2": 12.2, "retreat_m": -0.15, "lost_edge_m": 0.0, "won_edge_m": 20.0},
            "No. 7 green has gained 12 ± 9 m2 since 14 March 2024, mean 0.15 m of edge.",
        ),
        ({"old_surveyed": None}, "has lost 23 ± 9 m2 since the older survey, mean 0.21 m of edge; 31 m of turf edge"),
        (
            {"net_m2": 3.1, "changed": False, "won_edge_m": 12.4},
            "No. 7 green: no change of area that can be told since 14 March 2024 (+3 ± 9 m2), but 31 m of its edge lie "
            "further in and 12 m further out than the surveys explain.",
        ),
        (
            {"net_m2": 3.1, "changed": False, "moved": False},
            "No. 7 green: no change that can be told since 14 March 2024 (+3 ± 9 m2).",
        ),
        ({"match": "gone", "net_m2": -120.4}, "No. 7 green is not in the newer survey; it had 120 ± 9 m2."),
        ({"match": "new", "net_m2": 120.4}, "No. 7 green is not in the older survey; it has 120 ± 9 m2."),
        ({"match": "split"}, "of turf edge to win back. One patch then, several now."),
        ({"lost_edge_m": 0.42}, "; 0.4 m of turf edge to win back."),
    ],
)
def test_each_case_has_its_sentence(other, sentence):
    assert sentence in drift_sentence(LOST | other)


def test_no_change_is_never_called_a_loss():
    """A green within the plus-minus: nothing in the words may be read as a loss."""
    words = drift_sentence(LOST | {"changed": False, "moved": False}) + in_short(
        LOST | {"changed": False, "moved": False}
    )
    assert "lost" not in words
    assert "win back" not in words


def test_us_units():
    """1 m2 is 10.764 ft2 and 1 m is 3.2808 ft (NIST SP 811, Appendix B)."""
    assert "lost 245 ± 99 ft2" in drift_sentence(LOST, "us")
    assert "mean 0.70 ft of edge; 102 ft of turf edge" in drift_sentence(LOST, "us")


@pytest.mark.parametrize(
    ("other", "word"),
    [
        ({}, "changed"),
        ({"changed": False}, "moved"),
        ({"changed": False, "moved": False}, "no"),
        ({"match": "gone"}, "gone"),
        ({"match": "new"}, "new"),
    ],
)
def test_what_can_be_told_in_one_word(other, word):
    assert told(LOST | other) == word
