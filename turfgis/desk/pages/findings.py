"""What is wrong with the drawing, and which figures lie outside published ranges; as ``turfgis check`` lists it."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from turfgis.desk.files import file_answer
from turfgis.desk.frame import desk_of, look_of, not_yet, page, table, units_of

if TYPE_CHECKING:
    from turfgis.layers.findings import Finding

WORDS = {"error": "errors", "warning": "warnings", "note": "notes"}


def show_findings(request: Request) -> Response:
    """Errors first, each with where it was found, then ground that was drawn twice."""
    from turfgis.layers.findings import CODES
    from turfgis.measure.overlaps import by_surface, measure_overlaps
    from turfgis.reports.outputs import every_finding
    from turfgis.reports.tables import plain_rows

    desk = desk_of(request)
    findings = desk.soon("findings", every_finding)
    if findings is None:
        return not_yet(request)
    twice = plain_rows(desk.kept("twice", lambda course: by_surface(measure_overlaps(course.measured))))
    return page(
        request,
        "findings.html",
        groups=[
            (WORDS[level], sum(one.level == level for one in findings), _alike(findings, level, CODES))
            for level in WORDS
        ],
        twice=table(
            twice,
            ["keeps", "under", "pairs", "area_m2"],
            units_of(request),
            look_of(request).language,
            totals=[{"keeps": "total", **{key: sum(row[key] for row in twice) for key in ("pairs", "area_m2")}}],
            caption="Ground drawn twice",
        ),
    )


def _alike(findings: list[Finding], level: str, meanings: dict[str, str]) -> list[tuple[str, list[Finding]]]:
    """Findings of a level with what they mean, those of one meaning together."""
    alike: dict[str, list[Finding]] = {}
    for one in findings:
        if one.level == level:
            alike.setdefault(meanings.get(one.code, one.code), []).append(one)
    return list(alike.items())


def send_findings(request: Request) -> Response:
    """The same list as a file."""
    from turfgis.reports.outputs import every_finding
    from turfgis.reports.tables import csv_text

    findings = desk_of(request).kept("findings", every_finding)
    return file_answer("findings.csv", lambda: csv_text([asdict(one) for one in findings]).encode("utf-8"))


ROUTES = (Route("/findings", show_findings), Route("/findings.csv", send_findings))
