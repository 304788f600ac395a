"""Daily weather out of a CSV file or a workbook: one row a day, in SI, with what is missing or cannot be true."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from turfgis.errors import InputError, LayerError
from turfgis.layers.findings import Finding, counted, listed
from turfgis.layers.records import cell_day, cell_text
from turfgis.layers.sheets import Sheet, read_sheets
from turfgis.layers.weather_headings import HEADINGS, Heading, read_heading
from turfgis.units import read_number

# In the SI unit of each column, what no station has read on a day. Highest rain and temperatures: records of the World
# Meteorological Organization, rounded up, from memory; the rest common sense.
POSSIBLE = {
    "lowest": (-60.0, 60.0),
    "highest": (-60.0, 60.0),
    "dew_point": (-60.0, 40.0),
    "humidity": (0.0, 1.0),
    "humidity_least": (0.0, 1.0),
    "humidity_most": (0.0, 1.0),
    "wind": (0.0, 60.0),
    "radiation": (0.0, 50e6),
    "sunshine": (0.0, 86_400.0),
    "rain": (0.0, 1.9),
    "reference": (0.0, 0.025),
}
NOTHING = {"", "-", "–", "na", "n/a", "nan", "null", "none", "x", "---"}
YEAR_RAIN = 0.08  # m in a year: below it, and with many wet days, figures are likely inches


@dataclass(frozen=True, eq=False)
class Weather:
    """
    Weather of days that follow one another without a gap.

    Attributes
    ----------
    file
        Where it was read.
    days
        The days. Shape (d,), datetime64[D].
    columns
        Name -> values in SI, nan where nothing is known. Shape (d,) each. ``lowest``, ``highest`` and ``dew_point`` of
        the temperature [degC]; ``humidity``, ``humidity_least`` and ``humidity_most`` as shares; ``wind`` [m/s];
        ``radiation`` [J/m2]; ``sunshine`` [s]; ``rain`` [m]; ``reference`` evapotranspiration by the station [m].
    given
        Which days the file has a row for. Shape (d,), bool.
    findings
        What there is to say about it.
    """

    file: str
    days: np.ndarray
    columns: dict[str, np.ndarray]
    given: np.ndarray
    findings: tuple[Finding, ...]

    def column(self, name: str) -> np.ndarray:
        """A column; all nan where the file has none."""
        return self.columns.get(name, np.full(len(self.days), np.nan))


def read_weather(path: Path) -> Weather:
    """
    Read daily weather.

    Parameters
    ----------
    path
        CSV file or workbook. The first row with anything in it holds headings: ``date``, and any of ``tmin``, ``tmax``,
        ``dewpoint``, ``rh``, ``rh_min``, ``rh_max``, ``wind``, ``radiation``, ``sunshine``, ``rain`` and ``et0``, each
        with its unit behind it, such as ``tmax_c``, ``rain_mm`` or ``wind_m_s``. Other columns are left out.

    Returns
    -------
    The weather by day. Of a day with several rows the last counts; days without a row stand there with nothing known.

    Raises
    ------
    LayerError
        The file cannot be read, or has no day.
    """
    sheets, remarks = read_sheets(path, ("date", *HEADINGS, "day"))
    sheet, found = sheets[0], [_finding("note", "reader_remark", path.name, "", one) for one in remarks]
    if sheet.problems:
        raise LayerError("\n".join(sheet.problems))
    headings = _headings(sheet, path.name, found)
    days, values = _rows(sheet, headings, path.name, found)
    if not days:
        raise LayerError(f"{path.name}: holds headings but no day; write one row for each day")
    days, values = _each_once(days, values, path.name, found)
    first, last = days[0], days[-1]
    whole = np.arange(first, last + np.timedelta64(1, "D"))
    if len(whole) > 200 * 366:
        raise LayerError(f"{path.name}: runs from {first} to {last}; check the years")
    place = (days - first).astype(int)
    columns = {name: np.full(len(whole), np.nan) for name in headings}
    for name in headings:
        columns[name][place] = values[name]
    given = np.zeros(len(whole), dtype=bool)
    given[place] = True
    _gaps(whole, given, path.name, found)
    _implausible(whole, columns, headings, path.name, found)
    return Weather(path.name, whole, columns, given, tuple(found))


def _finding(level: str, code: str, file: str, feature: str, text: str) -> Finding:
    return Finding(level, code, file, "", feature, text)


def _headings(sheet: Sheet, file: str, found: list[Finding]) -> dict[str, tuple[int, Heading]]:
    """Name of the column -> its place and how it is read; ``date`` among them is checked and left out."""
    known: dict[str, tuple[int, Heading]] = {}
    unused, dates = [], [at for at, cell in enumerate(sheet.head) if cell_text(cell).casefold() in ("date", "day")]
    if len(dates) != 1:
        raise LayerError(f"{file}: {'no' if not dates else 'more than one'} column 'date'; write the day in one column")
    for at, cell in enumerate(sheet.head):
        text = cell_text(cell)
        if at in dates or not text:
            continue
        try:
            heading = read_heading(text)
        except InputError as error:
            raise LayerError(f"{sheet.cell(at, sheet.rows[0][0])}: {error}") from None
        if heading is None:
            unused.append(text)
        elif heading.name in known:
            said = f"'{text}' gives {heading.words} a second time; the first column is used."
            found.append(_finding("warning", "weather_heading", file, text, said))
        else:
            known[heading.name] = (at, heading)
            if not heading.written:
                said = f"'{text}' says no unit and was read in {heading.unit}; write it as {heading.example}."
                found.append(_finding("note", "weather_heading", file, text, said))
    if unused:
        said = f"Not used: {listed(unused, 8)}. Used are headings such as tmax_c, rh_mean_pct, wind_m_s and rain_mm."
        found.append(_finding("note", "weather_heading", file, "", said))
    return {"date": (dates[0], Heading("date", "the day", "", True, "date", float)), **known}


def _rows(sheet: Sheet, headings: dict, file: str, found: list[Finding]) -> tuple[list, dict[str, list[float]]]:
    """Days and values of the rows that have a day; what cannot be read is nothing known."""
    date_at = headings.pop("date")[0]
    days, values, wrong = [], {name: [] for name in headings}, []
    for number, cells in sheet.rows[1:]:
        try:
            days.append(np.datetime64(cell_day(cells[date_at] if date_at < len(cells) else None), "D"))
        except InputError as error:
            wrong.append(f"row {number}: {error}")
            continue
        for name, (at, heading) in headings.items():
            try:
                values[name].append(_number(cells[at] if at < len(cells) else None, heading.si))
            except InputError as error:
                values[name].append(np.nan)
                wrong.append(f"row {number}, {name.replace('_', ' ')}: {error}")
    if wrong:
        said = f"{counted(len(wrong), 'cell')} could not be read and count as missing: {listed(wrong, 3)}."
        found.append(_finding("warning", "weather_unreadable", file, "", said))
    return days, values


def _number(cell, si: Callable[[float], float]) -> float:
    if isinstance(cell, int | float) and not isinstance(cell, bool):
        return si(float(cell))
    text = cell_text(cell)
    return float("nan") if text.casefold() in NOTHING else si(read_number(text))


def _each_once(days: list, values: dict, file: str, found: list[Finding]) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """Days in order, of each the last row."""
    stamps = np.array(days)
    order = np.argsort(stamps, kind="stable")
    if not np.array_equal(order, np.arange(len(order))):
        found.append(_finding("note", "weather_order", file, "", "The days were not in order and have been sorted."))
    sorted_days = stamps[order]
    last = np.append(sorted_days[1:] != sorted_days[:-1], True)
    repeated = np.unique(sorted_days[~last])
    if len(repeated):
        named = listed([str(day) for day in repeated], 3)
        said = f"{counted(len(repeated), 'day has', 'days have')} more than one row ({named}); the last one counts."
        found.append(_finding("warning", "weather_repeat", file, named, said))
    kept = order[last]
    return stamps[kept], {name: np.array(column, dtype=float)[kept] for name, column in values.items()}


def _gaps(days: np.ndarray, given: np.ndarray, file: str, found: list[Finding]) -> None:
    missing = days[~given]
    if len(missing):
        runs = np.split(missing, np.flatnonzero(np.diff(missing) > np.timedelta64(1, "D")) + 1)
        named = [str(run[0]) if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs]
        said = (
            f"{counted(len(missing), 'day is', 'days are')} missing: {listed(named, 3)}. There rain counts as none, "
            "and evapotranspiration as on the days around."
        )
        found.append(_finding("warning", "weather_gap", file, named[0], said))


def _implausible(days: np.ndarray, columns: dict[str, np.ndarray], headings: dict, file: str, found: list) -> None:
    """What is in another unit than it says, as a whole column; then what cannot be, value by value."""
    for name in ("lowest", "highest"):
        if name in columns and _fahrenheit(columns[name]):
            said = (
                f"'{headings[name][1].example}' looks like Fahrenheit: half of its values are above "
                f"{np.nanmedian(columns[name]):.0f}. It was not used; if so, write it as {headings[name][1].tail('f')}."
            )
            found.append(_finding("error", "weather_unit", file, name, said))
            columns[name][:] = np.nan
    if "rain" in columns and _inches(columns["rain"]):
        fell, span = np.nansum(columns["rain"]), len(days)
        said = (
            f"Rain of {1000 * fell:.0f} mm in {span} days looks like inches: no day has more than "
            f"{1000 * np.nanmax(columns['rain']):.2f}. It was used as it is written, so needs may be far too high; if "
            f"it is in inches, write the heading as {headings['rain'][1].tail('in')}."
        )
        found.append(_finding("error", "weather_unit", file, "rain", said))
    swapped = columns.get("lowest", np.nan) > columns.get("highest", np.nan)
    for name, values in columns.items():
        low, high = POSSIBLE[name]
        with np.errstate(invalid="ignore"):
            wrong = (values < low) | (values > high)
        if name in ("lowest", "highest"):
            wrong = wrong | swapped
        if wrong.any():
            named = listed([str(day) for day in days[wrong]], 3)
            said = (
                f"{counted(int(wrong.sum()), 'value')} of {headings[name][1].words} cannot be right ({named}) "
                f"and {'counts' if wrong.sum() == 1 else 'count'} as missing."
            )
            found.append(_finding("warning", "weather_implausible", file, named, said))
            values[wrong] = np.nan


def _fahrenheit(values: np.ndarray) -> bool:
    """Half of the days above 42 degC, or one above any on earth while most are above 30: no place is like that."""
    known = values[~np.isnan(values)]
    return bool(known.size and (np.median(known) > 42 or (known.max() > 60 and np.median(known) > 30)))


def _inches(rain: np.ndarray) -> bool:
    """A year of less rain than in a desert, though it rains as often as elsewhere."""
    known = rain[~np.isnan(rain)]
    wet = known > 0
    often = known.size >= 30 and wet.mean() > 0.15
    return bool(often and known.sum() * 365 / known.size < YEAR_RAIN and known.max() < 0.008)
