"""A calibration for the screen and for programs."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.screen import WIDEST
from turfgis.reports.spray import error_words
from turfgis.units import shown

if TYPE_CHECKING:
    from turfgis.estimates.calibration import Calibration
    from turfgis.estimates.spraying import SprayPlan


def calibration_text(found: Calibration, units: str = "metric", plans: Sequence[SprayPlan] = ()) -> str:
    """
    What a catch says, in plain sentences.

    Parameters
    ----------
    found
        The calibration.
    units
        ``metric`` or ``us``.
    plans
        Spray jobs of the machine, for what an error costs.
    """
    lines = list(_words(found, units))
    for plan in plans:
        lines.append(f"{plan.job.name}: {error_words(plan, units)}")
    lines += sheet_cautions("calibration")
    return "\n".join(
        line for text in lines for line in textwrap.wrap(text, WIDEST, initial_indent="- ", subsequent_indent="  ")
    )


def _words(found: Calibration, units: str) -> Iterator[str]:
    rate = shown("mass rate" if found.by_weight else "spray volume", units)
    flow, speed = shown("nozzle flow", units), shown("speed", units)
    if found.mean_flow is not None:
        count = len(found.flows)
        each = f"mean of {count} nozzles" if count > 1 else "one nozzle"
        yield f"Flow: {flow.text(found.mean_flow)}, {each}."
        if count > 1:
            low, high = (100 * (one / found.mean_flow - 1) for one in (min(found.flows), max(found.flows)))
            yield f"Nozzles are between {low:+.1f} % and {high:+.1f} % of their mean."
        if found.uneven:
            named = ", ".join(map(str, found.uneven))
            yield f"More than 10 % from the mean, so to be cleaned or changed before anything else: nozzle {named}."
    if found.rate is not None:
        at = f" at {speed.text(found.speed)}" if found.speed is not None else ""
        yield f"Comes out: {rate.text(found.rate)}{at}."
    if found.wanted is not None:
        off = (
            "" if found.error is None else f", so {abs(found.error):.1%} too {'much' if found.error > 0 else 'little'}"
        )
        yield f"Wanted: {rate.text(found.wanted)}{off.replace('%', ' %')}."
    if found.reached is not None:
        reached = f"{found.reached:.1%}".replace("%", " %")
        yield f"What was mixed or filled for all of the ground would reach {reached} of it."
    if found.flow_wanted is not None and found.speed is not None:
        needed = flow.text(found.flow_wanted)
        yield f"For what is wanted at {speed.text(found.speed)} each nozzle must put out {needed}."
    if found.speed_wanted is not None:
        yield f"Or, as it is set now, drive {speed.text(found.speed_wanted)}, and catch again."
    if found.by_weight and found.error is not None:
        yield "Change the setting and catch again; settings of a spreader do not go up evenly with the rate."


def calibration_json(found: Calibration) -> dict[str, Any]:
    """All of it for programs."""
    scale, unit = (1e3, "g_m2") if found.by_weight else (1e7, "l_ha")

    def times(value: float | None, factor: float) -> float | None:
        return None if value is None else value * factor

    return {
        "flows_l_min": [one * 6e4 for one in found.flows],
        "mean_flow_l_min": times(found.mean_flow, 6e4),
        "uneven": list(found.uneven),
        "speed_km_h": times(found.speed, 3.6),
        f"rate_{unit}": times(found.rate, scale),
        f"wanted_{unit}": times(found.wanted, scale),
        "error_pct": times(found.error, 100.0),
        "reached_pct": times(found.reached, 100.0),
        "flow_wanted_l_min": times(found.flow_wanted, 6e4),
        "speed_wanted_km_h": times(found.speed_wanted, 3.6),
        "cautions": sheet_cautions("calibration"),
    }
