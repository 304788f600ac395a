"""A job's own figures in words, in the unit in which they were typed: the input is the check."""

import pytest
from pydantic import TypeAdapter

from turfgis.reports.job_words import rate_words
from turfgis.settings.models import JOBS, Job

BASE = {"name": "a job", "on": ["green"]}
GOODS = {"material": "any"}

TYPED = [
    (
        {"work": "hollow_tine", "tine": "12 mm", "spacing": ["50 mm", "65 mm"], "depth": "75 mm ± 8 mm"},
        "12 mm tines at 50 mm by 65 mm, 75 mm deep",
    ),
    (
        {"work": "solid_tine", "tine": "8 mm", "spacing": "50 mm", "depth": "150 mm"},
        "8 mm tines at 50 mm by 50 mm, 150 mm deep",
    ),
    (
        {"work": "scarify", "blade": "1.5 mm", "spacing": "25 mm", "depth": "5 mm"},
        "1.5 mm blades 25 mm apart, 5 mm deep",
    ),
    ({"work": "topdress", "depth": "0.4 mm ± 15 %", **GOODS}, "0.4 mm"),
    ({"work": "overseed", "rate": "8 g/m2", **GOODS}, "8 g/m2 of live seed"),
    ({"work": "drill_seed", "rate": "12.5 g/m2", "rate_of": "seed as sold", **GOODS}, "12.5 g/m2 of seed as sold"),
    ({"work": "fertilise", "rate": "30 kg/ha", "nutrient": "N", **GOODS}, "3 g/m2 of N"),
    ({"work": "fertilise", "rate": "20 g/m2", **GOODS}, "20 g/m2 of product"),
    ({"work": "spray", "rate": "2.5 l/ha", **GOODS}, "2.5 l/ha"),
    *[({"work": work, "machine": "mower"}, "") for work in ("mow", "roll", "brush")],
    ({"work": "divot_mix", "sand": "s", "mix_per_round": "0.25 l"}, "0.25 l a round"),
    (
        {"work": "divot_mix", "sand": "s", "seed": "t", "seed_share": "3 %", "worn": "0.2 %", "depth": "12 mm"},
        "0.2 % of the ground, 12 mm deep, 3 % seed by weight of the sand",
    ),
    ({"work": "repair_turf", "share": "2 %", **GOODS}, "2 % of the ground"),
    ({"work": "repair_turf", "area": "150 m2", **GOODS}, "150 m2 in all"),
    ({"work": "repair_turf", "strip": "0.1 m", **GOODS}, "0.1 m along the edges"),
    ({"work": "spot_treatment", "crew_hours": "2 h"}, "by hand"),
    ({"work": "spot_treatment", "area": "21 m2", "rate": "6 g/m2", **GOODS}, "6 g/m2 on 21 m2 in all"),
    ({"work": "spot_treatment", "area": "130 m2", "rate": "4 mm", **GOODS}, "4 mm on 130 m2 in all"),
    ({"work": "spot_treatment", "area": "90 m2", "rate": "8 l/ha", **GOODS}, "8 l/ha on 90 m2 in all"),
    ({"work": "spot_treatment", "area": "4 m2", **GOODS}, "4 m2 in all"),
    (
        {"work": "bunker_sand", "floor_depth": "20 mm", "face_depth": "10 mm", "face_share": "30 %", **GOODS},
        "20 mm on floors, 10 mm on faces",
    ),
    ({"work": "water"}, "as the weather asks"),
    ({"work": "water", "depth": "5 mm ± 1 mm", "months": [6]}, "5 mm at the roots"),
    ({"work": "edge", "speed": "400 m/h"}, "400 m/h"),
    ({"work": "purchase", "amount": "30 EUR", "count": 1200}, "1,200"),
    ({"work": "contractor", "days": 1, "price": "900 EUR/day"}, "1 day"),
    ({"work": "contractor", "price": "0.2 EUR/m2"}, "by area"),
]


@pytest.mark.parametrize(("keys", "words"), TYPED, ids=[f"{keys['work']}-{words}" for keys, words in TYPED])
def test_as_typed(keys, words):
    assert rate_words(TypeAdapter(Job).validate_python({**BASE, **keys})) == words


def test_every_work_is_in_the_list_above():
    assert {keys["work"] for keys, _ in TYPED} == {model.model_fields["work"].annotation.__args__[0] for model in JOBS}


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"work": "topdress", "depth": "0.125 in", **GOODS}, "0.125 in"),
        ({"work": "spray", "rate": "3 US gal/acre", **GOODS}, "3 US gal/acre"),
        ({"work": "fertilise", "rate": "0.5 lb/1000 ft2", "nutrient": "N", **GOODS}, "0.5 lb/1000 ft2 of N"),
        ({"work": "repair_turf", "area": "1500 ft2", **GOODS}, "1,500 ft2 in all"),
    ],
)
def test_as_typed_in_us_units(keys, words):
    assert rate_words(TypeAdapter(Job).validate_python({**BASE, **keys}), "us") == words
