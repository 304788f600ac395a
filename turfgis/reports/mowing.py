"""Mowing minutes for the screen."""

import textwrap
from collections.abc import Sequence

from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.columns import Column
from turfgis.reports.screen import WIDEST, text_table
from turfgis.reports.tables import Row

_FIGURES = ["width_m", "net_m2", "cutting_minutes", "clean_up_minutes", "minutes"]


def mowing_text(rows: Sequence[Row], units: str) -> str:
    """
    Minutes for one cut as a table, with the warning that belongs to them.

    Parameters
    ----------
    rows
        By surface and machine, or by patch and machine.
    units
        ``metric`` or ``us``.
    """
    first: list[str | Column] = ["patch"] if rows and "patch" in rows[0] else ["surface", "patches"]
    table = text_table(rows, [*first, "machine", *_FIGURES], units)
    warnings = [
        line
        for text in sheet_cautions("mowing")
        for line in textwrap.wrap(text, WIDEST, initial_indent="- ", subsequent_indent="  ")
    ]
    return "\n".join([table, "By the handbook: area over field capacity, and one clean-up pass.", *warnings])
