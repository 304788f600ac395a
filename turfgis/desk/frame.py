"""What stands around every page: its head, the way to the other pages, and how figures and words are shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from functools import cache, partial
from typing import TYPE_CHECKING, Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from turfgis.desk.words import ENGLISH, day, languages, number, refigured, said, weekday
from turfgis.desk.words.sentences import IS_DAYS, figures_said, retold, told_in, value_said
from turfgis.errors import InputError, TurfgisError

if TYPE_CHECKING:
    from turfgis.desk.opened import Desk

# Address and name of each page, in the order of the list at the side.
PAGES: tuple[tuple[str, str], ...] = (
    ("/", "Areas"),
    ("/draw", "Draw"),
    ("/order", "Order"),
    ("/year", "The year"),
    ("/whatif", "What if"),
    ("/day", "The day"),
    ("/water", "Water"),
    ("/tanks", "Tanks"),
    ("/places", "Places"),
    ("/stores", "Stores and machines"),
    ("/findings", "Findings"),
    ("/start", "Files"),
    ("/versions", "Versions"),
    ("/learn", "Learn the course"),
)
THEMES = ("auto", "light", "dark")
UNITS = ("metric", "us")


@dataclass(frozen=True)
class Look:
    """
    How one browser wants things shown; kept in cookies of its own.

    Attributes
    ----------
    units
        ``metric`` or ``us``; empty for what the settings of the course say.
    language
        Code of the language.
    theme
        ``auto``, ``light`` or ``dark``.
    """

    units: str = ""
    language: str = ENGLISH
    theme: str = "auto"


def look_of(request: Request) -> Look:
    """What the cookies of a request ask for; anything unknown is passed over."""
    units, language = request.cookies.get("look_units", ""), request.cookies.get("look_language", "")
    theme = request.cookies.get("look_theme", "")
    if language not in languages():
        wanted = request.headers.get("accept-language", "").split(",")[0].split("-")[0].strip().lower()
        language = wanted if wanted in languages() else ENGLISH
    return Look(units if units in UNITS else "", language, theme if theme in THEMES else "auto")


def desk_of(request: Request) -> Desk:
    """The desk that a request is made to."""
    return request.app.state.desk


def day_asked(text: str) -> date:
    """
    A day out of the address of a page.

    Raises
    ------
    InputError
        It is none.
    """
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputError(f"'{text}' is no day; write it like 2027-05-14") from None


def units_of(request: Request) -> str:
    """How figures are shown to whoever asks."""
    return look_of(request).units or desk_of(request).course.units


@cache
def templates() -> Environment:
    """The pages as they lie in the package; every value put into one is escaped."""
    return Environment(
        loader=PackageLoader("turfgis.desk"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def page(request: Request, template: str, status: int = 200, **values: Any) -> HTMLResponse:
    """
    One page in its frame.

    Parameters
    ----------
    request
        Who asks, and for which address.
    template
        Name of a file in ``templates/``.
    status
        Of the answer.
    values
        What the template shows.
    """
    desk, look = desk_of(request), look_of(request)
    name, units = "", look.units or "metric"
    if not desk.is_empty:
        with suppress(TurfgisError, OSError):  # the page itself says what is wrong
            name, units = desk.course.name, look.units or desk.course.units
    english = said("in English", look.language)
    text = (
        templates()
        .get_template(template)
        .render(
            {
                "say": partial(said, language=look.language),
                "figure": partial(number, language=look.language),
                "as_written": partial(refigured, language=look.language),
                "retold": partial(retold, language=look.language),
                "weekday": partial(weekday, language=look.language),
                "in_english": Markup("" if look.language == ENGLISH else ' lang="en"'),  # on what is never translated
                "english_only": "" if look.language == ENGLISH else f" ({english})",
                "look": look,
                "units": units,
                "languages": languages(),
                "pages": PAGES,
                "here": request.url.path,
                "course_name": name,
                "token": request.app.state.keys.token,
                **values,
            }
        )
    )
    return HTMLResponse(text, status_code=status)


def nothing(
    request: Request, title: str, words: str, *, write: str = "", links: Sequence[tuple[str, str]] = ()
) -> HTMLResponse:
    """
    A page that has nothing to show yet.

    Parameters
    ----------
    request, title
        Who asks, and for what.
    words
        What is missing.
    write
        Lines of the settings file with which it begins.
    links
        Address and name of the pages on which it is added.
    """
    return page(request, "nothing.html", title=title, words=words, write=write, links=links)


def not_yet(request: Request) -> HTMLResponse:
    """A page that says that the one asked for is being made, and asks again by itself."""
    answer = page(request, "waiting.html")
    answer.headers["refresh"] = "2"
    return answer


def _words(text: str, language: str) -> str:
    """What stands in a cell: words of our own in the language, days as it writes them, names as they are."""
    known = said(text, language)
    return figures_said(text, language) if known == text and IS_DAYS.fullmatch(text) else known


def table(
    rows: Sequence[Mapping[str, Any]],
    columns: Sequence[Any],
    units: str,
    language: str,
    *,
    totals: Sequence[Mapping[str, Any]] = (),
    links: Mapping[str, str] | None = None,
    caption: str = "",
) -> dict[str, Any]:
    """
    Rows in SI as a table for a template, with the same columns, units and decimals as the tables of the commands.

    Parameters
    ----------
    rows, columns, units, totals
        As for :func:`turfgis.reports.screen.text_table`.
    language
        In which headings and figures are written.
    links
        Key of a column -> address, in which ``{}`` stands for the value of the row.
    caption
        What readers who do not see the table hear first.
    """
    from turfgis.reports.columns import column
    from turfgis.reports.tables import is_missing

    cols = [column(one) if isinstance(one, str) else one for one in columns]

    def cell(row: Mapping[str, Any], col: Any) -> dict[str, Any]:
        value = row.get(col.key)
        missing = is_missing(value)
        if col.kind == "":
            text = "" if missing else day(value, language) if isinstance(value, date) else _words(str(value), language)
        else:
            text = "–" if missing else number(col.value(value, units), col.decimals(units), language)
        link = "" if missing or not links or col.key not in links else links[col.key].format(value)
        return {"text": text, "figure": col.kind != "", "link": link}

    return {
        "caption": value_said(caption, language) if caption else "",
        "heads": [
            {"text": told_in(col.head, language), "unit": col.unit(units), "figure": col.kind != ""} for col in cols
        ],
        "rows": [[cell(row, col) for col in cols] for row in rows],
        "totals": [[cell(row, col) for col in cols] for row in totals],
    }
