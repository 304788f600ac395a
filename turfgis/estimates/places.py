"""Which places are due on a day, in the order in which they should be seen to, and the history of each."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import Any

import geopandas as gpd
import pandas as pd

from turfgis.errors import InputError
from turfgis.estimates.course import Course
from turfgis.estimates.programme import day_after
from turfgis.layers.place_words import KINDS
from turfgis.layers.records import near
from turfgis.settings.when import Interval

USUAL_URGENCY = 3  # where a place has none it stands among those of the middle
# Why a place stands in the list, in the order in which it is read.
STATES = ("overdue", "due", "later", "no date", "closed")


def watched_places(
    course: Course,
    day: date,
    until: date | None = None,
    *,
    due: bool = False,
    kinds: Collection[str] = (),
) -> gpd.GeoDataFrame:
    """
    Places as they stand on a day.

    Parameters
    ----------
    course
        A course with layers of places.
    day
        The day that is asked for.
    until
        Last day that still counts as due; the same day where left out.
    due
        Only what is due by then, or has no date.
    kinds
        Only these kinds; all where empty.

    Returns
    -------
    The table of :class:`turfgis.measure.places.Places` with ``due`` (the day, or None), ``state`` (``overdue``,
    ``due``, ``later``, ``no date`` or ``closed``) and ``days_overdue`` (below zero before it is due): first what is
    overdue or due, by urgency and day, then what has no date, then the rest by day. A place whose task is done and that
    nothing asks to look at again is closed.

    Raises
    ------
    InputError
        The days are in the wrong order, or a kind is not known.
    """
    last = until or day
    if last < day:
        raise InputError(f"until {last} lies before {day}")
    for kind in kinds:
        if kind not in KINDS:
            raise InputError(f"'{kind}' is no kind of place{near(kind, KINDS)} (known: {', '.join(KINDS)})")
    table = course.places.table
    rows = pd.DataFrame(table.drop(columns="geometry")).to_dict("records")
    days = [due_day(row) for row in rows]
    states = [_state(one, row, day, last) for one, row in zip(days, rows, strict=True)]
    over = [
        None if one is None or state == "closed" else (day - one).days for one, state in zip(days, states, strict=True)
    ]
    whole = table.assign(
        due=pd.Series(days, index=table.index, dtype=object),
        state=pd.Series(states, index=table.index, dtype=object),
        days_overdue=pd.Series(over, index=table.index, dtype=object),
    )
    wanted = [
        (not kinds or kind in kinds) and (not due or state in ("overdue", "due", "no date"))
        for kind, state in zip(whole["kind"], whole["state"], strict=True)
    ]
    chosen = whole.loc[wanted]
    shown = pd.DataFrame(chosen.drop(columns="geometry")).to_dict("records")
    order = sorted(range(len(shown)), key=lambda at: (_rank(shown[at]), at))
    return gpd.GeoDataFrame(chosen.iloc[order].reset_index(drop=True), geometry="geometry", crs=table.crs)


def due_day(row: dict[str, Any]) -> date | None:
    """The day by which a place should be looked at again; None where nothing says it."""
    if row["look_again"] is not None:
        return row["look_again"]
    if row["every"] is None or row["seen"] is None:
        return None
    count, unit = row["every"]
    return day_after(row["seen"], Interval(count=count, unit=unit))


def place_history(course: Course, name: str) -> pd.DataFrame:
    """
    All looks at a place, the oldest first.

    Parameters
    ----------
    course
        A course with layers of places.
    name
        Its id.

    Raises
    ------
    InputError
        There is no such place.
    """
    looks = course.places.looks
    there = list(dict.fromkeys(looks["place"]))
    if name not in there:
        raise InputError(f"there is no place '{name}'{near(name, there)} ('turfgis places' lists them)")
    return pd.DataFrame(looks.loc[looks["place"] == name]).reset_index(drop=True)


def _state(due: date | None, row: dict[str, Any], day: date, last: date) -> str:
    if due is None:
        return "closed" if row["done"] is not None and row["task"] is None else "no date"
    return "overdue" if due < day else "due" if due <= last else "later"


def _rank(row: dict[str, Any]) -> tuple:
    """By urgency and day where it is time, by day where it is not."""
    group = {"overdue": 0, "due": 0, "no date": 1, "later": 2, "closed": 3}[row["state"]]
    urgency = row["urgency"] or USUAL_URGENCY
    day = row["due"] or date.max
    return (group, urgency, day) if group < 2 else (group, day, urgency)
