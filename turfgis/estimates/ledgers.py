"""
What a year puts on the ground: nutrients and sand, surface by surface, month by month.

A dose stands on two areas. On the *net* area it is all that was put out, what flew past the edge included, over the
area it was meant for: what was used, as a buyer counts. On the *treated* area it is the same amount over all the ground
that it landed on: what a square metre really got. A patch that a job leaves out counts with nothing in the mean of its
surface, and so the patch with the most stands beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from turfgis.estimates.takeoff import Takeoff
from turfgis.formulas.chance import product_moments
from turfgis.formulas.fertiliser import ELEMENT_SHARE, element_from_oxide, nutrient_rate, weight_in_volume
from turfgis.formulas.ledger import nutrient_load, yearly_depth
from turfgis.settings.models import Fertiliser, Liquid, Material, Sand
from turfgis.settings.values import OXIDES

NUTRIENTS = ("N", "P2O5", "K2O", "P", "K")
SAND, IN_HOLES, ON_SURFACE = "sand", "sand in holes", "sand on the surface"
SANDS = (IN_HOLES, ON_SURFACE, SAND)
# Works whose sand goes into openings: it takes the place of what came out, or of air, and does not raise the surface.
OPENINGS = {"hollow_tine", "solid_tine", "scarify", "divot_mix"}


@dataclass(frozen=True, eq=False)
class Doses:
    """
    Doses of one nutrient, or of sand, for one time. K needs that bring it, n patches.

    Attributes
    ----------
    needs
        Places of the needs in the take-off. K of them.
    mass
        Nutrient [kg] or dry sand [kg], with what lands past the edge. Shape (K, n).
    net, treated
        On the net and on the treated area: nutrient [kg/m2], or depth of sand [m]. Shape (K, n).
    """

    needs: np.ndarray
    mass: np.ndarray
    net: np.ndarray
    treated: np.ndarray


@dataclass(frozen=True)
class Entry:
    """
    One line of a ledger.

    Attributes
    ----------
    surface, what
        Where, and which nutrient or sand.
    when
        A month as ``2027-03`` or a year as ``2027``; None for what has no date.
    mass
        Of the nutrient or of dry sand, with what lands past the edge. [kg]
    net, treated
        Mean of the surface on either area: nutrient [kg/m2], sand [m].
    running_net, running_treated
        The same from the beginning of the calendar year. What has no date stands at the end.
    patch, patch_net, patch_treated
        The patch with the highest dose on its treated area, and its doses.
    """

    surface: str
    what: str
    when: str | None
    mass: float
    net: float
    treated: float
    running_net: float
    running_treated: float
    patch: str
    patch_net: float
    patch_treated: float


@dataclass(frozen=True)
class Ledger:
    """Nutrients and sand by month and by year."""

    months: tuple[Entry, ...]
    years: tuple[Entry, ...]


def nutrient_contents(material: Material) -> dict[str, float]:
    """
    Nutrients in one base unit of a material, each both as oxide and as element.

    Parameters
    ----------
    material
        Any material; what has no analysis has none.

    Returns
    -------
    Nutrient -> its mass in a kilogram of a product by weight [kg/kg], or in a cubic metre of a liquid [kg/m3].
    """
    if isinstance(material, Fertiliser):
        held = {str(name): float(nutrient_rate(1.0, part)) for name, part in material.analysis.items()}
    elif isinstance(material, Liquid) and material.analysis and material.density:
        density = material.density
        held = {str(name): float(weight_in_volume(part, density)) for name, part in material.analysis.items()}
    else:
        return {}
    for oxide, element in OXIDES.items():
        if oxide in held:
            held[element] = float(element_from_oxide(oxide, held[oxide]))
        elif element in held:
            held[oxide] = held[element] / ELEMENT_SHARE[oxide]
    return held


def doses_of(takeoff: Takeoff, what: str) -> Doses:
    """
    What each need brings of a nutrient, or of sand, to each patch in one time.

    Parameters
    ----------
    takeoff
        The take-off of the year.
    what
        A nutrient, or one of :data:`SANDS`.

    Returns
    -------
    Doses. Sand is reckoned dry and as placed: moisture and what is lost in store are no part of it.
    """
    found: list[int] = []
    rows: list[tuple[np.ndarray, np.ndarray, np.ndarray]] = []
    for at, need in enumerate(takeoff.needs):
        material = takeoff.settings.material[need.key] if need.resource == "material" else None
        if material is None or not _brings(material, need.job.work, what):
            continue
        here = need.net_m2 > 0
        mass, net, treated = (np.zeros(len(here)) for _ in range(3))
        if isinstance(material, Sand):
            density = material.bulk_density.mean
            each = product_moments(list(need.own.values()))[0]
            mass[here] = each * (need.base + need.beyond_m2)[here] * density
            net[here] = yearly_depth(mass[here], need.net_m2[here], density)
            treated[here] = yearly_depth(mass[here], need.treated_m2[here], density)
        else:
            mass[here] = takeoff.quantity[at, :-1][here] * nutrient_contents(material)[what]
            net[here] = nutrient_load(mass[here], need.net_m2[here])
            treated[here] = nutrient_load(mass[here], need.treated_m2[here])
        found.append(at)
        rows.append((mass, net, treated))
    stacked = np.array(rows).reshape(-1, 3, len(takeoff.ground))
    return Doses(np.array(found, dtype=int), stacked[:, 0], stacked[:, 1], stacked[:, 2])


def _brings(material: Material, work: str, what: str) -> bool:
    if isinstance(material, Sand):
        return what in (SAND, IN_HOLES if work in OPENINGS else ON_SURFACE)
    return bool(nutrient_contents(material).get(what))


def year_counts(takeoff: Takeoff) -> dict[str | None, np.ndarray]:
    """
    How often each need occurs in each calendar year. Shape (L,) each.

    What has no date counts in the year of the programme; where the settings give none, in every year that occurs, so
    that no limit is passed by leaving a date out.
    """
    months = np.array([month or "" for month in takeoff.months], dtype=object)
    years: list[str] = sorted({str(month)[:4] for month in months if month})
    own = str(takeoff.settings.year) if takeoff.settings.year else None
    undated = takeoff.counts[:, months == ""].sum(axis=1)
    if own and own not in years and (undated.any() or not years):
        years = sorted([*years, own])
    if not years:
        return {None: undated}
    made: dict[str | None, np.ndarray] = {}
    for year in years:
        dated = takeoff.counts[:, [month[:4] == year for month in months]].sum(axis=1)
        made[year] = dated + undated if own in (None, year) else dated
    return made


def estimate_ledger(takeoff: Takeoff) -> Ledger:
    """
    Nutrients and sand of a year.

    Parameters
    ----------
    takeoff
        The take-off of the year.

    Returns
    -------
    The ledger: means of all figures that carry a spread.
    """
    held = {name for one in takeoff.settings.material.values() for name in nutrient_contents(one)}
    listed = [*NUTRIENTS, *sorted(held - set(NUTRIENTS)), *SANDS]
    kept = {what: doses_of(takeoff, what) for what in listed}
    months = {month: takeoff.counts[:, at] for at, month in enumerate(takeoff.months)}
    return Ledger(
        months=tuple(entry for what in listed for entry in _entries(takeoff, kept[what], what, months)),
        years=tuple(entry for what in listed for entry in _entries(takeoff, kept[what], what, year_counts(takeoff))),
    )


def _entries(takeoff: Takeoff, doses: Doses, what: str, periods: dict[str | None, np.ndarray]) -> Iterator[Entry]:
    """Surface by surface, and for each of them the times at which it gets anything."""
    for surface in takeoff.ground.surfaces:
        on = takeoff.ground.surface == surface
        running, year = np.zeros(2), None
        for when, counts in periods.items():
            times = counts[doses.needs]
            mass, net, treated = (times @ part[:, on] for part in (doses.mass, doses.net, doses.treated))
            if not mass.any():
                continue
            if when is not None and when[:4] != year:
                running, year = np.zeros(2), when[:4]
            means = np.array([surface_mean(takeoff, net, on), surface_mean(takeoff, treated, on)])
            running = running + means
            most = highest(treated)
            yield Entry(
                surface=surface,
                what=what,
                when=when,
                mass=float(mass.sum()),
                net=float(means[0]),
                treated=float(means[1]),
                running_net=float(running[0]),
                running_treated=float(running[1]),
                patch=takeoff.ground.patch[on][most],
                patch_net=float(net[most]),
                patch_treated=float(treated[most]),
            )


def highest(doses: np.ndarray) -> int:
    """Place of the highest dose; of those that are equal but for the last digits, the first."""
    return int(np.argmax(doses >= doses.max() * (1 - 1e-9)))


def surface_mean(takeoff: Takeoff, dose: np.ndarray, on: np.ndarray) -> float:
    """Mean of a dose over the net area of patches; 0 where there is no area."""
    net = takeoff.ground.net_m2[on]
    return float(dose @ net / net.sum()) if net.sum() > 0 else 0.0


__all__ = [
    "NUTRIENTS",
    "SANDS",
    "Doses",
    "Entry",
    "Ledger",
    "doses_of",
    "estimate_ledger",
    "highest",
    "nutrient_contents",
    "surface_mean",
    "year_counts",
]
