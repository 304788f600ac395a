"""
The take-off: what every job needs of every resource, on every patch, at every time. Everything else is a sum of it.

It is kept in factors, because most of it repeats: a need is a vector over the patches for one time, and a count for
every month. :meth:`Takeoff.table` multiplies it out; budgets take their sums from the factors.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from itertools import chain

import numpy as np
import pandas as pd

from turfgis.estimates.cells import Cells, make_cells
from turfgis.estimates.course import Course
from turfgis.estimates.ground import Ground
from turfgis.estimates.needs import Need, job_needs, material_factors, material_needs
from turfgis.estimates.place_work import planned_settings
from turfgis.estimates.programme import Occurrence, occurrences, occurrences_until
from turfgis.estimates.rows import COLUMNS, Detail, expand
from turfgis.estimates.watering import watering_needs
from turfgis.estimates.works import Factors
from turfgis.settings.models import CourseSettings, Watering

RESOURCES = ("material", "machine", "labour", "fuel", "water", "purchase", "contractor")


@dataclass(frozen=True, eq=False)
class Takeoff:
    """
    A take-off in factors. Shapes: L needs, n patches, M months.

    Attributes
    ----------
    settings, ground
        Where its figures come from.
    needs
        One for each job and resource. L of them.
    times
        When each is done.
    months
        Months in order, as ``2027-03``; last None, where something is done at no particular time. M of them.
    counts
        How often each need occurs in each month. Shape (L, M).
    """

    settings: CourseSettings
    ground: Ground
    needs: tuple[Need, ...]
    times: tuple[tuple[Occurrence, ...], ...]
    months: tuple[str | None, ...]
    counts: np.ndarray

    @cached_property
    def factors(self) -> tuple[dict[tuple[str, str], tuple[float, float]], ...]:
        """Mean and variance of each figure of each need, by whose it is and its name: equal keys are one figure."""
        shared = {key: _owned(key, material_factors(one)) for key, one in self.settings.material.items()}
        return tuple(_factors(need, shared) for need in self.needs)

    @cached_property
    def rate(self) -> np.ndarray:
        """Mean quantity over one unit of ground. Shape (L,)."""
        return np.array([_product(factors) for factors in self.factors])

    @cached_property
    def quantity(self) -> np.ndarray:
        """
        Mean quantity for one time on each patch, as it is bought or booked, in :attr:`Need.unit`. Shape (L, n + 1).

        In the last column stands what is on no patch.
        """
        quantity = np.zeros((len(self.needs), len(self.ground) + 1))
        for row, need, rate in zip(quantity, self.needs, self.rate, strict=True):
            np.multiply(need.base + need.beyond_m2, rate, out=row[:-1])
            row[-1] = need.elsewhere * rate
        return quantity

    @cached_property
    def cells(self) -> Cells:
        """The needs surface by surface, for sums and their spread."""
        return make_cells(self)

    def table(self, per: Detail = "date", settings: CourseSettings | None = None) -> pd.DataFrame:
        """
        Multiply it out.

        Parameters
        ----------
        per
            One row for each job, resource and patch, and for each ``date``, ``month`` or ``year``.
        settings
            Settings to take prices from; None for its own.

        Returns
        -------
        Table with the columns :data:`COLUMNS`, text as categories. ``quantity`` in ``unit`` (kg as delivered, m3, m2,
        s, day, count), all times of the row together; ``u_quantity`` is its standard uncertainty by itself: rows share
        figures, so it does not add up over rows. ``cost`` is quantity times price, before stock, whole packs and
        taxes; NaN where there is no price.
        """
        return expand(self, per, settings or self.settings)

    def until(self, last: date) -> Takeoff:
        """What of it is planned by the end of a day: see :func:`turfgis.estimates.programme.occurrences_until`."""
        times = [occurrences_until(one, last) for one in self.times]
        return replace(self, times=tuple(times), counts=_counts(times, self.months))

    def unit_price(self, settings: CourseSettings | None = None) -> np.ndarray:
        """Price of one unit of each need; NaN where the settings give none. Shape (L,)."""
        chosen = settings or self.settings
        prices: dict[tuple[str, str], float] = {}
        jobs = {job.name: job for job in chosen.job}
        for need in self.needs:
            key = (need.resource, need.key)
            if key not in prices:
                found = _price(need, jobs, chosen)
                prices[key] = np.nan if found is None else found
        return np.array([prices[need.resource, need.key] for need in self.needs])

    def products(self, settings: CourseSettings | None = None) -> pd.DataFrame:
        """
        Each need as ground x rate x times x price, surface by surface.

        Returns
        -------
        Columns ``job``, ``group``, ``work``, ``resource``, ``material``, ``surface``, ``unit``, ``ground``, ``rate``
        (per unit of ground), ``times``, ``price`` and ``cost``, their product.
        """
        cells, prices = self.cells, self.unit_price(settings)
        chosen = [self.needs[place] for place in cells.need]
        rate, times = self.rate[cells.need], self.counts.sum(axis=1)[cells.need]
        return pd.DataFrame(
            {
                "job": [need.job.name for need in chosen],
                "group": [need.job.group for need in chosen],
                "work": [need.job.work for need in chosen],
                "resource": [need.resource for need in chosen],
                "material": [need.key or None for need in chosen],
                "surface": [cells.surfaces[place] for place in cells.surface],
                "unit": [need.unit for need in chosen],
                "ground": cells.ground,
                "rate": rate,
                "times": times,
                "price": prices[cells.need],
                "cost": cells.ground * rate * times * prices[cells.need],
            }
        )


def takeoff_of(course: Course) -> Takeoff | None:
    """The take-off of the year, or None where the settings have no jobs."""
    return estimate_year(course) if course.settings is not None and course.settings.job else None


def estimate_year(course: Course) -> Takeoff:
    """
    The take-off of all jobs of the settings, and of the work that places wait for.

    Parameters
    ----------
    course
        A course with settings.

    Returns
    -------
    The take-off, in the order of the jobs.

    Raises
    ------
    SettingsError
        There are no settings, or a job names a hole or a patch that the course does not have.
    """
    settings = planned_settings(course)
    needs: list[Need] = []
    times: list[tuple[Occurrence, ...]] = []
    for job in settings.job:
        occurring = occurrences(job, settings)
        made = job_needs(course, job, occurring)
        needs += made
        times += [occurring] * len(made)
        if isinstance(job, Watering):
            for need, when in watering_needs(course, job):
                needs.append(need)
                times.append(when)
    return _takeoff(course, settings, needs, times)


def estimate_materials(course: Course) -> Takeoff:
    """
    The same of materials alone, which stock and orders go by: machines take long, for their way over the ground.

    Parameters
    ----------
    course
        A course with settings.

    Returns
    -------
    The take-off of what jobs use, with the figures that it has in :func:`estimate_year`.

    Raises
    ------
    SettingsError
        As for :func:`estimate_year`.
    """
    settings = planned_settings(course)
    occurring = [occurrences(job, settings) for job in settings.job]
    made = [material_needs(course, job, when) for job, when in zip(settings.job, occurring, strict=True)]
    times = [when for when, needs in zip(occurring, made, strict=True) for _ in needs]
    return _takeoff(course, settings, list(chain.from_iterable(made)), times)


def _takeoff(
    course: Course, settings: CourseSettings, needs: list[Need], times: list[tuple[Occurrence, ...]]
) -> Takeoff:
    found = {one.month for one in chain.from_iterable(times)}
    months = tuple(sorted(found, key=lambda month: month or "9999"))
    return Takeoff(settings, course.ground, tuple(needs), tuple(times), months, _counts(times, months))


def estimate_takeoff(course: Course) -> pd.DataFrame:
    """
    What every job needs on every patch in the whole year: :meth:`Takeoff.table` by year.

    Parameters
    ----------
    course
        A course with settings.

    Returns
    -------
    Table with the columns :data:`COLUMNS`.
    """
    return estimate_year(course).table("year")


def _counts(times: list[tuple[Occurrence, ...]], months: tuple[str | None, ...]) -> np.ndarray:
    place = {month: at for at, month in enumerate(months)}
    counts = np.zeros((len(times), len(months)))
    for row, occurring in zip(counts, times, strict=True):
        for one in occurring:
            row[place[one.month]] += one.times
    return counts


def _owned(key: str, parts: tuple[Factors, Factors]) -> dict[tuple[str, str], tuple[float, float]]:
    """Mean and variance of the figures of a material, by its key and their names."""
    return {(key, name): (one.mean, one.variance) for figures in parts for name, one in figures.items()}


def _factors(need: Need, shared: dict) -> dict[tuple[str, str], tuple[float, float]]:
    name = need.job.name
    own = {need.lent.get(key, (f"job {name}", key)): (one.mean, one.variance) for key, one in need.own.items()}
    return {**own, **shared[need.key]} if need.resource == "material" else own


def _product(factors: dict[tuple[str, str], tuple[float, float]]) -> float:
    product = 1.0
    for mean, _ in factors.values():
        product *= mean
    return product


def _price(need: Need, jobs: dict, settings: CourseSettings) -> float | None:
    """Price of one unit of a need, in the settings that are given."""
    if need.resource == "material":
        return settings.material[need.key].unit_price
    if need.resource == "machine":
        cost = settings.machine[need.key].cost
        return cost.per_si if cost else None
    if need.resource == "labour":
        return settings.labour.wage.per_si if settings.labour else None
    if need.resource == "water":
        return settings.water.price.per_si if settings.water and settings.water.price else None
    if need.resource == "fuel":
        price = settings.fuel[need.key].price if need.key in settings.fuel else None
        return price.per_si if price else None
    job = jobs.get(need.key, need.job)
    return job.amount.amount if need.resource == "purchase" else job.price.per_si


__all__ = ["COLUMNS", "RESOURCES", "Takeoff", "estimate_materials", "estimate_takeoff", "estimate_year"]
