"""
A year of 200 jobs, 1,500 dates and 300 patches, beside the bare products in numpy and the package ``uncertainties``.

Made of rectangles and random figures, seeded; nothing is drawn or read, so that only the estimates are timed.
"""

from collections.abc import Callable, Iterator
from importlib.util import find_spec
from pathlib import Path
from types import SimpleNamespace

import geopandas as gpd
import numpy as np
import shapely

from turfgis.estimates.budget import VIEWS, Budget, estimate_budget
from turfgis.estimates.course import Course
from turfgis.estimates.takeoff import Takeoff, estimate_year
from turfgis.layers.drawing import Drawing
from turfgis.settings.models import CourseSettings

JOBS, DATES, PATCHES = 200, 1500, 300
SURFACES = ("green", "tee", "collar", "approach", "fairway", "surround", "semi-rough", "rough")
Row = tuple[str, Callable[[], object], Callable[[], object], float, str]


def settings() -> CourseSettings:
    """Materials, machines and jobs; every figure of a material or job carries a spread."""
    rng = np.random.default_rng(1)
    materials: dict = {
        **{f"sand {at}": _sand(rng) for at in range(3)},
        **{f"feed {at}": _packed("fertiliser", rng, analysis={"N": "12 %"}) for at in range(5)},
        **{f"seed {at}": _packed("seed", rng) for at in range(3)},
    }
    machine = {"width": "2 m", "speed": "6 km/h", "efficiency": "70 %", "on": list(SURFACES), "cost": "15 EUR/h"}
    return CourseSettings.model_validate(
        {
            "name": "Bench",
            "year": 2027,
            "layer": [{"file": "none.gpkg"}],
            "material": materials,
            "machine": {"mower": machine},
            "labour": {"wage": "22 EUR/h"},
            "budget": {"taxes": {"vat": {"share": "20 %", "on": ["material"]}}, "contingency": {"weather": "5 %"}},
            "job": [_job(rng, at, list(materials)) for at in range(JOBS)],
        }
    )


def _sand(rng: np.random.Generator) -> dict:
    density = f"{rng.uniform(1.4, 1.7):.3f} t/m3 ± 4 %"
    return {"kind": "sand", "bulk_density": density, "moisture": "5 % ± 1 %", "stock": "4 t", "price": "42 EUR/t"}


def _packed(kind: str, rng: np.random.Generator, **more) -> dict:
    return {"kind": kind, "pack": "20 kg", "stock": "50 kg", "price": f"{rng.uniform(20, 90):.2f} EUR/pack", **more}


def _job(rng: np.random.Generator, at: int, materials: list[str]) -> dict:
    on = [str(name) for name in rng.choice(SURFACES, size=rng.integers(1, 3), replace=False)]
    # 7 or 8 days each: 1,500 in all
    days = rng.choice(np.arange("2027-03-01", "2027-12-01", dtype="datetime64[D]"), size=7 + at % 2, replace=False)
    job = {"name": f"job {at}", "group": f"group {at % 8}", "on": on, "dates": [str(day) for day in days]}
    if at % 4 == 0:
        return {**job, "work": "mow", "machine": "mower"}
    material = materials[at % len(materials)]
    rates = {
        "sand": {"work": "topdress", "depth": f"{rng.uniform(0.5, 2):.3f} mm ± 12 %"},
        "feed": {"work": "fertilise", "rate": f"{rng.uniform(5, 30):.3f} g/m2 ± 8 %"},
        "seed": {"work": "overseed", "rate": f"{rng.uniform(5, 30):.3f} g/m2 ± 10 %"},
    }
    return {**job, **rates[material.split()[0]], "material": material, "crew_hours": "3 h"}


def course() -> Course:
    """The settings and 300 rectangles."""
    rng = np.random.default_rng(2)
    width, height = rng.uniform(10, 60, (2, PATCHES))
    surface = np.array([SURFACES[at % len(SURFACES)] for at in range(PATCHES)])
    patches = gpd.GeoDataFrame(
        {
            "patch": [f"patch-{at}" for at in range(PATCHES)],
            "surface": surface,
            "hole": [str(1 + at % 18) for at in range(PATCHES)],
            "net_m2": width * height,
            "perimeter_m": 2 * (width + height),
            "u_own_m2": 0.3 * 2 * (width + height),
            "u_bias_m2": 0.05 * 2 * (width + height),
            "bias_group": surface,
        },
        geometry=shapely.box(0, 0, width, height),
    )
    made = Course(Path("bench"), Drawing(Path("."), ()), settings())
    made.__dict__["measured"] = SimpleNamespace(patches=patches)
    return made


def fresh(opened: Course) -> Course:
    """The same ground, about which nothing is known yet."""
    again = Course(opened.path, opened.drawing, opened.settings)
    again.__dict__["measured"] = opened.measured
    return again


def _plan(takeoff: Takeoff) -> list[tuple]:
    """What a hand would have ready: for every need its patches, rate, price, months and the codes it is summed by."""
    places = [{}, {}, {}, {}]
    plan = []
    for need, price, occurring in zip(takeoff.needs, takeoff.unit_price(), takeoff.times, strict=True):
        keys = (need.job.group, need.key, need.resource, need.job.name)
        codes = [place.setdefault(key, len(place)) for place, key in zip(places, keys, strict=True)]
        on = np.flatnonzero(need.on)
        months = [takeoff.months.index(one.month) for one in occurring]
        plan.append((on, (need.base + need.beyond_m2)[on], need.per_m2 / need.times, price, months, codes))
    return plan


def bare_products(plan: list[tuple], surface: np.ndarray) -> list[np.ndarray]:
    """Quantity and cost of every need, date and patch, and the sums of the cost."""
    costs, months, surfaces, codes = [], [], [], []
    for on, ground, rate, price, when, code in plan:
        for month in when:
            quantity = ground * rate
            costs.append(quantity * price)
            months.append(np.full(len(on), month))
            surfaces.append(surface[on])
            codes.append(np.tile(code, (len(on), 1)))
    cost = np.concatenate(costs)
    by = [np.concatenate(months), np.concatenate(surfaces), *np.concatenate(codes).T]
    return [np.bincount(place, cost) for place in by]


def sums_with_uncertainties(takeoff: Takeoff) -> dict:
    """Sums of the cost by month, surface, group and material, as numbers that carry their spread."""
    from uncertainties import ufloat

    ground = takeoff.ground
    bias = {layer: ufloat(0, 1) for layer in set(ground.layer_code)}
    area = [
        ufloat(net, own) + shared * bias[layer]
        for net, own, shared, layer in zip(ground.net_m2, ground.own_m2, ground.bias_m2, ground.layer_code, strict=True)
    ]
    figures: dict = {}
    sums: dict = {}
    for need, factors, price, occurring in zip(
        takeoff.needs, takeoff.factors, takeoff.unit_price(), takeoff.times, strict=True
    ):
        rate = 1.0
        for key, (mean, variance) in factors.items():
            rate = rate * figures.setdefault(key, ufloat(mean, variance**0.5))
        for at in np.flatnonzero(need.on):
            slope = need.slope[at]
            over = need.base[at] + slope * (area[at] - ground.net_m2[at]) if slope else need.base[at]
            cost = over * rate * price
            for one in occurring:
                for key in (one.month, ground.surface[at], need.job.group, need.key, "total"):
                    sums[key] = sums.get(key, 0) + cost
    return {key: (value.n, value.s) for key, value in sums.items() if hasattr(value, "s")}


def spreads(takeoff: Takeoff) -> Budget:
    """The spread of all sums, from a take-off about which nothing is known yet."""
    return estimate_budget(
        Takeoff(takeoff.settings, takeoff.ground, takeoff.needs, takeoff.times, takeoff.months, takeoff.counts)
    )


def rows() -> Iterator[Row]:
    """What is timed: name, ours, the other way, the ratio that is aimed at, and a remark."""
    opened = course()
    takeoff = estimate_year(opened)
    plan, surface = _plan(takeoff), takeoff.ground.surface_code
    table = takeoff.table()
    yield (
        "take-off and budget: bare products in numpy",
        lambda: estimate_budget(estimate_year(fresh(opened))),
        lambda: bare_products(plan, surface),
        2.0,
        f"{len(takeoff.needs)} needs, {JOBS} jobs",
    )
    yield (
        "all rows of the take-off as a table: the same",
        lambda: estimate_year(fresh(opened)).table(),
        lambda: bare_products(plan, surface),
        2.0,
        f"{len(table):,} rows",
    )
    if find_spec("uncertainties"):
        sums = sum(len(estimate_budget(takeoff).by(view)) for view in VIEWS)
        yield (
            "spread of all sums, with the budget: uncertainties",
            lambda: spreads(takeoff),
            lambda: sums_with_uncertainties(takeoff),
            0.01,
            f"{sums} sums",
        )
    dearer = _dearer(takeoff.settings)
    yield (
        "a change of one price: all from the start",
        lambda: estimate_budget(takeoff, dearer),
        lambda: estimate_budget(estimate_year(fresh(opened.with_settings(dearer)))),
        1.0,
        "to be under 50 ms",
    )


def _dearer(settings: CourseSettings) -> CourseSettings:
    sand = settings.material["sand 0"]
    price = sand.price.model_copy(update={"per_si": 0.048}) if sand.price else None
    return settings.model_copy(
        update={"material": {**settings.material, "sand 0": sand.model_copy(update={"price": price})}}
    )
