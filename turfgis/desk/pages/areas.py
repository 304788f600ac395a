"""The first page: the map, and the areas by surface, hole, part or patch."""

from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from turfgis.desk.frame import desk_of, look_of, page, table, units_of

BY = ("surface", "hole", "part", "patch")


def show_areas(request: Request) -> Response:
    """Areas as ``turfgis areas`` measures them."""
    from turfgis.reports.screen import AREA_COLUMNS
    from turfgis.reports.tables import SLOPES, TRUE, areas_rows, areas_totals

    desk = desk_of(request)
    if desk.is_empty:
        return RedirectResponse("/start", status_code=303)
    by = request.query_params.get("by", "surface")
    by = by if by in BY else "surface"
    course, units, language = desk.course, units_of(request), look_of(request).language
    patches = course.measured.with_covered(course.with_slopes(course.measured.patches))
    columns = list(AREA_COLUMNS[by])
    if TRUE in patches:
        columns = [*columns, TRUE, *SLOPES]
    *_, total = areas_totals(patches) or [{}]
    first = AREA_COLUMNS[by][0]
    return page(
        request,
        "areas.html",
        by=by,
        choices=BY,
        areas=table(
            areas_rows(patches, by, course.drawing.order),
            columns,
            units,
            language,
            totals=[{**total, first: "total", "cut_mm": None, "surveyed": None}],
            caption="Areas",
        ),
        note=course.accuracy_note(),
        surveyed=course.surveyed(),
        attribution=course.measured.attribution,
        findings=len([one for one in course.findings if one.level != "note"]),
    )


def show_map(request: Request) -> Response:
    """The map as ``turfgis map`` writes it; it carries a policy of its own, so none is laid over it."""
    from turfgis.reports.outputs import map_page, mowing_by_patch

    units = units_of(request)
    made = desk_of(request).kept(("map", units), lambda course: map_page(course, units, mowing_by_patch(course)))
    return HTMLResponse(made, headers={"content-security-policy": "frame-ancestors 'self'"})


ROUTES = (Route("/", show_areas), Route("/map.html", show_map))
