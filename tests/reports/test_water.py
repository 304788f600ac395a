"""What the water page says and draws: the licence line, the use up to it, and words that are never markup."""

from datetime import date
from xml.etree import ElementTree

import numpy as np
import pytest

from turfgis.estimates.water_limits import LimitState
from turfgis.reports.water import limit_sentence
from turfgis.reports.water_page import LEFT, RIGHT, WIDE, use_chart

SVG = "{http://www.w3.org/2000/svg}"


class Stub:
    """As much of a course's water as a drawing needs: 10 m3 a day since the first of April."""

    day = date(2027, 6, 30)
    meter = None
    rate_m3 = 10.0

    def __init__(self):
        import pandas as pd

        days = np.arange(np.datetime64("2027-04-01"), np.datetime64("2027-07-01"))
        self.reckoned = pd.Series(10.0, index=days)


def limit(**more):
    said = {
        **{"name": "licence <b>", "per": "year", "source": "", "limit_m3": 2000.0, "used_m3": 910.0, "basis": "meter"},
        **{"first": date(2027, 4, 1), "last": date(2028, 3, 31), "date_passed": date(2027, 10, 17)},
    }
    return LimitState(**{**said, **more})


def points(line):
    return np.array([[float(one) for one in pair.split(",")] for pair in line.get("points").split()])


def test_the_chart_draws_use_and_limit_to_scale():
    drawn = ElementTree.fromstring(use_chart(Stub(), limit()))
    lines = drawn.findall(f"{SVG}polyline")
    used = next(points(one) for one in lines if one.get("stroke-width") == "0.8")
    across = next(points(one) for one in lines if one.get("stroke-width") == "0.7")
    ahead = next(points(one) for one in lines if one.get("stroke-dasharray"))
    foot = max(points(one)[0, 1] for one in lines)
    # 910 of 2,000 m3 stands at 45.5 % of the height of the limit, and the dashed line ends on it
    assert (foot - used[-1, 1]) / (foot - across[0, 1]) == pytest.approx(0.455, abs=0.001)
    assert ahead[-1, 1] == pytest.approx(across[0, 1], abs=0.01)
    # 90 of 365 days on
    assert (used[-1, 0] - LEFT) / (WIDE - LEFT - RIGHT) == pytest.approx(90 / 365, abs=0.001)
    assert (np.diff(used[:, 1]) <= 0).all()  # use never falls


def test_names_are_text():
    assert "<b>" not in use_chart(Stub(), limit())
    assert "Licence &lt;b&gt;" in use_chart(Stub(), limit())


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({}, "910 of 2,000 m3 a year are used; at this rate it is passed on 17 October 2027."),
        ({"date_passed": None}, "at this rate it lasts."),
        ({"used_m3": 2100.0, "date_passed": date(2027, 6, 3)}, "it was passed on 3 June 2027."),
        ({"used_m3": float("nan")}, "nothing is known of what is used."),
        ({"per": "day", "basis": "heaviest night of the plan"}, "Meeting every need would pass it on 17 October 2027."),
        ({"per": "day", "basis": "meter, as a mean between readings"}, "More was taken on 17 October 2027."),
        (
            {"first": None, "per": "season", "basis": "between seasons; the next begins on 2028-04-01"},
            "between seasons",
        ),
    ],
)
def test_sentences_on_limits(more, words):
    assert words in limit_sentence(limit(**more), "metric")
