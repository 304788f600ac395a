"""Money of every need and order of a year, and its sums with their spread."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from turfgis.estimates.ordering import estimate_bought
from turfgis.estimates.rows import cost_code
from turfgis.estimates.stock import Stock
from turfgis.estimates.takeoff import RESOURCES, Takeoff
from turfgis.settings.models import CourseSettings

VIEWS = ("month", "surface", "material", "cost-code", "group", "job", "resource")


@dataclass(frozen=True)
class BudgetRow:
    """
    One row of a view. Money in the currency of the course.

    Attributes
    ----------
    name
        Month, surface, material ...; None for what has none, such as orders, which belong to no surface.
    resources
        Net cost by resource, after stock: ``material``, ``machine``, ``labour``, ``fuel``, ``purchase``,
        ``contractor``.
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


def charge_rates(charges: dict) -> np.ndarray:
    """Sum of the charges on each resource. [-] Shape (resources,)."""
    return np.array([sum(one.share for one in charges.values() if name in one.on) for name in RESOURCES])


class Costs:
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
        self.contingency, self.taxes = charge_rates(settings.budget.contingency), charge_rates(settings.budget.taxes)
        self.gross = (1 + self.contingency) * (1 + self.taxes)  # (R,)

    def total(self) -> tuple[float, float]:
        """Cost of everything, and its standard uncertainty."""
        net = np.bincount(self.resource, self.net.sum(axis=1), minlength=len(RESOURCES))
        net[0] += self.charges.sum()
        return float(net @ self.gross), float(self.cells.deviations(self.weights[None, :])[0])

    @property
    def weights(self) -> np.ndarray:
        """How much the total grows with the quantity of each cell. Shape (C,)."""
        return self.paid * self.gross[self.resource] * self._counted().sum(axis=1)

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

    def table(self) -> pd.DataFrame:
        """
        Every cost of the year.

        Returns
        -------
        Columns ``month``, ``job``, ``group``, ``work``, ``resource``, ``material``, ``cost_code``, ``surface``,
        ``what`` (``need``, ``rounding``, ``minimum`` or ``delivery``), ``net`` (after stock), ``contingency``,
        ``taxes`` and ``cost``, the sum of the three.
        """
        cell, month = np.nonzero(self.net)
        needs = [self.takeoff.needs[at] for at in self.cells.need[cell]]
        rows = pd.DataFrame(
            {
                "month": [self.takeoff.months[at] for at in month],
                "job": [one.job.name for one in needs],
                "group": [one.job.group for one in needs],
                "work": [one.job.work for one in needs],
                "resource": [one.resource for one in needs],
                "material": [one.key or None for one in needs],
                "cost_code": [cost_code(one, self.settings) or None for one in needs],
                "surface": [self.cells.surfaces[at] for at in self.cells.surface[cell]],
                "what": "need",
                "net": self.net[cell, month],
            }
        )
        bought = [
            {
                "month": one.month,
                "group": one.group,
                "resource": "material",
                "material": one.material,
                "cost_code": self.settings.material[one.material].cost_code or None,
                "what": what,
                "net": charge,
            }
            for one, charges in zip(self.orders, self.charges.tolist(), strict=True)
            for what, charge in zip(("rounding", "minimum", "delivery"), charges, strict=True)
            if charge
        ]
        if bought:
            rows = pd.concat([rows.astype(object), pd.DataFrame(bought, dtype=object)], ignore_index=True)
        rows = rows.astype(object).where(rows.notna(), None)
        place = np.array([RESOURCES.index(name) for name in rows["resource"]], dtype=int)
        net = rows["net"].to_numpy(dtype=float)
        contingency = net * self.contingency[place]
        taxes = (net + contingency) * self.taxes[place]
        return rows.assign(net=net, contingency=contingency, taxes=taxes, cost=net + contingency + taxes)
