"""What a year costs: by month, surface, cost code, material, group and job, with the spread of every sum."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from turfgis.estimates.ordering import Bought, estimate_bought
from turfgis.estimates.programme import programme_remarks
from turfgis.estimates.rows import cost_code
from turfgis.estimates.stock import Stock, stock_of
from turfgis.estimates.takeoff import RESOURCES, Takeoff
from turfgis.formulas.growth import grown_price
from turfgis.settings.models import CourseSettings

VIEWS = ("month", "surface", "material", "cost-code", "group", "job", "resource")
YEARS = 3


@dataclass(frozen=True)
class BudgetRow:
    """
    One row of a view. Money in the currency of the course.

    Attributes
    ----------
    name
        Month, surface, material ...; None for what has none, such as orders, which belong to no surface.
    resources
        Net cost by resource, after stock: ``material``, ``machine``, ``labour``, ``purchase``, ``contractor``.
    ordering
        Rounding up to whole packs and loads, minimum orders, delivery.
    contingency, taxes
        Sums of the chosen lines.
    cost
        All of it.
    u
        Standard uncertainty of the cost: of areas and figures, not of prices.
    """

    name: str | None
    resources: dict[str, float]
    ordering: float
    contingency: float
    taxes: float
    cost: float
    u: float


@dataclass(frozen=True)
class MaterialRow:
    """
    One material, or purchase, of the year. Amounts in ``unit``: kg, m3, m2 or count.

    Attributes
    ----------
    material, kind, unit, supplier, cost_code
        As in the settings; the kind of a purchase is ``purchase``.
    needed, u_needed, from_stock, to_order, delivered
        Amounts; the mean need, its standard uncertainty, what stock covers, the rest, and what comes in whole ones.
    packs
        Whole packs or loads; None where the settings give no size.
    cost, u
        As in :class:`BudgetRow`.
    """

    material: str
    kind: str
    unit: str
    supplier: str
    cost_code: str
    needed: float
    u_needed: float
    from_stock: float
    to_order: float
    delivered: float
    packs: int | None
    cost: float
    u: float


@dataclass(frozen=True)
class Budget:
    """
    The budget of a year.

    Attributes
    ----------
    year, currency
        As in the settings.
    total, u
        Cost of the year with all lines, and its standard uncertainty.
    net
        Net cost of all needs, after stock; ``rounding``, ``minimum``, ``delivery`` of all orders.
    contingency, taxes
        Name -> sum, in the order of the settings.
    stock_value
        What the stock used would have cost.
    materials, orders
        Rows by material and purchase; what is bought for each group.
    years
        This year and two more of the same programme: year, cost, u. Later ones have no stock and grown prices.
    unpriced
        What has no price and is left out of all sums, in words.
    remarks
        Plain sentences.
    """

    year: int | None
    currency: str
    total: float
    u: float
    net: float
    rounding: float
    minimum: float
    delivery: float
    contingency: dict[str, float]
    taxes: dict[str, float]
    stock_value: float
    materials: tuple[MaterialRow, ...]
    orders: tuple[Bought, ...]
    years: tuple[tuple[int, float, float], ...]
    unpriced: tuple[str, ...]
    remarks: tuple[str, ...]
    views: dict[str, tuple[BudgetRow, ...]]

    def by(self, view: str) -> tuple[BudgetRow, ...]:
        """Rows of one of :data:`VIEWS`; every view adds up to the total."""
        return self.views[view]


def estimate_budget(takeoff: Takeoff, settings: CourseSettings | None = None) -> Budget:
    """
    Put prices to a take-off.

    Parameters
    ----------
    takeoff
        All needs of the year.
    settings
        Prices, wages, charges and cost codes; None for those of the take-off. Amounts are not looked at.

    Returns
    -------
    The budget.
    """
    chosen = settings or takeoff.settings
    money = _Money(takeoff, chosen, stock_of(takeoff))
    views = {view: money.rows(view) for view in VIEWS}
    total = money.total()
    return Budget(
        year=chosen.year,
        currency=chosen.currency,
        total=total[0],
        u=total[1],
        net=float(money.net.sum()),
        rounding=float(money.charges[:, 0].sum()),
        minimum=float(money.charges[:, 1].sum()),
        delivery=float(money.charges[:, 2].sum()),
        contingency=money.lines(chosen.budget.contingency, np.ones(len(RESOURCES))),
        taxes=money.lines(chosen.budget.taxes, 1 + _rates(chosen.budget.contingency)),
        stock_value=money.stock_value(),
        materials=tuple(money.material_rows()),
        orders=money.orders,
        years=tuple(_years(takeoff, chosen, total)),
        unpriced=tuple(money.unpriced()),
        remarks=tuple(programme_remarks(chosen)),
        views=views,
    )


def _rates(charges: dict) -> np.ndarray:
    """Sum of the charges on each resource. [-] Shape (resources,)."""
    return np.array([sum(one.share for one in charges.values() if name in one.on) for name in RESOURCES])


def _years(takeoff: Takeoff, settings: CourseSettings, first: tuple[float, float]):
    """The same programme in later years: nothing left in the yard, and prices that grow."""
    start, growth = settings.year or 0, settings.budget.growth
    yield start, *first
    later = _Money(takeoff, settings, stock_of(takeoff, empty=True)).total()
    for ahead in range(1, YEARS):
        cost, u = (float(grown_price(one, growth, ahead)) for one in later)
        yield start + ahead, cost, u


class _Money:
    """Money of all cells and orders. C cells, M months, O orders, R resources."""

    def __init__(self, takeoff: Takeoff, settings: CourseSettings, stock: Stock):
        self.takeoff, self.settings, self.stock = takeoff, settings, stock
        self.cells, self.orders = takeoff.cells, estimate_bought(stock)
        self.price = takeoff.unit_price(settings)[self.cells.need]  # (C,)
        self.paid = np.nan_to_num(self.price)
        self.net = self.paid[:, None] * stock.bought  # (C, M)
        self.charges = np.nan_to_num([one.charges(settings) for one in self.orders]).reshape(-1, 3)  # (O, 3)
        place = {name: at for at, name in enumerate(RESOURCES)}
        self.resource = np.array([place[one.resource] for one in takeoff.needs], dtype=int)[self.cells.need]
        self.contingency, self.taxes = _rates(settings.budget.contingency), _rates(settings.budget.taxes)
        self.gross = (1 + self.contingency) * (1 + self.taxes)  # (R,)

    def total(self) -> tuple[float, float]:
        """Cost of everything, and its standard uncertainty."""
        net = np.bincount(self.resource, self.net.sum(axis=1), minlength=len(RESOURCES))
        net[0] += self.charges.sum()
        weights = self.paid * self.gross[self.resource] * self._counted().sum(axis=1)
        return float(net @ self.gross), float(self.cells.deviations(weights[None, :])[0])

    def rows(self, view: str) -> tuple[BudgetRow, ...]:
        """One view; what nothing is spent on is left out."""
        names, cells, orders = self._codes(view)
        size = len(names)
        if view == "month":
            sums = np.zeros((len(RESOURCES), size))
            np.add.at(sums, self.resource, self.net)
            resources = sums.T
        else:
            code = cells * len(RESOURCES) + self.resource
            sums = np.bincount(code, self.net.sum(axis=1), minlength=size * len(RESOURCES))
            resources = sums.reshape(size, len(RESOURCES))
        ordering = np.bincount(orders, self.charges.sum(axis=1), minlength=size)
        base = resources.copy()
        base[:, 0] += ordering
        spreads = self.cells.deviations(self._weights(view, cells, size))
        contingency, cost = base * self.contingency, base @ self.gross
        taxes = (base + contingency) @ self.taxes
        rows = (
            BudgetRow(
                names[at],
                dict(zip(RESOURCES, resources[at].tolist(), strict=True)),
                float(ordering[at]),
                float(contingency[at].sum()),
                float(taxes[at]),
                float(cost[at]),
                float(spreads[at]),
            )
            for at in range(size)
        )
        return tuple(row for row in rows if row.cost or row.u)

    def _counted(self) -> np.ndarray:
        """How often each cell is paid for in each month: what stock covers weighs where the stock runs out. (C, M)."""
        stock = self.stock
        covered = stock.covered[stock.material_of]
        counted = stock.counts * (1 - covered)
        out = stock.runs_out[stock.material_of]
        here = np.flatnonzero((out >= 0) & (covered.any(axis=1)))
        counted[here, out[here]] += (stock.counts[here] * covered[here]).sum(axis=1)
        return counted

    def _weights(self, view: str, cells: np.ndarray, size: int) -> np.ndarray:
        """How much each sum grows with the quantity of each cell. Shape (sums, C)."""
        money = self.paid * self.gross[self.resource]
        if view == "month":
            return self._counted().T * money
        stock = self.stock
        covered = stock.covered[stock.material_of]
        weights = np.zeros((size, len(money)))
        weights[cells, np.arange(len(money))] = money * (stock.counts * (1 - covered)).sum(axis=1)
        out = stock.runs_out
        for material in np.flatnonzero((stock.covered.any(axis=1)) & (out >= 0)):
            here = np.flatnonzero(stock.material_of == material)
            needed = stock.wanted[here, out[material]]
            part = np.bincount(cells[here], needed / needed.sum(), minlength=size)
            weights[:, here] += np.outer(part, money[here] * (stock.counts[here] * covered[here]).sum(axis=1))
        return weights

    def _codes(self, view: str) -> tuple[list[str | None], np.ndarray, np.ndarray]:
        """Names of a view, and which of them each cell and each order has."""
        settings, needs = self.settings, self.takeoff.needs
        if view == "month":
            months = list(self.takeoff.months)
            return months, np.empty(0, int), np.array([months.index(one.month) for one in self.orders], dtype=int)
        if view == "surface":
            surfaces = list(self.cells.surfaces)
            return surfaces, self.cells.surface, np.full(len(self.orders), len(surfaces) - 1)
        named = {
            "material": (lambda need: need.key or need.resource, lambda one: one.material),
            "cost-code": (
                lambda need: cost_code(need, settings),
                lambda one: settings.material[one.material].cost_code,
            ),
            "group": (lambda need: need.job.group, lambda one: one.group),
            "job": (lambda need: need.job.name, lambda one: None),
            "resource": (lambda need: need.resource, lambda one: "material"),
        }
        of_need, of_order = named[view]
        place: dict[str | None, int] = {}
        needed = [place.setdefault(of_need(need) or None, len(place)) for need in needs]
        ordered = [place.setdefault(of_order(one) or None, len(place)) for one in self.orders]
        return list(place), np.array(needed, dtype=int)[self.cells.need], np.array(ordered, dtype=int)

    def lines(self, charges: dict, on: np.ndarray) -> dict[str, float]:
        """Each chosen line by itself; ``on`` is what is charged for one unit of net cost of each resource."""
        net = np.bincount(self.resource, self.net.sum(axis=1), minlength=len(RESOURCES))
        net[0] += self.charges.sum()
        base = dict(zip(RESOURCES, net * on, strict=True))
        return {name: float(sum(base[one] for one in charge.on) * charge.share) for name, charge in charges.items()}

    def stock_value(self) -> float:
        """What the stock used would have cost."""
        return float((self.paid[:, None] * (self.stock.wanted - self.stock.bought)).sum())

    def unpriced(self) -> list[str]:
        """What has no price."""
        used = (self.stock.counts.sum(axis=1) * self.cells.quantity > 0) & np.isnan(self.price)
        needs = [self.takeoff.needs[at] for at in self.cells.need[used]]
        return list(dict.fromkeys(f"{one.resource} {one.key}".strip() for one in needs))

    def material_rows(self):
        """One row for each material that is needed, then one for each purchase."""
        stock, cells = self.stock, self.cells
        spend = {row.name: row for row in self.rows("material")}
        year = stock.counts.sum(axis=1)
        for at, key in enumerate(stock.materials):
            here, orders = stock.material_of == at, [one for one in self.orders if one.material == key]
            if not orders:
                continue
            material, row = self.settings.material[key], spend.get(key)
            packs = [one.units for one in orders if one.units is not None]
            yield MaterialRow(
                key,
                material.kind,
                material.base,
                material.supplier,
                material.cost_code,
                sum(one.needed for one in orders),
                float(cells.deviations((year * here)[None, :])[0]),
                sum(one.from_stock for one in orders),
                sum(one.to_order for one in orders),
                sum(one.delivered for one in orders),
                sum(packs) if packs else None,
                row.cost if row else 0.0,
                row.u if row else 0.0,
            )
        bought = {need.key: need for need in self.takeoff.needs if need.resource == "purchase"}
        for key, need in bought.items():
            count, row = need.times * getattr(need.job, "count", 1), spend.get(key)
            yield MaterialRow(
                *(key, "purchase", "count", "", need.job.cost_code, count, 0.0, 0.0, count, count, None),
                row.cost if row else 0.0,
                0.0,
            )
