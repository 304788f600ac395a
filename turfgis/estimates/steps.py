"""Steps of the working for works that go by a plain product of figures: repairs, divots, bunkers, slits, liquids."""

from __future__ import annotations

import numpy as np

from turfgis.estimates.needs import Need
from turfgis.estimates.order import Step
from turfgis.estimates.pencil import PERCENT, digits, factor, figure, weighed
from turfgis.formulas.chance import Figure
from turfgis.settings.models import (
    BunkerSand,
    DivotMix,
    Material,
    RepairTurf,
    Sand,
    Scarify,
    SpotTreatment,
    Spray,
    Turf,
)
from turfgis.units import Shown, shown

PLAIN_WORKS = BunkerSand | DivotMix | RepairTurf | Scarify | SpotTreatment | Spray

_LENGTHS = {"depth of slits", "depth of divots", "mean depth"}
_SUMS = {"trim", "settling"}  # entered as 1 + a share


def plain_steps(need: Need, material: Material, system: str) -> list[Step]:
    """
    What a job comes to, as one product.

    Parameters
    ----------
    need, material
        What is needed, and of what.
    system
        ``metric`` or ``us``.

    Returns
    -------
    One step; sand dry, everything else as it is bought.
    """
    names, numbers = _ground(need, system)
    for name, one in need.own.items():
        names.append(f"(1 + {name})" if name in _SUMS else name)
        numbers.append(_number(need, name, one, system))
    total = need.total
    if isinstance(material, Sand):
        names.append("bulk density")
        numbers.append(figure(material.bulk_density, shown("density", system)))
        total *= material.bulk_density.mean
    if need.times > 1 and not _by_rounds(need):
        names.append("times")
        numbers.append(f"{need.times:g}")
    what = {"kg": "product", "m3": "liquid", "m2": "turf"}[need.unit]
    return [
        Step(
            f"{need.job.name}: {'dry sand' if isinstance(material, Sand) else what}",
            " x ".join(names) + _hint(need, material, system),
            " x ".join(numbers),
            weighed(total, shown_amount(material, system)),
            "definition",
        )
    ]


def shown_amount(material: Material, system: str) -> Shown:
    """How amounts of a material are shown: sand in tonnes, liquids by volume, turf by area, the rest in kilograms."""
    kind = {"kg": "heavy" if isinstance(material, Sand) else "mass", "m3": "liquid", "m2": "area"}[material.base]
    return shown(kind, system)


def _by_rounds(need: Need) -> bool:
    return isinstance(need.job, DivotMix) and need.job.mix_per_round is not None


def _ground(need: Need, system: str) -> tuple[list[str], list[str]]:
    if _by_rounds(need):
        return ["rounds played"], [f"{need.times:,g}"]
    if isinstance(need.job, RepairTurf | SpotTreatment) and need.job.area is not None:
        return [], []
    if isinstance(need.job, RepairTurf) and need.job.strip is not None:
        return ["length of edge"], [factor(float(need.base.sum()), shown("length", system))]
    area, treated = shown("area", system), float(need.treated_m2.sum())
    if np.any(need.beyond_m2 > 0):
        words = "treated area"
    elif need.job.true_area:
        words = "area along the slope"
    else:
        words = "area to spray" if np.any(need.kept_m2) else "net area"
    if isinstance(need.job, Spray) and need.elsewhere:
        return [f"({words} + ground for what stays in the sprayer)"], [
            f"({factor(treated, area)} + {factor(need.elsewhere, area)})"
        ]
    return [words], [factor(treated, area)]


def _number(need: Need, name: str, one: Figure, system: str) -> str:
    if name in _SUMS:
        return f"(1 + {figure(one.shifted(-1.0), PERCENT)})"
    if name in need.lent:
        return figure(one, shown("density", system))
    if name in _LENGTHS:
        return figure(one, shown("small length", system))
    if name == "width of strip":
        return figure(one, shown("width", system))
    if name in ("area repaired", "area treated"):
        return figure(one, shown("area", system))
    if name == "mix for a round":
        return figure(one, shown("liquid", system))
    if name == "depth of it" and need.unit == "kg":
        return figure(one, shown("small length", system))
    if name == "rate" and need.unit == "kg":
        return figure(one, shown("mass rate", system))
    if name in ("rate", "depth of it"):
        volume, area = shown("liquid", system), shown("area", system)
        per = volume.per_si / area.per_si
        return f"{digits(one.mean, Shown('', per, 0), 8)} {volume.label}/{area.label}"
    return figure(one, PERCENT)


def _hint(need: Need, material: Material, system: str) -> str:
    """What a pencil needs besides, to get from unit to unit."""
    if isinstance(material, Turf) or need.unit == "m3":
        return ""
    if _by_rounds(need):
        return " (1 m3 = 1,000 l)" if system == "metric" else " (1 US gal = 0.13368056 ft3, 1 US ton = 2,000 lb)"
    if isinstance(need.job, SpotTreatment) and not isinstance(material, Sand):
        return " (1 kg = 1,000 g)" if system == "metric" else ""
    if isinstance(material, Sand):
        return " (1 m = 1,000 mm)" if system == "metric" else " (1 ft = 12 in, 1 US ton = 2,000 lb)"
    return " (1 m = 1,000 mm, 1 t = 1,000 kg)" if system == "metric" else " (1 ft = 12 in)"
