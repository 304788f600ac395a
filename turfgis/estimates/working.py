"""The whole calculation of an order, step by step with units, so that a reader with a pencil can repeat it."""

from __future__ import annotations

import numpy as np

from turfgis.estimates.needs import Need
from turfgis.estimates.order import Step
from turfgis.estimates.risk import Amount
from turfgis.formulas.chance import Figure
from turfgis.settings.models import (
    Fertilise,
    Fertiliser,
    HollowTine,
    Material,
    Overseed,
    Sand,
    Seed,
    SolidTine,
    Topdress,
)
from turfgis.units import Shown, shown

GEOMETRY = "plain geometry"
DEFINITION = "definition"


def work_out(
    system: str,
    material: Material,
    needs: list[Need],
    amount: Amount,
    to_order: float,
    unit: float | None,
    units: int | None,
    risk: float,
) -> tuple[Step, ...]:
    """
    The steps from areas to whole loads or packs.

    Parameters
    ----------
    system
        ``metric`` or ``us``.
    material, needs
        What the order is made from.
    amount, to_order, unit, units, risk
        What it came to.

    Returns
    -------
    The steps, in that order.
    """
    weight = shown("heavy" if isinstance(material, Sand) else "mass", system)
    steps: list[Step] = []
    for need in needs:
        steps += _ground(need, system)
        steps += _rate(need, material, system)
        steps += _job_total(need, material, weight, system)
    steps += _whole(material, needs, amount, weight)
    steps.append(_stock(material, amount, to_order, weight))
    if unit and units is not None:
        steps.append(_units(material, amount, to_order, unit, units, risk, weight))
    return tuple(steps)


def _figure(figure: Figure, show: Shown) -> str:
    """A mean as it enters the sum, and the three values it is the mean of."""
    if figure.low is None or figure.high is None:
        return show.text(figure.mean)
    ends = f"{show.number(figure.low)}, {show.number(figure.likely)} and {show.number(figure.high)}"
    return f"{show.text(figure.mean)} (mean of {ends})"


_PERCENT = Shown("%", 100, 1)


def _ground(need: Need, system: str) -> list[Step]:
    area, job = shown("area", system), need.job
    where = " and ".join(job.on)
    steps = [
        Step(
            f"{job.name}: net area",
            "sum of the net areas of its patches",
            f"{int(need.on.sum())} patches of {where}",
            area.text(need.net_m2.sum()),
            "measured in a local equal-area frame",
        )
    ]
    overthrow = getattr(job, "overthrow", None)
    if overthrow is not None and need.beyond_m2.sum() > 0:
        if overthrow.reach is not None:
            how = f"net area + {_figure(overthrow.reach, shown('width', system))} past each edge"
        else:
            how = f"net area x (1 + {_figure(overthrow.share, _PERCENT)})"
        steps.append(
            Step(
                f"{job.name}: treated area",
                how,
                f"{area.text(need.net_m2.sum())} + {area.text(need.beyond_m2.sum())}",
                area.text(need.treated_m2.sum()),
                GEOMETRY,
            )
        )
    return steps


def _rate(need: Need, material: Material, system: str) -> list[Step]:
    """What a square metre takes."""
    job, thin, rate = need.job, shown("small length", system), shown("mass rate", system)
    if isinstance(job, HollowTine | SolidTine):
        share = need.own["share opened"]
        along, across = job.spacing
        return [
            Step(
                f"{job.name}: share of the surface opened",
                "pi x diameter^2 / 4 / (spacing along x spacing across)",
                f"3.1416 x ({thin.text(job.tine)})^2 / 4 / ({thin.text(along)} x {thin.text(across)})",
                f"{share.mean:.2%}".replace("%", " %"),
                GEOMETRY,
            ),
            Step(
                f"{job.name}: sand in the holes, as an even layer",
                "share opened x depth x fill",
                f"{share.mean:.2%} x ".replace("%", " %")
                + f"{_figure(job.depth, thin)} x {_figure(job.fill, _PERCENT)}",
                Shown(thin.label, thin.per_si, 3).text(need.per_m2 / need.times),
                GEOMETRY,
            ),
        ]
    if isinstance(job, Topdress):
        return []
    if isinstance(job, Overseed) and isinstance(material, Seed):
        if job.rate_of != "live seed":
            return [
                Step(f"{job.name}: seed as sold", "rate", _figure(job.rate, rate), rate.text(need.per_m2), DEFINITION)
            ]
        return [
            Step(
                f"{job.name}: seed to sow",
                "rate of live seed / (purity x germination)",
                f"{_figure(job.rate, rate)} / ({material.purity:.1%} x {material.germination:.1%})".replace("%", " %"),
                rate.text(need.per_m2 / need.times),
                "pure live seed: Penn State Center for Turfgrass Science",
            )
        ]
    if isinstance(job, Fertilise) and isinstance(material, Fertiliser):
        if not job.nutrient:
            return []
        content = 1 / need.own["product for each of nutrient"].mean
        return [
            Step(
                f"{job.name}: product for its {job.nutrient}",
                f"rate of {job.nutrient} / share of {job.nutrient} in the product",
                f"{_figure(job.rate, rate)} / {content:.1%}".replace("%", " %"),
                rate.text(need.per_m2 / need.times),
                "University of Nebraska-Lincoln Extension, Lawn Fertilizer Calculations",
            )
        ]
    return []


def _job_total(need: Need, material: Material, weight: Shown, system: str) -> list[Step]:
    job, area = need.job, shown("area", system)
    treated = need.treated_m2.sum()
    rounds = f" x {need.times} times" if need.times > 1 else ""
    if isinstance(material, Sand):
        thin = shown("small length", system)
        layer = (
            _figure(job.depth, thin)
            if isinstance(job, Topdress)
            else Shown(thin.label, thin.per_si, 3).text(need.per_m2 / need.times)
        )
        density = material.bulk_density
        return [
            Step(
                f"{job.name}: dry sand",
                "area x layer x bulk density" + (" x times" if rounds else ""),
                f"{area.text(treated)} x {layer} x {_figure(density, shown('density', system))}{rounds}",
                weight.text(treated * need.per_m2 * density.mean),
                DEFINITION,
            )
        ]
    return [
        Step(
            f"{job.name}: product",
            "area x rate" + (" x times" if rounds else ""),
            f"{area.text(treated)} x {shown('mass rate', system).text(need.per_m2 / need.times)}{rounds}",
            weight.text(treated * need.per_m2),
            DEFINITION,
        )
    ]


def _whole(material: Material, needs: list[Need], amount: Amount, weight: Shown) -> list[Step]:
    sums = [float(need.treated_m2.sum() * need.per_m2) for need in needs]
    dry_of = material.bulk_density.mean if isinstance(material, Sand) else 1.0
    parts = " + ".join(weight.text(one * dry_of) for one in sums)
    dry = sum(sums) * dry_of
    steps = []
    if len(needs) > 1:
        steps.append(Step("all jobs", "sum", parts, weight.text(dry), DEFINITION))
    if isinstance(material, Sand):
        steps.append(
            Step(
                "sand as delivered",
                "dry sand x (1 + moisture) x (1 + storage loss)",
                f"{weight.text(dry)} x (1 + {_figure(material.moisture, _PERCENT)}) x "
                f"(1 + {_figure(material.storage_loss, _PERCENT)})",
                f"{weight.text(amount.mean)} ± {weight.text(1.96 * amount.sd)} (95 %)",
                "moisture is a share of the dry weight; spread by the GUM, JCGM 100:2008",
            )
        )
    return steps


def _stock(material: Material, amount: Amount, to_order: float, weight: Shown) -> Step:
    return Step(
        "to be ordered",
        "what is needed - stock",
        f"{weight.text(amount.mean)} - {weight.text(material.stock)}",
        weight.text(to_order),
        DEFINITION,
    )


def _units(
    material: Material, amount: Amount, to_order: float, unit: float, units: int, risk: float, weight: Shown
) -> Step:
    if not isinstance(material, Sand):
        return Step(
            "whole packs",
            "to be ordered / pack, rounded up",
            f"{weight.text(to_order)} / {weight.text(unit)}",
            f"{units} packs",
            DEFINITION,
        )
    chance = float(amount.chance_above(np.array([units * unit + material.stock]))[0])
    return Step(
        "whole loads",
        f"fewest loads whose chance of running short is at most {risk:.0%}".replace("%", " %"),
        f"{units} x {weight.text(unit)} + stock: short in {chance:.1%} of cases".replace("%", " %"),
        f"{units} loads",
        amount.method,
    )
