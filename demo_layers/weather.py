"""Weather of a made-up island in the west, its forecast, and what a made-up water meter shows."""

import csv
from datetime import date, timedelta
from pathlib import Path

import numpy as np
from holes import stream

FIRST, TODAY, LAST = date(2026, 1, 1), date(2027, 7, 11), date(2027, 7, 18)
NORTH = np.radians(53.16)
WATERED_M2 = 168_000  # greens, tees, approaches and fairways over how evenly they are watered
HEADINGS = ("date", "tmin_c", "tmax_c", "rh_min_pct", "rh_max_pct", "wind_m_s", "sunshine_h", "rain_mm")


def draw_weather(folder: Path) -> None:
    """Write ``weather.csv``, ``forecast.csv`` and ``meter.csv``."""
    rows, use = invent_weather()
    past = sum(1 for row in rows if row[0] <= TODAY.isoformat())
    _write(folder / "weather.csv", HEADINGS, rows[:past])
    _write(folder / "forecast.csv", HEADINGS, rows[past:])
    _write(folder / "meter.csv", ("date", "reading_m3"), invent_meter(use[:past]))


def invent_weather(key: int = 28) -> tuple[list[list], np.ndarray]:
    """Rows by day; and roughly what turf lacks on each. [mm]"""
    rng, days = stream(50, key), (LAST - FIRST).days + 1
    day = np.arange(days)
    angle = 2 * np.pi * (day - 15) / 365.25
    # spells of fine and unsettled weather that last about a week
    spell = _smooth(bell(rng, days), 0.82)
    summer = (1 - np.cos(angle)) / 2
    mean = 6.5 + 8.5 * (1 - np.cos(angle - 0.35)) / 2 + 1.1 * _smooth(bell(rng, days), 0.7)
    longest = 24 / np.pi * np.arccos(-np.tan(NORTH) * np.tan(0.409 * np.sin(2 * np.pi * (day + 1) / 365.25 - 1.39)))
    share = np.clip(0.34 + 0.22 * spell + 0.1 * bell(rng, days), 0.0, 0.92)
    swing = 3.2 + 5.5 * share + 1.0 * summer
    wind = np.clip(6.2 - 1.6 * summer - 0.9 * spell + 1.2 * bell(rng, days), 0.8, 17)
    wet = rng.random(days) < np.clip(0.56 - 0.12 * summer - 0.30 * spell, 0.03, 0.95)
    rain = np.where(wet, -4.2 * np.log(1 - rng.random(days)), 0.0)
    moist = np.clip(94 - 3 * spell + 2 * bell(rng, days), 78, 100)
    dry = np.clip(moist - 9 - 26 * share, 40, 98)
    rows = [
        [
            (FIRST + timedelta(days=int(at))).isoformat(),
            *(f"{mean[at] - swing[at] / 2:.1f}", f"{mean[at] + swing[at] / 2:.1f}"),
            *(f"{dry[at]:.0f}", f"{moist[at]:.0f}", f"{wind[at]:.1f}"),
            *(f"{share[at] * longest[at]:.1f}", f"{rain[at]:.1f}"),
        ]
        for at in range(days)
    ]
    sun = (0.25 + 0.5 * share) * 41 * np.clip(0.5 - 0.42 * np.cos(angle - 0.05), 0, 1)
    return rows, 0.0135 * (mean + 17.8) * sun * 0.408 * 0.62 - 0.72 * rain


def invent_meter(lack: np.ndarray) -> list[list]:
    """A reading each Sunday night from the autumn before the season; some hand watering and flushing on top. [m3]"""
    rng, total, rows, missing = stream(50, 1), 41_873.0, [], 0.0
    for at, one in enumerate(lack):
        day = FIRST + timedelta(days=at)
        missing = float(np.clip(missing + one, 0.0, 30.0))
        if missing > 11.0 and 4 <= day.month <= 9:
            total += min(missing - 7.0, 1.9) * WATERED_M2 / 1000
            missing -= min(missing - 7.0, 1.9)
        total += 1.5 * rng.random()
        if day.weekday() == 6 and day >= date(2026, 10, 4):
            rows.append([day.isoformat(), f"{total:.0f}"])
    return rows


def bell(rng: np.random.Generator, count: int) -> np.ndarray:
    """Numbers about zero with a spread of one: twelve of ``random()`` together, because only that is promised."""
    return rng.random((count, 12)).sum(axis=1) - 6


def _smooth(noise: np.ndarray, kept: float) -> np.ndarray:
    """Noise in which each day resembles the one before, of the same spread. A recursion, so a plain loop."""
    made = np.empty_like(noise)
    before = 0.0
    for at, one in enumerate(noise):
        before = kept * before + np.sqrt(1 - kept**2) * one
        made[at] = before
    return made


def _write(file: Path, headings: tuple[str, ...], rows: list[list]) -> None:
    with file.open("w", encoding="utf-8", newline="\n") as out:
        table = csv.writer(out, lineterminator="\n")
        table.writerow(headings)
        table.writerows(rows)
