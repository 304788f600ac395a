"""The committee's page for a screen: one file, no script, nothing fetched, from the same words as the printed page."""

import base64
import hashlib
from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import Any

_PROGRAMMES = ("name", "bar", "cost", "spread", "share")
_STYLE = """
:root { color-scheme: light }
body { font: 17px/1.4 Georgia, "Times New Roman", serif; color: #000; background: #fff; max-width: 46rem;
  margin: 0 auto; padding: 1rem }
h1 { font-size: 1.7rem; margin: 0 }
header { border-bottom: 3px solid #000; padding-bottom: .3rem }
h2 { font-size: .95rem; letter-spacing: .04em; text-transform: uppercase; margin: 1.8rem 0 .3rem }
.total { font-size: 1.2rem; margin: .8rem 0 0 }
.total b { font-size: 2.1rem }
.scroll { overflow-x: auto }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums lining-nums }
th, td { padding: .25rem .35rem; border-top: 1px solid #999; text-align: right; font-weight: normal;
  white-space: nowrap }
thead th { border: 0; font-size: .8rem }
th:first-child { text-align: left; white-space: normal; overflow-wrap: break-word }
td.bar { width: 30%; min-width: 2.5rem }
td.bar svg { display: block; width: 100%; height: .85rem }
rect { fill: #999; stroke: #000; stroke-width: 1; vector-effect: non-scaling-stroke }
tr.sum th, tr.sum td { border-top: 2px solid #000; font-weight: bold }
.small, footer { font-size: .85rem }
footer { border-top: 1px solid #999; margin-top: 1.8rem; padding-top: .4rem }
@media (max-width: 30rem) { .wide { display: none } body { padding: .7rem } table { font-size: .93rem }
  th, td { padding: .25rem .2rem } td.bar { width: 20% } }
@media print { body { font-size: 11px } h2 { margin-top: .8rem } tr { break-inside: avoid } }
"""


def committee_html(page: Mapping[str, Any]) -> str:
    """
    The page as one HTML file.

    Parameters
    ----------
    page
        What :func:`turfgis.reports.committee.committee_page` gives.

    Returns
    -------
    HTML. All words are escaped, and the policy in its head lets nothing be fetched and no script run.
    """
    style = base64.b64encode(hashlib.sha256(_STYLE.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{style}'; base-uri 'none'; form-action 'none'"
    title, course, currency = (escape(page[key]) for key in ("title", "course", "currency"))
    hours = bool(page["hours"])
    parts = [
        f"<header><h1>{title}</h1>{course}</header>",
        f'<p class="total">The year will cost<br><b>{escape(page["total"])}</b> {currency} ± {escape(page["spread"])}',
        f"<br>and {escape(page['hours'])} hours of people</p>" if hours else "</p>",
        f"<p>{escape(page['stock'])}</p>" if page["stock"] else "",
        "<h2>Where the money goes</h2>",
        _table(page["programmes"], [*_PROGRAMMES, *_if(page["last"], "last"), *_if(hours, "hours")], page, total=True),
        "<h2>When it is spent</h2>",
        _table(page["months"], ["name", "bar", "cost", *_if(hours, "hours")], page),
        "<h2>What it is made of</h2>",
        _table([*page["made_of"], {"name": "total", "cost": page["total"]}], ["name", "cost"], page, last=True),
        "<h2>Year by year</h2>",
        _table(page["years"], ["name", "bar", "cost", "spread"], page),
        '<p class="small">Years ahead: the same work, an empty yard, and prices that grow as the club expects.</p>',
        *(
            []
            if not page["why"]
            else ["<h2>Why it changed</h2>", _table(page["why"], ["name", "cost"], page, last=True)]
        ),
        "<h2>Please note</h2>",
        *(f'<p class="small">{escape(words)}</p>' for words in page["cautions"]),
        f"<footer>{escape(page['footer'])}</footer>",
    ]
    body = "\n".join(part for part in parts if part)
    return (
        '<!DOCTYPE html>\n<html lang="en-GB">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}, {course}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


def _if(wanted: object, key: str) -> list[str]:
    return [key] if wanted else []


def _table(
    rows: Sequence[Mapping[str, Any]],
    keys: Sequence[str],
    page: Mapping[str, Any],
    *,
    total: bool = False,
    last: bool = False,
) -> str:
    """Rows with their bars; a last row of sums is added (``total``) or is already there (``last``)."""
    heads = {"name": "", "bar": "", "cost": page["currency"], "last": page["last_name"]}
    heads |= {"spread": "±", "share": "share", "hours": "hours"}
    head = "".join(f"<th{_wide(key)}>{escape(heads[key])}</th>" for key in keys)
    marked = [(row, last and at + 1 == len(rows)) for at, row in enumerate(rows)]
    if total:
        sums = {"name": "total", "bar": None, "cost": page["total"], "share": ""}
        marked.append(({**{key: page.get(key, "") for key in keys}, **sums}, True))
    lines = "\n".join(_line(row, keys, strong) for row, strong in marked)
    return f'<div class="scroll"><table><thead><tr>{head}</tr></thead>\n<tbody>\n{lines}\n</tbody></table></div>'


def _line(row: Mapping[str, Any], keys: Iterable[str], strong: bool) -> str:
    cells = []
    for key in keys:
        if key == "name":
            cells.append(f'<th scope="row">{escape(row[key])}</th>')
        elif key == "bar":
            cells.append(f'<td class="bar">{_bar(row[key])}</td>')
        else:
            cells.append(f"<td{_wide(key)}>{escape(row[key])}</td>")
    opening = '<tr class="sum">' if strong else "<tr>"
    return f"{opening}{''.join(cells)}</tr>"


def _wide(key: str) -> str:
    """What a small telephone leaves out: it is on paper too."""
    return ' class="wide"' if key == "share" else ""


def _bar(share: float | None) -> str:
    """A bar as shapes, so that no style stands in the body; its figure stands beside it."""
    if share is None:
        return ""
    drawn = f'<rect x="0.5" y="0.5" width="{max(99 * share, 0.3):.2f}" height="9"/>'
    return f'<svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">{drawn}</svg>'
