"""What a year costs: by month, surface, cost code, material, group and job, with the spread of every sum."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from turfgis.estimates.costs import VIEWS, BudgetRow, Costs, MaterialRow, charge_rates
from turfgis.estimates.ordering import Bought
from turfgis.estimates.programme import programme_remarks
from turfgis.estimates.stock import stock_of
from turfgis.estimates.takeoff import RESOURCES, Takeoff
from turfgis.estimates.watering import water_plan_remarks
from turfgis.formulas.growth import grown_price
from turfgis.settings.models import CourseSettings

YEARS = 3


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
    views, costs
        What :meth:`by` and :meth:`table` give out.
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
    costs: Costs = field(repr=False)

    def by(self, view: str) -> tuple[BudgetRow, ...]:
        """Rows of one of :data:`VIEWS`; every view adds up to the total."""
        return self.views[view]

    def table(self) -> pd.DataFrame:
        """Every cost of the year, see :meth:`turfgis.estimates.costs.Costs.table`; adds up to the total."""
        return self.costs.table()


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
    costs = Costs(takeoff, chosen, stock_of(takeoff))
    views = {view: costs.rows(view) for view in VIEWS}
    total = costs.total()
    return Budget(
        year=chosen.year,
        currency=chosen.currency,
        total=total[0],
        u=total[1],
        net=float(costs.net.sum()),
        rounding=float(costs.charges[:, 0].sum()),
        minimum=float(costs.charges[:, 1].sum()),
        delivery=float(costs.charges[:, 2].sum()),
        contingency=costs.lines(chosen.budget.contingency, np.ones(len(RESOURCES))),
        taxes=costs.lines(chosen.budget.taxes, 1 + charge_rates(chosen.budget.contingency)),
        stock_value=costs.stock_value(),
        materials=tuple(costs.material_rows()),
        orders=costs.orders,
        years=tuple(_years(takeoff, chosen, total)),
        unpriced=tuple(costs.unpriced()),
        remarks=(*_outside(takeoff), *water_plan_remarks(takeoff)),
        views=views,
        costs=costs,
    )


def _outside(takeoff: Takeoff) -> list[str]:
    months: dict[str, set[str | None]] = {}
    for need, occurring in zip(takeoff.needs, takeoff.times, strict=True):
        months.setdefault(need.job.name, set()).update(one.month for one in occurring)
    return programme_remarks(takeoff.settings.year, months)


def _years(
    takeoff: Takeoff, settings: CourseSettings, first: tuple[float, float]
) -> Iterator[tuple[int, float, float]]:
    """The same programme in later years: nothing left in the yard, and prices that grow."""
    start, growth = settings.year or 1, settings.budget.growth
    yield start, *first
    later = Costs(takeoff, settings, stock_of(takeoff, empty=True)).total()
    for ahead in range(1, YEARS):
        cost, u = (float(grown_price(one, growth, ahead)) for one in later)
        yield start + ahead, cost, u


__all__ = ["VIEWS", "Budget", "BudgetRow", "MaterialRow", "estimate_budget"]
