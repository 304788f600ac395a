"""
What each kind of work takes, on rectangles: greens of 4,000 and 6,000 m2 with edges of 280 and 320 m.

The sums stand beside the figures, for a pencil. Geometry and definitions are the source; formulas have their own.
"""

import numpy as np
import pytest

from turfgis.estimates.orders import orders_for
from turfgis.estimates.takeoff import estimate_year
from turfgis.formulas.chance import Figure
from turfgis.settings.models import BunkerSand

YEAR = 'accuracy = "0 m"\nyear = 2027\nrounds = { 4 = 2000, 5 = 3000 }'
LIQUID = '[material.soap]\nkind = "liquid"\npack = "20 l"\n'
TURF = '[material.turf]\nkind = "turf"\npack = "40 m2"\n'
ON = 'on = ["green"]\n'

# tables; material; need of greens 1 and 2 in a year, in kg, m3 or m2
MATERIALS = {
    # 3 mm / 25 mm = 12 % of the surface, x 20 mm x 50 % filled = 1.2 mm; x 1.6 t/m3 = 1.92 kg/m2
    "slits": (
        '[[job]]\nname = "j"\nwork = "scarify"\n' + ON + 'blade = "3 mm"\nspacing = "25 mm"\ndepth = "20 mm"\n'
        'fill = "50 %"\nmaterial = "sand"\n',
        "sand",
        (1.92 * 4000, 1.92 * 6000),
    ),
    # 20 g/m2 as sold, twice
    "drilled seed as sold": (
        '[[job]]\nname = "j"\nwork = "drill_seed"\n' + ON + 'rate = "20 g/m2"\nrate_of = "seed as sold"\n'
        'material = "bent"\nmonths = [4, 9]\n',
        "bent",
        (2 * 80, 2 * 120),
    ),
    # 8 g/m2 of live seed / (98 % x 85 %)
    "drilled live seed": (
        '[[job]]\nname = "j"\nwork = "drill_seed"\n' + ON + 'rate = "8 g/m2"\nmaterial = "bent"\n',
        "bent",
        (32 / 0.833, 48 / 0.833),
    ),
    # 10 l/ha on 1 ha and 3 % more: 4 l and 6 l, x 1.03
    "a liquid": (
        '[[job]]\nname = "j"\nwork = "spray"\n' + ON + 'rate = "10 l/ha"\noverthrow = "3 %"\nmaterial = "soap"\n',
        "soap",
        (0.00412, 0.00618),
    ),
    # 2 % x 15 mm = 0.3 mm; x 1.6 t/m3 = 0.48 kg/m2
    "sand for divots by worn ground": (
        '[[job]]\nname = "j"\nwork = "divot_mix"\n' + ON + 'sand = "sand"\nworn = "2 %"\ndepth = "15 mm"\n',
        "sand",
        (0.48 * 4000, 0.48 * 6000),
    ),
    # 3 % of that
    "seed for divots by worn ground": (
        '[[job]]\nname = "j"\nwork = "divot_mix"\n' + ON + 'sand = "sand"\nseed = "bent"\nseed_share = "3 %"\n'
        'worn = "2 %"\ndepth = "15 mm"\n',
        "bent",
        (0.0144 * 4000, 0.0144 * 6000),
    ),
    # 5,000 rounds x 0.3 l = 1.5 m3; x 1.6 t/m3 = 2.4 t, shared out by area
    "sand for divots by rounds": (
        '[[job]]\nname = "j"\nwork = "divot_mix"\n' + ON + 'sand = "sand"\nmix_per_round = "0.3 l"\n',
        "sand",
        (960, 1440),
    ),
    # 1 % and a tenth of it cut off
    "turf by a share": (
        '[[job]]\nname = "j"\nwork = "repair_turf"\n' + ON + 'material = "turf"\nshare = "1 %"\ntrim = "10 %"\n',
        "turf",
        (44, 66),
    ),
    # 120 m2 in all, shared out by area; 5 % cut off
    "turf in all": (
        '[[job]]\nname = "j"\nwork = "repair_turf"\n' + ON + 'material = "turf"\narea = "120 m2"\ntrim = "5 %"\n',
        "turf",
        (50.4, 75.6),
    ),
    # 280 m and 320 m, 0.3 m wide
    "turf along edges": (
        '[[job]]\nname = "j"\nwork = "repair_turf"\n' + ON + 'material = "turf"\nstrip = "0.3 m"\n',
        "turf",
        (84, 96),
    ),
    # 70 % x 100 mm + 30 % x 50 mm = 85 mm, + 10 % for settling = 93.5 mm; x 1.6 t/m3 = 149.6 kg/m2
    "bunker sand": (
        '[[job]]\nname = "j"\nwork = "bunker_sand"\n' + ON + 'material = "sand"\nfloor_depth = "100 mm"\n'
        'face_depth = "50 mm"\nface_share = "30 %"\nsettling = "10 %"\n',
        "sand",
        (149.6 * 4000, 149.6 * 6000),
    ),
}


@pytest.mark.parametrize(("job", "material", "need"), MATERIALS.values(), ids=list(MATERIALS))
def test_what_a_work_takes(job, material, need, course, words):
    opened = course(words.sand + words.seed + LIQUID + TURF + job, head=YEAR)
    takeoff = estimate_year(opened)
    rows = takeoff.table("year").query("material == @material")
    assert rows["quantity"].tolist() == pytest.approx(need, rel=1e-7)
    assert set(rows["unit"].astype(str)) == {opened.settings.material[material].base}
    (order,) = orders_for(opened, material=material)
    assert order.delivered_kg == pytest.approx(sum(need), rel=1e-7)
    assert [line.delivered_kg for line in order.lines] == pytest.approx(need, rel=1e-7)


HOURS = {
    "in all, shared out by area": ('crew_hours = "6 h"\nmonths = [4, 5]\n', (2 * 2.4, 2 * 3.6)),
    "by area": ('crew_rate = "0.5 h/1000 m2"\ntimes = 3\n', (6, 9)),
}


@pytest.mark.parametrize(("keys", "hours"), HOURS.values(), ids=list(HOURS))
def test_hours_of_people(keys, hours, course):
    job = '[[job]]\nname = "j"\nwork = "solid_tine"\n' + ON + 'tine = "8 mm"\nspacing = "50 mm"\ndepth = "9 cm"\n'
    takeoff = estimate_year(course(job + keys, head=YEAR))
    rows = takeoff.table("year").query("resource == 'labour'")
    assert (rows["quantity"] / 3600).tolist() == pytest.approx(hours, rel=1e-7)


def test_edges_by_the_metre(course):
    along = '[[job]]\nname = "j"\nwork = "edge"\n' + ON + 'speed = "40 m/h"\n'
    rows = estimate_year(course(along, head=YEAR)).table("year")
    assert (rows["quantity"] / 3600).tolist() == pytest.approx((280 / 40, 320 / 40), rel=1e-7)
    lines = along + 'length = "500 m"\n'
    rows = estimate_year(course(lines, head=YEAR)).table("year")
    assert (rows["quantity"] / 3600).sum() == pytest.approx(12.5, rel=1e-7)


def test_a_machine_and_those_who_drive_it(course, words):
    machine = (
        '[machine.dresser]\nwidth = "2 m"\nspeed = "3.6 km/h"\nefficiency = "50 %"\non = ["green"]\nmows = false\n'
    )
    job = words.dress + 'machine = "dresser"\ntimes = 2\n'
    # 4,000 m2 / (2 m x 1 m/s x 50 %) + 280 m / 1 m/s = 4,280 s; 6,000 + 320 + 30 = 6,350 s, for the 50 m between them
    # and back at 12 km/h; twice
    rows = estimate_year(course(words.sand + machine + job, head=YEAR)).table("year")
    assert rows.query("resource == 'machine'")["quantity"].tolist() == pytest.approx((8560, 12700), rel=1e-6)
    assert rows.query("resource == 'labour'").empty, "nobody asked for hours of people"
    for asked in (
        words.sand + machine + "operators = 1.5\n" + job,
        words.sand + machine + "operators = 1.5\n" + job + '[labour]\nwage = "20 EUR/h"\n',
    ):
        rows = estimate_year(course(asked, head=YEAR)).table("year").query("resource == 'labour'")
        assert rows["quantity"].tolist() == pytest.approx((12840, 19050), rel=1e-6)
    rows = estimate_year(course(words.sand + machine + job + '[labour]\nwage = "20 EUR/h"\n', head=YEAR)).table("year")
    assert rows.query("resource == 'labour'")["quantity"].tolist() == pytest.approx((8560, 12700), rel=1e-6)


def test_what_is_bought_as_it_is(course):
    flags = '[[job]]\nname = "flags"\nwork = "purchase"\namount = "30 EUR"\ncount = 4\n'
    drill = '[[job]]\nname = "drill"\nwork = "contractor"\n' + ON + 'days = 2\nprice = "900 EUR/day"\n'
    sand_away = '[[job]]\nname = "cores"\nwork = "contractor"\n' + ON + 'price = "0.12 EUR/m2"\n'
    rows = estimate_year(course(flags + drill + sand_away, head=YEAR)).table("year")
    assert rows[rows["job"] == "flags"][["quantity", "cost"]].values.tolist() == [[4, 120]]
    assert rows[rows["job"] == "flags"]["patch"].isna().all()
    assert rows[rows["job"] == "drill"]["cost"].tolist() == pytest.approx([720, 1080], rel=1e-7)  # 1,800 by area
    assert rows[rows["job"] == "cores"]["cost"].tolist() == pytest.approx([480, 720], rel=1e-7)


def test_mean_depth_of_a_bunker_spreads_as_its_draws_do(course, words):
    """Against two million draws: depth = floor x (1 - share) + face x share."""
    job = '[[job]]\nname = "j"\nwork = "bunker_sand"\n' + ON + 'material = "sand"\nfloor_depth = "100 mm ± 15 mm"\n'
    job += 'face_depth = "40 mm ± 10 mm"\nface_share = "30 % ± 8 %"\n'
    takeoff = estimate_year(course(words.sand + job, head=YEAR))
    depth = takeoff.needs[0].own["mean depth"]
    rng = np.random.default_rng(3)
    floor, face, share = (rng.normal(mean, sd, 2_000_000) for mean, sd in ((0.1, 0.015), (0.04, 0.01), (0.3, 0.08)))
    drawn = floor * (1 - share) + face * share
    assert depth.mean == pytest.approx(drawn.mean(), rel=1e-3)
    assert depth.sd == pytest.approx(drawn.std(), rel=3e-3)
    assert isinstance(takeoff.needs[0].job, BunkerSand)
    assert takeoff.needs[0].own["settling"] == Figure(1.0)
