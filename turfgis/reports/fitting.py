"""What records say of the club's machines: figures with intervals, residuals by patch, and lines for the settings."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Sequence

from turfgis.estimates.fitting import Fitted, MachineFit
from turfgis.reports.columns import Column
from turfgis.reports.screen import WIDEST, one_line, text_table
from turfgis.reports.tables import Row

# Name of a figure -> heading, its unit as shown, how many of them in SI, and the unit in the key of a row.
_SHOWN = {
    "speed": ("speed", "km/h", 3.6, "m_s"),
    "turn": ("time of a turn", "s", 1.0, "s"),
    "waiting": ("waiting on each patch", "s", 1.0, "s"),
    "fuel": ("fuel", "l/h", 3.6e6, "m3_s"),
    "cost": ("cost", "an hour", 3600.0, "per_s"),
}


def fit_json(fits: Sequence[MachineFit], remarks: Sequence[str]) -> dict:
    """All of it, in SI."""
    return {
        "machines": [
            {
                "machine": fit.machine,
                "records": fit.records,
                "figures": [_figure(one) for one in fit.figures],
                "waiting_share": fit.waiting_share,
                "residual_sd_minutes": None if fit.spread is None else fit.spread / 60,
                "patches": patch_rows([fit]),
                "records_fitted": record_rows([fit]),
                "remarks": list(fit.remarks),
                "settings": proposed_toml([fit]),
            }
            for fit in fits
        ],
        "remarks": list(remarks),
    }


def _figure(one: Fitted) -> Row:
    return {
        "name": one.name,
        "unit": _SHOWN[one.name][3],
        **{key: getattr(one, key) for key in ("value", "low", "high", "setting", "held")},
    }


def figure_rows(fits: Sequence[MachineFit]) -> list[Row]:
    """One row for each machine and figure, in SI."""
    return [{"machine": fit.machine, **_figure(one), "records": fit.records} for fit in fits for one in fit.figures]


def patch_rows(fits: Sequence[MachineFit]) -> list[Row]:
    """One row for each machine and patch: how much longer records took than the fit, on the mean."""
    return [
        {"machine": fit.machine, "patch": patch, "records": count, "residual_minutes": mean / 60}
        for fit in fits
        for patch, (mean, count) in fit.by_patch.items()
    ]


def record_rows(fits: Sequence[MachineFit]) -> list[Row]:
    """One row for each record."""
    return [
        {
            **{"machine": fit.machine, "date": one.record.day.isoformat(), "at": one.record.at("machine")},
            **{"patches": len(one.patches), "minutes": one.observed / 60, "fitted_minutes": one.fitted / 60},
            "residual_minutes": (one.observed - one.fitted) / 60,
        }
        for fit in fits
        for one in fit.residuals
    ]


def proposed_toml(fits: Sequence[MachineFit]) -> str:
    """Lines to copy into the settings by hand."""
    blocks = []
    for fit in fits:
        lines = [
            f'{one.name} = "{_text(one.value * _SHOWN[one.name][2])} {_SHOWN[one.name][1]}"'
            for one in fit.figures
            if one.name in ("speed", "turn", "fuel") and not one.held
        ]
        if any(one.name == "waiting" for one in fit.figures):
            lines.append(f'waiting = "{_text(fit.waiting_share * 100)} %"')
        if lines:
            head = f"{_table(fit.machine)}  # {fit.records} record{'s' * (fit.records != 1)}"
            if fit.turns_in_a_circle and any(line.startswith("turn") for line in lines):
                head += "; take turn_radius out, whose place turn takes"
            blocks.append("\n".join([head, *lines]))
    return "\n\n".join(blocks)


def _table(machine: str) -> str:
    bare = re.fullmatch(r"[A-Za-z0-9_-]+", machine)
    return f"[machine.{machine if bare else json.dumps(one_line(machine), ensure_ascii=False)}]"


def _text(value: float) -> str:
    """Three significant digits, without an exponent."""
    return f"{value:.3g}" if 0.01 <= value < 1000 else f"{value:.0f}" if value >= 1000 else f"{value:.4f}"


def fit_text(fits: Sequence[MachineFit], remarks: Sequence[str], by: str = "surface") -> str:
    """
    Figures with their intervals, then what stands behind them.

    Parameters
    ----------
    fits, remarks
        What was found, and what reading had to say.
    by
        ``patch`` adds residuals patch by patch.
    """
    rows = [_row(fit, one) for fit in fits for one in fit.figures]
    heads = ["machine", Column("figure", "figure"), Column("value", "fitted"), Column("between", "95 % between")]
    blocks = [text_table(rows, [*heads, Column("setting", "settings"), Column("records", "records", "count")])]
    if by == "patch":
        columns = [Column("records", "records", "count"), Column("residual_minutes", "longer than fitted", "number")]
        blocks.append(text_table(patch_rows(fits), ["machine", "patch", *columns]))
    said = [f"{one_line(fit.machine)}: {text}." for fit in fits for text in fit.remarks]
    said += [
        f"{one_line(fit.machine)}: records lie {fit.spread / 60:.1f} minutes about the fit (standard deviation)."
        for fit in fits
        if fit.spread is not None
    ]
    blocks.append("\n".join(textwrap.fill(one_line(line), WIDEST) for line in (*remarks, *said, NOTE)))
    proposed = proposed_toml(fits)
    if proposed:
        blocks.append(f"To copy into course.toml if they convince you:\n\n{proposed}")
    return "\n".join(blocks)


NOTE = (
    "Records of several patches hold driving between them and from the yard, taken off at the transport speed; the "
    "intervals are those of least squares with independent errors of one size."
)


def _row(fit: MachineFit, one: Fitted) -> Row:
    head, unit, factor, _ = _SHOWN[one.name]

    def shown(value: float | None) -> str:
        return "" if value is None else f"{value * factor:.2f}"

    between = f"{shown(one.low)} to {shown(one.high) or 'any'}" if one.low is not None else ""
    return {
        **{"machine": fit.machine, "figure": f"{head}, {unit}", "value": shown(one.value)},
        **{"between": "held" if one.held else between, "setting": shown(one.setting), "records": fit.records},
    }
