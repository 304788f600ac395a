"""Orders of a year: whole packs or loads, rounded once for each material and group of jobs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from turfgis.estimates.loads import load_choices
from turfgis.estimates.needs import material_factors
from turfgis.estimates.risk import estimate_amount
from turfgis.estimates.stock import NOISE, Stock
from turfgis.estimates.takeoff import Takeoff
from turfgis.formulas.packs import whole_packs
from turfgis.measure.accuracy import area_covariance
from turfgis.settings.models import CourseSettings, Sand


@dataclass(frozen=True)
class Bought:
    """
    One material bought for one group of jobs. Amounts in the base unit of the material: kg, m3 or m2.

    Attributes
    ----------
    material, group, month
        Key, group of jobs, and the first month in which something has to be bought.
    needed, from_stock, to_order
        Mean need of the year, what stock covers of it, and the rest.
    unit, units
        Size of one pack or load and how many are ordered; None where the settings give no size.
    delivered
        What comes: ``units`` whole ones, or ``to_order``, and at least the supplier's minimum.
    """

    material: str
    group: str
    month: str | None
    needed: float
    from_stock: float
    to_order: float
    unit: float | None
    units: int | None
    delivered: float
    rounded: float  # delivered before the minimum

    def charges(self, settings: CourseSettings) -> tuple[float, float, float]:
        """Money for rounding up, for the supplier's minimum, and for delivery; NaN without a price."""
        material = settings.material[self.material]
        price = np.nan if material.unit_price is None else material.unit_price
        rounding = (self.rounded - self.to_order) * price if self.rounded > self.to_order else 0.0
        minimum = (self.delivered - self.rounded) * price if self.delivered > self.rounded else 0.0
        drives = 0 if self.delivered <= 0 else self.units or 1 if isinstance(material, Sand) else 1
        return rounding, minimum, drives * material.delivery.amount if material.delivery else 0.0


@lru_cache(maxsize=8)  # a change of price touches no amount
def estimate_bought(stock: Stock) -> tuple[Bought, ...]:
    """
    All orders of a year.

    Parameters
    ----------
    stock
        Needs and stock.

    Returns
    -------
    One for each material and group that needs any; loads of sand as :func:`turfgis.estimates.orders.orders_for`
    advises them, packs rounded up.
    """
    takeoff, settings = stock.takeoff, stock.takeoff.settings
    needed, taken = stock.by_group
    made = []
    for at, key in enumerate(stock.materials):
        for place in np.flatnonzero(needed[at] > 0):
            group, there = stock.groups[place], stock.for_group(at, int(place))
            material, want = settings.material[key], float(needed[at, place])
            to_order = max(want - there, 0.0) if want - there > NOISE * want else 0.0
            unit = material.unit_size
            units = None if unit is None else _units(takeoff, key, group, there, to_order)
            rounded = to_order if unit is None or units is None else units * unit
            delivered = rounded
            if material.minimum and 0 < delivered < material.minimum:
                units = None if unit is None else int(whole_packs(material.minimum, unit))
                delivered = material.minimum if unit is None or units is None else units * unit
            month = takeoff.months[stock.first_month[at, place]]
            made.append(
                Bought(key, group, month, want, float(taken[at, place]), to_order, unit, units, delivered, rounded)
            )
    return tuple(made)


def _units(takeoff: Takeoff, key: str, group: str, stock: float, to_order: float) -> int:
    """Packs rounded up; of sand the fewest loads whose chance of running short is accepted."""
    settings = takeoff.settings
    material = settings.material[key]
    unit = material.unit_size or 1.0
    if not isinstance(material, Sand):
        return int(whole_packs(to_order, unit))
    needs = [one for one in takeoff.needs if one.resource == "material" and one.key == key and one.job.group == group]
    dry, delivered = material_factors(material)
    covariance = area_covariance(takeoff.ground.spreads, np.array([one.slope for one in needs]))
    return load_choices(estimate_amount(needs, {**dry, **delivered}, covariance), stock, unit, settings.risk)[1]
