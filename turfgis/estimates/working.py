"""The whole calculation of an order, step by step with units, so that a reader with a pencil can repeat it."""

from __future__ import annotations

from math import sqrt

import numpy as np

from turfgis.estimates.needs import Need
from turfgis.estimates.order import Nutrient, Step
from turfgis.estimates.pencil import PERCENT, SPREAD_DIGITS, digits, factor, figure, weighed
from turfgis.estimates.risk import Amount
from turfgis.estimates.steps import PLAIN_WORKS, plain_steps, shown_amount
from turfgis.settings.models import (
    DrillSeed,
    Fertilise,
    Fertiliser,
    HollowTine,
    Material,
    Overseed,
    Sand,
    Seed,
    SolidTine,
    Spray,
)
from turfgis.sources import cite
from turfgis.units import Shown, shown

GEOMETRY = "plain geometry"
DEFINITION = "definition"
SLOPE = "the secant of the slope, averaged over each patch, from the heights"


def work_out(
    system: str,
    material: Material,
    needs: list[Need],
    amount: Amount,
    to_order: float,
    unit: float | None,
    units: int | None,
    risk: float,
    nutrients: tuple[Nutrient, ...] = (),
) -> tuple[Step, ...]:
    """
    The steps from areas to whole loads or packs.

    Parameters
    ----------
    system
        ``metric`` or ``us``.
    material, needs
        What the order is made from.
    amount, to_order, unit, units, risk, nutrients
        What it came to.

    Returns
    -------
    The steps, in that order. The result of a step stands with the same digits in those that use it.
    """
    weight = shown_amount(material, system)
    steps: list[Step] = []
    for need in needs:
        if isinstance(need.job, PLAIN_WORKS):
            whole = need.ground is not None and not (need.job.true_area or isinstance(need.job, Spray))
            steps += [*([] if whole else _ground(need, system)), *plain_steps(need, material, system)]
            continue
        rate = _rate(need, material, system)
        steps += [*_ground(need, system), *rate]
        if isinstance(material, Sand):
            steps.append(_sand_total(need, material, bool(rate), weight, system))
        else:
            steps.append(_product_total(need, bool(rate), weight, system))
        steps += _cores(need, system)
    steps += _whole(material, needs, amount, weight)
    steps += _nutrients(material, needs, nutrients, amount, weight, system)
    steps.append(_stock(material, amount, weight))
    if unit and units is not None:
        if isinstance(material, Sand):
            steps += [_spread(amount, weight), _loads(material, amount, unit, units, risk, weight)]
        else:
            steps.append(_packs(to_order, unit, units, weight))
    return tuple(steps)


def _ground(need: Need, system: str) -> list[Step]:
    area, job = shown("area", system), need.job
    net, beyond, count = need.net_m2.sum(), need.beyond_m2.sum(), int(need.on.sum())
    steps = [
        Step(
            f"{job.name}: net area",
            "sum of the net areas of its patches",
            f"{count} {'patch' if count == 1 else 'patches'} of {' and '.join(job.on)}",
            factor(net, area),
            "measured in a local equal-area frame",
        )
    ]
    base, kept = "net area", float(np.sum(need.kept_m2))
    if kept:
        numbers = f"{factor(net, area)} - {factor(kept, area)}"
        how = "net area - what is kept off, measured"
        base, net = "area to spray", net - kept
        steps.append(Step(f"{job.name}: {base}", how, numbers, factor(net, area), GEOMETRY))
    if job.true_area:
        more = float(np.sum(need.slope_m2))
        numbers = f"{factor(net, area)} + {factor(more, area)}"
        how = f"{base} + what the slope adds to it"
        steps.append(Step(f"{job.name}: area along the slope", how, numbers, factor(net + more, area), SLOPE))
        base, net = "area along the slope", net + more
    overthrow, twice = getattr(job, "overthrow", None), float(np.sum(need.overlap_m2))
    if not beyond > 0:
        return steps
    if overthrow is None or twice:
        how = f"{base} + what lands past the edges + what passes of the boom cover twice"
        numbers = f"{factor(net, area)} + {factor(beyond - twice, area)} + {factor(twice, area)}"
    elif overthrow.reach is not None:
        how = f"{base} + ground within {figure(overthrow.reach, shown('width', system))} of an edge, measured"
        numbers = f"{factor(net, area)} + {factor(beyond, area)}"
    else:
        how = f"{base} x (1 + share that lands past the edge)"
        numbers = f"{factor(net, area)} x (1 + {figure(overthrow.share, PERCENT)})"
    return [*steps, Step(f"{job.name}: treated area", how, numbers, factor(net + beyond, area), GEOMETRY)]


def _rate(need: Need, material: Material, system: str) -> list[Step]:
    """What a square metre takes in one round; nothing where the settings say it as it is."""
    job, rate = need.job, shown("mass rate", system)
    if isinstance(job, HollowTine | SolidTine):
        return _holes(need, job, system)
    if isinstance(job, Overseed | DrillSeed) and isinstance(material, Seed) and job.rate_of == "live seed":
        live = f"({factor(material.purity, PERCENT)} x {factor(material.germination, PERCENT)})"
        return [
            Step(
                f"{job.name}: seed to sow",
                "rate of live seed / (purity x germination)",
                f"{figure(job.rate, rate)} / {live}",
                factor(need.per_m2 / need.times, rate),
                cite("psu-pls"),
            )
        ]
    if isinstance(job, Fertilise) and isinstance(material, Fertiliser) and job.nutrient:
        content = {str(name): share for name, share in material.analysis.items()}[job.nutrient]
        return [
            Step(
                f"{job.name}: product for its {job.nutrient}",
                f"rate of {job.nutrient} / share of {job.nutrient} in the product",
                f"{figure(job.rate, rate)} / {factor(content, PERCENT)}",
                factor(need.per_m2 / need.times, rate),
                cite("unl-fertiliser"),
            )
        ]
    return []


def _holes(need: Need, job: HollowTine | SolidTine, system: str) -> list[Step]:
    thin = shown("small length", system)
    opened = factor(need.own["share opened"].mean, PERCENT)
    along, across = (factor(one, thin) for one in job.spacing)
    return [
        Step(
            f"{job.name}: share of the surface opened",
            "pi x diameter^2 / 4 / (spacing along x spacing across)",
            f"3.14159265 x ({factor(job.tine, thin)})^2 / 4 / ({along} x {across})",
            opened,
            GEOMETRY,
        ),
        Step(
            f"{job.name}: sand in the holes, as an even layer",
            "share opened x depth x fill",
            f"{opened} x {figure(job.depth, thin)} x {figure(job.fill, PERCENT)}",
            factor(need.per_m2 / need.times, thin),
            GEOMETRY,
        ),
    ]


def _times(need: Need) -> tuple[str, str]:
    """Rounds in words and as a factor; nothing where there is one."""
    return (" x times", f" x {need.times}") if need.times > 1 else ("", "")


def _sand_total(need: Need, material: Sand, worked: bool, weight: Shown, system: str) -> Step:
    thin, (words, times) = shown("small length", system), _times(need)
    layer = factor(need.per_m2 / need.times, thin) if worked else figure(need.own["depth"], thin)
    hint = "1 m = 1,000 mm" if system == "metric" else "1 ft = 12 in, 1 US ton = 2,000 lb"
    return Step(
        f"{need.job.name}: dry sand",
        f"area x layer x bulk density{words} ({hint})",
        f"{factor(need.treated_m2.sum(), shown('area', system))} x {layer} x "
        f"{figure(material.bulk_density, shown('density', system))}{times}",
        weighed(need.treated_m2.sum() * need.per_m2 * material.bulk_density.mean, weight),
        DEFINITION,
    )


def _product_total(need: Need, worked: bool, weight: Shown, system: str) -> Step:
    rate, (words, times) = shown("mass rate", system), _times(need)
    taken = factor(need.per_m2 / need.times, rate) if worked else figure(need.own["rate"], rate)
    return Step(
        f"{need.job.name}: product",
        f"area x rate{words}{' (1 kg = 1,000 g)' if system == 'metric' else ''}",
        f"{factor(need.treated_m2.sum(), shown('area', system))} x {taken}{times}",
        weighed(need.treated_m2.sum() * need.per_m2, weight),
        DEFINITION,
    )


def _cores(need: Need, system: str) -> list[Step]:
    job, (words, times) = need.job, _times(need)
    if not isinstance(job, HollowTine):
        return []
    share, net = need.own["share opened"].mean, need.net_m2.sum()
    hint = "1 m = 1,000 mm" if system == "metric" else "1 ft = 12 in, 1 yd3 = 27 ft3"
    return [
        Step(
            f"{job.name}: cores to cart away",
            f"net area x share opened x depth{words} ({hint})",
            f"{factor(net, shown('area', system))} x {factor(share, PERCENT)} x "
            f"{figure(job.depth, shown('small length', system))}{times}",
            weighed(net * share * job.depth.mean * need.times, shown("volume", system)),
            GEOMETRY,
        )
    ]


def _whole(material: Material, needs: list[Need], amount: Amount, weight: Shown) -> list[Step]:
    density = material.bulk_density.mean if isinstance(material, Sand) else 1.0
    parts = [need.total * density for need in needs]
    dry, steps = weighed(sum(parts), weight), []
    if len(needs) > 1:
        steps.append(Step("all jobs", "sum", " + ".join(weighed(part, weight) for part in parts), dry, DEFINITION))
    if isinstance(material, Sand):
        steps.append(
            Step(
                "sand as delivered",
                "dry sand x (1 + moisture) x (1 + storage loss)",
                f"{dry} x (1 + {figure(material.moisture, PERCENT)}) x (1 + {figure(material.storage_loss, PERCENT)})",
                weighed(amount.mean, weight),
                "definition: moisture is a share of the dry weight",
            )
        )
    return steps


def _nutrients(
    material: Material, needs: list[Need], nutrients: tuple[Nutrient, ...], amount: Amount, weight: Shown, system: str
) -> list[Step]:
    """What the label names, over the ground that is meant and over that which is covered."""
    if not isinstance(material, Fertiliser):
        return []
    net, treated = (float(np.max([getattr(need, name) for need in needs], axis=0).sum()) for name in AREAS)
    large, rate = shown("large area", system), shown("field rate", system)
    shares = {str(name): share for name, share in material.analysis.items()}
    steps = []
    for one in (one for one in nutrients if one.name in shares):
        product = f"{weighed(amount.mean, weight)} x {factor(shares[one.name], PERCENT)}"
        over = [("net", net, one.net_kg_ha), ("treated", treated, one.treated_kg_ha)]
        for words, area, kg_ha in over if treated > net else over[:1]:
            steps.append(
                Step(
                    f"{one.name} brought, over the {words} area",
                    f"product x share of {one.name} / {words} area",
                    f"{product} / {factor(area, large)}",
                    weighed(kg_ha / 1e4, rate),
                    DEFINITION,
                )
            )
    return steps


AREAS = ("net_m2", "treated_m2")


def _stock(material: Material, amount: Amount, weight: Shown) -> Step:
    needed = weighed(amount.mean, weight)
    # from the figure as it stands there: else the last digit of a small difference would not be that of the pencil
    left = float(needed.removesuffix(weight.label).replace(",", "")) / weight.per_si - material.stock
    return Step(
        "to be ordered",
        "what is needed - stock, or nothing where the stock is larger",
        f"{needed} - {factor(material.stock, weight)}",
        weighed(max(left, 0.0), weight),
        DEFINITION,
    )


def _packs(to_order: float, unit: float, units: int, weight: Shown) -> Step:
    return Step(
        "whole packs",
        "to be ordered / pack, rounded up",
        f"{weighed(to_order, weight)} / {factor(unit, weight)}",
        f"{units} pack{'' if units == 1 else 's'}",
        DEFINITION,
    )


def _spread(amount: Amount, weight: Shown) -> Step:
    alone = "; ".join(f"{driver.name} {digits(driver.sd_kg, weight, SPREAD_DIGITS)}" for driver in amount.drivers)
    root = digits(sqrt(sum(driver.sd_kg**2 for driver in amount.drivers)), weight, SPREAD_DIGITS)
    return Step(
        "standard deviation of what is needed",
        "root of the sum of the squares of what each figure alone moves it by (its standard deviation over its mean, "
        "times the weight it enters), and a little for the spread of their products",
        f"{alone}; root {root} {weight.label}" if alone else "no figure has a spread",
        f"{digits(amount.sd, weight, SPREAD_DIGITS)} {weight.label}",
        cite("gum-2008"),
    )


def _loads(material: Sand, amount: Amount, unit: float, units: int, risk: float, weight: Shown) -> Step:
    """The chance of running short, as a table of the normal distribution gives it, or as it was counted."""
    there = units * unit + material.stock
    chance = f"{amount.chance_above(np.array([there]))[0] * 100:.2f} %"
    had = f"{units} x {factor(unit, weight)} + stock {factor(material.stock, weight)} = {factor(there, weight)}"
    if len(amount.draws):
        found = f"more was needed in {int(np.sum(amount.draws > there)):,} of {len(amount.draws):,} draws, {chance}"
    elif amount.sd > 0:
        z = (there - amount.mean) / amount.sd
        lean = f" + {amount.skewness:.3f} / 6 x (z^2 - 1) x phi(z)" if amount.skewness > 5e-4 else ""
        found = f"z = ({factor(there, weight)} - mean) / standard deviation = {z:.3f}; chance Q(z){lean} = {chance}"
    else:
        found = "no figure has a spread: for certain"
    return Step(
        "whole loads",
        f"fewest loads whose chance of running short is at most {factor(risk, PERCENT)}",
        f"{had}; {found}",
        f"{units} load{'' if units == 1 else 's'}",
        amount.method,
    )
