"""One order a supplier: all that the year's budget buys there, with the days on which it is wanted."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from turfgis.errors import SettingsError
from turfgis.estimates.budget import Budget
from turfgis.estimates.ordering import Bought
from turfgis.estimates.programme import day_before
from turfgis.estimates.stock import NOISE, Stock
from turfgis.settings.messages import did_you_mean
from turfgis.settings.models import CourseSettings, Sand, Supplier, Turf


@dataclass(frozen=True)
class Drop:
    """
    What comes on one day.

    Attributes
    ----------
    wanted, order_by
        Latest day for the goods to be there, and for the order to be placed; None where the work has no date.
    work
        Day or month of the work, as ``2027-08-14`` or ``2027-08``; None at no particular time.
    amount, units
        In the base unit of the material, and as whole packs or loads where there are any.
    beyond_bay
        How much more than there is room for will lie there then.
    """

    wanted: date | None
    order_by: date | None
    work: str | None
    amount: float
    units: int | None
    beyond_bay: float = 0.0


@dataclass(frozen=True)
class GoodsLine:
    """
    One material for one group of jobs, as the budget buys it.

    Attributes
    ----------
    bought
        Amounts.
    jobs
        Names of the jobs that it is for.
    price
        Of one base unit; None where the settings give none.
    goods, delivery
        Money for what comes, rounding and minimum included, and for bringing it, before taxes.
    drops
        When it comes; together the whole amount.
    """

    bought: Bought
    jobs: tuple[str, ...]
    price: float | None
    goods: float
    delivery: float
    drops: tuple[Drop, ...]

    @property
    def cost(self) -> float:
        """Goods and delivery, before taxes."""
        return self.goods + self.delivery


@dataclass(frozen=True)
class SupplierOrder:
    """
    All that is ordered from one supplier in a year.

    Attributes
    ----------
    name
        As materials name it; "" for materials that name none.
    supplier
        What the settings say of it.
    lines
        What is ordered, in the order of the settings.
    from_stock
        Materials and groups for which the yard has enough.
    cost
        Of all lines, before taxes.
    budgeted
        The same with the contingency and the taxes of the budget.
    taxes
        Shares on materials, by name.
    """

    name: str
    supplier: Supplier
    lines: tuple[GoodsLine, ...]
    from_stock: tuple[Bought, ...]
    cost: float
    budgeted: float
    taxes: dict[str, float] = field(default_factory=dict)

    @property
    def order_by(self) -> date | None:
        """Latest day for the first of its goods to be ordered."""
        return min((drop.order_by for line in self.lines for drop in line.drops if drop.order_by), default=None)


def supplier_orders(budget: Budget, name: str | None = None, group: str | None = None) -> tuple[SupplierOrder, ...]:
    """
    The orders of a year, supplier by supplier.

    Parameters
    ----------
    budget
        What is bought, and at what price.
    name, group
        Only this supplier ("" for none named), only what this group of jobs takes; None for all.

    Returns
    -------
    One for each supplier that something is needed from, in the order of the settings; who is not named comes last.
    Their costs add up to what the budget has for materials.

    Raises
    ------
    SettingsError
        No material, or no job, has this supplier or group.
    """
    settings = budget.costs.settings
    bought = [one for one in budget.orders if group is None or one.group == group]
    if group is not None and not bought:
        groups = list(dict.fromkeys(one.group for one in budget.orders if one.group))
        raise SettingsError(f"no job of the group '{group}' takes a material{did_you_mean(group, groups)}")
    keys = sorted(settings.material, key=lambda key: settings.material[key].supplier == "")
    names = list(dict.fromkeys(settings.material[key].supplier for key in keys))
    if name is not None and name not in names:
        raise SettingsError(f"no material has the supplier '{name}'{did_you_mean(name, [one for one in names if one])}")
    drops = _drops(budget.costs.stock, settings, budget.orders)
    lines = {one: _line(one, settings, drops[at]) for at, one in enumerate(budget.orders)}
    made = []
    for wanted in names if name is None else [name]:
        own = [one for one in bought if settings.material[one.material].supplier == wanted]
        if own:
            made.append(_order(wanted, [lines[one] for one in own], budget))
    if not made and name is not None:
        raise SettingsError(f"no job{f' of the group {group!r}' if group else ''} takes anything that '{name}' brings")
    return tuple(made)


def _order(name: str, lines: list[GoodsLine], budget: Budget) -> SupplierOrder:
    settings = budget.costs.settings
    comes = [line for line in lines if line.bought.delivered > 0]
    cost = sum(line.cost for line in comes)
    return SupplierOrder(
        name=name,
        supplier=settings.supplier.get(name, Supplier()),
        lines=tuple(comes),
        from_stock=tuple(line.bought for line in lines if line.bought.delivered <= 0),
        cost=cost,
        budgeted=cost * float(budget.costs.gross[0]),
        taxes={name: one.share for name, one in settings.budget.taxes.items() if "material" in one.on},
    )


def _line(bought: Bought, settings: CourseSettings, drops: tuple[Drop, ...]) -> GoodsLine:
    material = settings.material[bought.material]
    using = (job for job in settings.job if job.group == bought.group and bought.material in job.uses.values())
    rounding, minimum, delivery = bought.charges(settings)
    price = material.unit_price
    goods = 0.0 if price is None else bought.to_order * price + rounding + minimum
    return GoodsLine(bought, tuple(job.name for job in using), price, goods, delivery, drops)


def _drops(stock: Stock, settings: CourseSettings, orders: tuple[Bought, ...]) -> dict[int, tuple[Drop, ...]]:
    """When each order comes, by its place."""
    made: dict[int, tuple[Drop, ...]] = {}
    for key in dict.fromkeys(one.material for one in orders):
        of_key = {at: one for at, one in enumerate(orders) if one.material == key}
        made |= _drops_of(stock, settings, key, of_key)
    return made


def _drops_of(
    stock: Stock, settings: CourseSettings, key: str, orders: dict[int, Bought]
) -> dict[int, tuple[Drop, ...]]:
    """
    One material, work by work: it comes at once, or, where room is short, each time that it runs out.

    Turf does not keep, so that each piece of work has its own.
    """
    material = settings.material[key]
    room = 0.0 if isinstance(material, Turf) else material.bay if isinstance(material, Sand) else None
    left = {at: one.units if one.units is not None else one.delivered for at, one in orders.items()}
    size = {at: 1.0 if one.units is None else float(one.unit or 1.0) for at, one in orders.items()}
    lies = dict.fromkeys(orders, 0.0)  # bought for each order and not used yet
    held = max(material.stock - sum(one.from_stock for one in orders.values()), 0.0)
    found: dict[int, list[list]] = {at: [] for at in orders}
    for work, at, need in _uses(stock, key, orders):
        short = max(need - lies[at], 0.0)
        if short > NOISE * need and left[at]:
            wanted = short / size[at] * (1 - NOISE)
            there = held + sum(lies.values())
            fits = math.inf if room is None else max(room - there, 0.0) / size[at] + NOISE
            if orders[at].units is not None:
                wanted, fits = math.ceil(wanted), fits if fits == math.inf else math.floor(fits)
            comes = min(max(wanted, fits), left[at])
            over = 0.0 if room is None else max(there + comes * size[at] - room, 0.0)
            found[at].append([work, comes, over if isinstance(material, Sand) else 0.0])
            left[at] -= comes
            lies[at] += comes * size[at]
        lies[at] = max(lies[at] - need, 0.0)
    for at, rest in left.items():
        if rest and found[at]:
            found[at][-1][1] += rest  # what is ordered in reserve comes with the last
    return {at: tuple(_drop(settings, key, orders[at], size[at], *one) for one in found[at] if one[1]) for at in orders}


def _drop(
    settings: CourseSettings, key: str, order: Bought, size: float, work: str | None, comes: float, over: float
) -> Drop:
    material = settings.material[key]
    supplier = settings.supplier.get(material.supplier, Supplier())
    units = None if order.units is None else int(comes)
    if work is None:
        return Drop(None, None, None, comes * size, units, over)
    first = date.fromisoformat(work if len(work) > 7 else f"{work}-01")
    wanted = day_before(first, material.deliver_before or supplier.deliver_before)
    lead = material.lead or supplier.lead
    return Drop(wanted, day_before(wanted, lead) if lead else None, work, comes * size, units, over)


def _uses(stock: Stock, key: str, orders: dict[int, Bought]) -> list[tuple[str | None, int, float]]:
    """
    Time of each use of a material, the order it is for, and how much of it has to be bought.

    A month without days counts from its first day.
    """
    takeoff = stock.takeoff
    covered = stock.covered[stock.materials.index(key)]
    place = {month: at for at, month in enumerate(takeoff.months)}
    order_of = {one.group: at for at, one in orders.items() if one.delivered > 0}
    sums: dict[tuple[str | None, int], float] = defaultdict(float)
    for need, times, quantity in zip(takeoff.needs, takeoff.times, np.sum(takeoff.quantity, axis=1), strict=True):
        if need.resource != "material" or need.key != key or need.job.group not in order_of:
            continue
        for one in times:
            work = one.day.isoformat() if one.day else one.month
            bought = float(quantity) * one.times * (1 - float(covered[place[one.month]]))
            sums[work, order_of[need.job.group]] += bought
    rows = [(work, at, need) for (work, at), need in sums.items() if need > 0]
    return sorted(rows, key=lambda row: ("9999" if row[0] is None else row[0].ljust(10, "-"), row[1]))
