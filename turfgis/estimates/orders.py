"""From jobs to orders: what one material comes to, in whole loads or packs."""

from __future__ import annotations

import numpy as np

from turfgis.errors import SettingsError
from turfgis.estimates.course import Course
from turfgis.estimates.loads import load_choices
from turfgis.estimates.needs import Need, cores_volume, estimate_need, material_factors
from turfgis.estimates.order import Nutrient, Order, OrderLine
from turfgis.estimates.place_work import planned_settings
from turfgis.estimates.remarks import order_remarks
from turfgis.estimates.risk import estimate_amount
from turfgis.estimates.steps import shown_amount
from turfgis.estimates.stock import stock_of
from turfgis.estimates.takeoff import Takeoff, estimate_materials
from turfgis.estimates.working import work_out
from turfgis.formulas.chance import Figure, product_moments
from turfgis.formulas.fertiliser import element_from_oxide
from turfgis.formulas.packs import whole_packs
from turfgis.measure.accuracy import area_covariance
from turfgis.settings import CourseSettings
from turfgis.settings.models import Fertiliser, HollowTine, Liquid, Material, Sand
from turfgis.settings.values import OXIDES


def orders_for(
    course: Course,
    group: str | None = None,
    material: str | None = None,
    units: str | None = None,
    takeoff: Takeoff | None = None,
) -> list[Order]:
    """
    Orders of a group of jobs.

    Parameters
    ----------
    course
        A course with settings.
    group, material
        Only this group ("" for jobs that are in none), only this material; None for all.
    units
        ``metric`` or ``us`` for the working; None as in the settings.
    takeoff
        The year of the course, where it has been estimated already.

    Returns
    -------
    One order for each material, in the order of the settings file.

    Raises
    ------
    SettingsError
        The group or the material is not in the settings, or no job uses it.
    """
    course.needs_settings("an order needs materials and jobs")
    settings = planned_settings(course)
    groups = list(dict.fromkeys(job.group for job in settings.job if job.group))
    if group and group not in groups:
        raise SettingsError(
            f"{course.path.name}: no job has the group '{group}'; groups: {', '.join(groups) or 'none'}"
        )
    if material is not None and material not in settings.material:
        known = ", ".join(settings.material) or "none"
        raise SettingsError(f"{course.path.name}: no material '{material}'; materials: {known}")
    wanted = [material] if material is not None else list(settings.material)
    stocks = _stocks(course, settings, group, takeoff)
    orders = [_order(course, settings, group, key, stocks.get(key), units or course.units) for key in wanted]
    made = [order for order in orders if order is not None]
    if not made:
        inside = f" of the group '{group}'" if group else ""
        named = f" the material '{material}'" if material else " a material"
        raise SettingsError(f"{course.path.name}: no job{inside} uses{named}")
    return made


def _stocks(course: Course, settings: CourseSettings, group: str | None, takeoff: Takeoff | None) -> dict[str, float]:
    """What an order of one group may count on, of each material that other groups use as well."""
    if group is None:
        return {}
    used: dict[str, set[str]] = {}
    for job in settings.job:
        for key in job.uses.values():
            used.setdefault(key, set()).add(job.group)
    shared = [key for key, by in used.items() if group in by and len(by) > 1 and settings.material[key].stock]
    if not shared:
        return {}
    stock = stock_of(takeoff or estimate_materials(course))
    place = stock.groups.index(group)
    return {key: stock.for_group(stock.materials.index(key), place) for key in shared}


def _order(
    course: Course, settings: CourseSettings, group: str | None, key: str, stock: float | None, system: str
) -> Order | None:
    material = settings.material[key]
    if stock is not None:
        material = material.model_copy(update={"stock": stock})
    jobs = [job for job in settings.job if key in job.uses.values() and (group is None or job.group == group)]
    if not jobs:
        return None
    needs = [estimate_need(course, job, key) for job in jobs]
    dry_factors, delivered_factors = material_factors(material)
    shared = {**dry_factors, **delivered_factors}
    patches = course.measured.patches
    covariance = area_covariance(patches, np.array([need.slope for need in needs]))
    amount = estimate_amount(needs, shared, covariance)
    to_order = max(amount.mean - material.stock, 0.0)
    unit = material.unit_size
    loads, units = (), int(whole_packs(to_order, unit)) if unit else None
    if isinstance(material, Sand) and unit:
        loads, units = load_choices(amount, material.stock, unit, settings.risk)
    lines = _lines(course, needs, dry_factors, delivered_factors, bulk=isinstance(material, Sand))
    nutrients = _nutrients(needs, material, amount.mean) if isinstance(material, Fertiliser | Liquid) else ()
    working = work_out(system, material, needs, amount, to_order, unit, units, settings.risk, nutrients)
    return Order(
        group=group or "",
        material=key,
        kind=material.kind,
        jobs=tuple(job.name for job in jobs),
        lines=lines,
        dry_kg=sum(line.dry_kg for line in lines),
        delivered_kg=amount.mean,
        u_kg=amount.sd,
        stock_kg=material.stock,
        to_order_kg=to_order,
        unit_kg=unit,
        units=units,
        loads=loads,
        risk=settings.risk,
        drivers=amount.drivers,
        method=amount.method,
        nutrients=nutrients,
        cores_m3=cores_volume(course, [job for job in jobs if isinstance(job, HollowTine)]),
        cost=_cost(material, to_order, unit, units),
        currency=settings.currency,
        moisture=moisture_words(material.moisture) if isinstance(material, Sand) else "",
        surveyed=course.surveyed(),
        remarks=(*order_remarks(course, material, needs), *_below_minimum(material, to_order, unit, units, system)),
        working=working,
    )


def _lines(course: Course, needs: list[Need], dry: dict, delivered: dict, bulk: bool) -> tuple[OrderLine, ...]:
    """One line a patch, all jobs together; its treated area is that of the job that reaches furthest."""
    on = np.any([need.on for need in needs], axis=0)
    placed = np.sum([need.amount for need in needs], axis=0)[on]
    treated = np.max([need.treated_m2 for need in needs], axis=0)[on]
    to_dry, to_delivered = (product_moments(factors.values())[0] for factors in (dry, delivered))
    chosen = course.measured.patches.loc[on]
    return tuple(
        OrderLine(
            patch=patch,
            surface=surface,
            hole=hole,
            net_m2=float(net),
            treated_m2=float(ground),
            dry_kg=float(amount * to_dry),
            delivered_kg=float(amount * to_dry * to_delivered),
            volume_m3=float(amount) if bulk else 0.0,
        )
        for patch, surface, hole, net, ground, amount in zip(
            *(chosen[name] for name in ("patch", "surface", "hole", "net_m2")), treated, placed, strict=True
        )
    )


def _cost(material: Material, to_order: float, unit: float | None, units: int | None) -> float | None:
    """Of whole loads or packs where there are any, else of the weight."""
    price = material.unit_price
    return None if price is None else price * (to_order if unit is None or units is None else units * unit)


def _below_minimum(
    material: Material, to_order: float, unit: float | None, units: int | None, system: str
) -> tuple[str, ...]:
    ordered = to_order if unit is None or units is None else units * unit
    if not material.minimum or not 0 < ordered < material.minimum:
        return ()
    show = shown_amount(material, system)
    return (
        f"The supplier brings at least {show.text(material.minimum)} in one order, and this is {show.text(ordered)}; "
        "the budget counts on the larger amount.",
    )


def moisture_words(moisture: Figure) -> str:
    """
    Moisture with its spread, as an order says it.

    Examples
    --------
    >>> moisture_words(Figure(0.06, 0.02))
    '6 % ± 2.0 % of the dry weight'
    """
    if moisture.low is not None and moisture.high is not None:
        spread = f"{moisture.low:.0%} to {moisture.high:.0%}, most likely {moisture.likely:.0%}"
    else:
        spread = f"{moisture.likely:.1%}".replace(".0%", "%") + (f" ± {moisture.sd:.1%}" if moisture.sd else "")
    return spread.replace("%", " %") + " of the dry weight"


def _nutrients(needs: list[Need], material: Fertiliser | Liquid, product: float) -> tuple[Nutrient, ...]:
    net_ha = float(np.max([need.net_m2 for need in needs], axis=0).sum()) / 1e4
    treated_ha = float(np.max([need.treated_m2 for need in needs], axis=0).sum()) / 1e4
    product_kg = product * (material.density or 0.0) if isinstance(material, Liquid) else product
    amounts = {str(name): share * product_kg for name, share in (material.analysis or {}).items()}
    for oxide, element in OXIDES.items():
        if oxide in amounts:
            amounts[element] = float(element_from_oxide(oxide, amounts[oxide]))
    return tuple(
        Nutrient(name, kg, kg / net_ha if net_ha else 0.0, kg / treated_ha if treated_ha else 0.0)
        for name, kg in amounts.items()
        if kg > 0
    )
