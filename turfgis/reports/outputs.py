"""Everything that can be handed out about a course, made from the same few tables."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from datetime import date
from functools import partial
from io import BytesIO
from typing import TYPE_CHECKING

import geopandas as gpd
import pandas as pd

from turfgis.errors import LayerError
from turfgis.estimates.course import Course, survey_words
from turfgis.estimates.mowing import estimate_mowing, mowers_of, mowing_by_surface
from turfgis.estimates.order import Order
from turfgis.estimates.rounds import carrier_of, with_driving
from turfgis.layers.findings import Finding, errors_first
from turfgis.measure.overlaps import measure_overlaps, overlap_findings
from turfgis.reports import tables
from turfgis.reports.cautions import sheet_cautions
from turfgis.reports.facts import Facts, plain_words
from turfgis.reports.layers import write_patches
from turfgis.reports.map import render_map
from turfgis.reports.map_heads import Thrown, heads_told
from turfgis.reports.map_places import Watched
from turfgis.reports.map_strips import strips_over
from turfgis.reports.map_underlays import Underlay
from turfgis.reports.orders import in_order, order_json, weight
from turfgis.reports.readings import readings_under
from turfgis.reports.relief_map import relief_over, relief_picture, relief_underlay, slope_facts
from turfgis.reports.sheets import area_schedule_pdf, drop_list_pdf, order_sheet_pdf
from turfgis.reports.workbook import write_workbook
from turfgis.reports.write import Content, file_names
from turfgis.units import shown

if TYPE_CHECKING:  # a single vector file has no year, and does not wait for it
    from turfgis.estimates.change import Change
    from turfgis.estimates.heads import Cover
    from turfgis.estimates.slopes import Steepness
    from turfgis.estimates.takeoff import Takeoff

DEGREES = "EPSG:4326"
CUT_INK = "#7a1f5c"  # lines that say which way to cut


def course_facts(course: Course, units: str) -> Facts:
    """What the heads and feet of all sheets say about a course."""
    return Facts(
        name=course.name,
        units=units,
        currency=course.settings.currency if course.settings else "",
        surveyed=course.surveyed(),
        accuracy_note=course.accuracy_note(),
        attribution=course.measured.attribution,
    )


def mowing_by_patch(course: Course) -> pd.DataFrame | None:
    """Mowing minutes by patch, driving included; None where the settings describe no mower."""
    if course.settings is None or not any(one.mows for one in course.settings.machine.values()):
        return None
    mowers = mowers_of(course)
    carriers = {one.name: carrier_of(course, one) for one in mowers}
    return with_driving(course, estimate_mowing(course, mowers), carriers)[0]


def all_orders(course: Course, units: str, group: str | None = None, takeoff: Takeoff | None = None) -> list[Order]:
    """Every order, one for each group of jobs and material; none where the settings have no jobs that use any."""
    settings = course.settings
    if settings is None:
        return []
    from turfgis.estimates.orders import orders_for
    from turfgis.estimates.place_work import planned_settings

    using = [job for job in planned_settings(course).job if job.uses]
    groups = [group] if group is not None else list(dict.fromkeys(job.group for job in using))
    return [order for name in groups for order in orders_for(course, name, None, units, takeoff)] if using else []


def every_finding(course: Course, takeoff: Takeoff | None = None, *, photo: bool = True) -> list[Finding]:
    """All findings about the drawing, the settings and the year, and what was drawn twice; errors first."""
    found = [
        *course.findings,
        *(course.photo_findings if photo else ()),
        *course.reading_findings,
        *course.head_findings,
    ]
    if course.settings is not None:
        from turfgis.estimates.outside import published_findings
        from turfgis.estimates.place_work import place_findings
        from turfgis.reports.spray_files import spray_findings

        found += [*place_findings(course), *published_findings(course, takeoff)]
        found += [*course.water_findings, *spray_findings(course)]
    return errors_first([*found, *overlap_findings(measure_overlaps(course.measured))])


def map_page(
    course: Course,
    units: str,
    mowing: pd.DataFrame | None = None,
    orders: Iterable[Order] = (),
    *,
    told: pd.DataFrame | None = None,
    over: gpd.GeoDataFrame | None = None,
    photo: bool = True,
    title: str = "",
    steepness: Steepness | None = None,
) -> str:
    """
    The area map as one HTML page.

    Parameters
    ----------
    course, units
        The course and how figures are shown.
    mowing, orders
        What a tap on a patch tells besides its area.
    told
        More of that: ``patch``, ``label`` and ``text``.
    over
        Lines and areas drawn over the course: ``label``, ``ink`` and shape.
    photo
        Whether the photo of the settings lies under the map.
    title
        In place of the name of the course.
    steepness
        Machines beside their limits of slope.
    """
    measured, facts = course.measured, course_facts(course, units)
    ground, cover = relief_picture(course, units), known_cover(course)
    slopes = slope_facts(course, steepness, units)
    wanted = course.settings.map if course.settings else None
    background = measured.background.to_crs(DEGREES)
    if cover:  # heads are shown with what they throw
        background = background.loc[(background["role"] != "heads").to_numpy()]
    return render_map(
        title=title or facts.name,
        patches=measured.patches.to_crs(DEGREES),
        facts=pd.concat(
            [
                *(slopes, _patch_facts(mowing, orders, units)),
                *([] if told is None else [told]),
                *([heads_told(cover, units)] if cover else []),
            ]
        ),
        hole_lines=measured.hole_lines.to_crs(DEGREES),
        background=_with_over(
            background,
            over,
            relief_over(ground, steepness, units),
            strips_over(course, units),
        ),
        surfaces=list(course.drawing.order),
        units=units,
        surveyed=facts.surveyed,
        accuracy_note=facts.accuracy_note,
        cautions=sheet_cautions("map"),
        attribution=facts.attribution,
        tiles=(wanted.tiles, wanted.tiles_credit) if wanted and wanted.tiles else None,
        pictures=[
            *([photo_under(course, units)] if photo and course.photo and course.photo.pictures else []),
            *([relief_underlay(ground)] if ground else []),
            *readings_under(course),
        ],
        places=watched_on_map(course) if course.has_places else None,
        heads=thrown_on_map(cover, measured.patches) if cover else None,
    )


def known_cover(course: Course) -> Cover | None:
    """How heads cover the course; None where no layer holds any, or where none can be read, which the check tells."""
    from turfgis.estimates.heads import cover_of

    try:
        return cover_of(course)
    except LayerError:
        return None


def thrown_on_map(cover: Cover, patches: gpd.GeoDataFrame) -> Thrown:
    """Heads, and the ground that none reaches, as the map shows them."""
    from turfgis.measure.head_shapes import missed_ground

    heads, missed = cover.heads.heads, missed_ground(cover.heads.heads, patches)
    return Thrown(
        heads.to_crs(DEGREES), missed.to_crs(DEGREES), float(cover.table["missed_m2"].to_numpy(dtype=float).sum())
    )


def place_files(course: Course, units: str) -> dict[str, Content]:
    """Places week by week for the wall, as rows, and for any GIS; without a day, so that a report reads no clock."""
    from turfgis.estimates.places import watched_places
    from turfgis.reports.place_layers import write_places
    from turfgis.reports.places import place_rows
    from turfgis.reports.places_page import places_pdf

    places = watched_places(course, date.min)
    rows = [{**row, "days_overdue": None} for row in place_rows(places)]
    return {
        "places.pdf": places_pdf(rows, course_facts(course, units), units),
        "places.csv": tables.csv_text(rows).encode("utf-8"),
        "places.gpkg": partial(write_places, places, course.places.looks),
    }


def watched_on_map(course: Course) -> Watched:
    """What needs watching, as the map shows it: without a day, so that the same layers give the same map."""
    from turfgis.estimates.places import watched_places
    from turfgis.measure.photo_small import small_photo
    from turfgis.measure.places import photo_file
    from turfgis.reports.places import place_rows

    places = watched_places(course, date.min)
    rows = place_rows(places)
    photos = {}
    for name in dict.fromkeys(row["photo"] for row in rows if row["photo"]):
        file = photo_file(course.drawing.folder, name)
        small = small_photo(file) if file else None
        if small:
            photos[name] = small
    return Watched(rows, places.geometry.to_crs(DEGREES).tolist(), photos)


def cut_over(course: Course, day: date, directions: int | None = None) -> gpd.GeoDataFrame:
    """
    The way each patch is cut on a day, as lines over the map.

    Parameters
    ----------
    course, day
        The course and the day.
    directions
        How many directions take turns; None for the usual number.
    """
    from turfgis.estimates.rota import DIRECTIONS, cut_lines

    lines = cut_lines(course, mowers_of(course), day, directions or DIRECTIONS)
    said = {"label": f"Direction of cut, {survey_words([day.isoformat()])}", "ink": CUT_INK}
    return gpd.GeoDataFrame(lines.assign(**said), geometry="geometry", crs=lines.crs)


def photo_under(course: Course, units: str) -> Underlay:
    """The photo of a course as the map shows it."""
    photo, said = course.photo, course.settings.photo if course.settings else None
    assert photo is not None
    assert said is not None
    length = shown("width", units)
    grain = f"{length.text(photo.pixel_m)} a pixel"
    if photo.green_pixel_m < photo.pixel_m:
        grain += f", {length.text(photo.green_pixel_m)} on greens"
    taken = f"taken {survey_words([said.taken.isoformat()])}" if said.taken else ""
    return Underlay(
        label="Air photo",
        note="; ".join(filter(None, [taken, grain])),
        credit=said.credit,
        images=[(picture.bounds, picture.content, "image/jpeg") for picture in photo.pictures],
        on=True,
    )


def _with_over(background: gpd.GeoDataFrame, *over: gpd.GeoDataFrame | None) -> gpd.GeoDataFrame:
    more = [one.to_crs(DEGREES) for one in over if one is not None and not one.empty]
    if not more:
        return background
    return gpd.GeoDataFrame(pd.concat([background, *more], ignore_index=True), geometry="geometry", crs=DEGREES)


def _patch_facts(mowing: pd.DataFrame | None, orders: Iterable[Order], units: str) -> pd.DataFrame:
    """Lines for single patches: what mows them and how long that takes, and what each order brings."""
    rows: list[dict[str, str]] = []
    width, minutes = shown("width", units), shown("minutes", units)
    if mowing is not None:
        for row in mowing.to_dict("records"):
            machine = f"{plain_words(row['machine'])}, {width.text(row['width_m'])}"
            text = f"{minutes.text(row['minutes'] * 60)} with {machine}"
            rows.append({"patch": row["patch"], "label": "One cut", "text": text})
    for order in orders:
        how = weight(order, units)
        dry = " dry" if order.kind == "sand" else ""
        label = plain_words(order.material).capitalize() + (f", {plain_words(order.group)}" if order.group else "")
        rows += [
            {"patch": line.patch, "label": label, "text": how.text(line.dry_kg) + dry} for line in in_order(order.lines)
        ]
    return pd.DataFrame(rows, columns=["patch", "label", "text"])


def workbook(
    course: Course,
    units: str,
    mowing: pd.DataFrame | None,
    orders: list[Order],
    takeoff: pd.DataFrame | None,
    findings: list[Finding],
) -> bytes:
    """Area schedule and take-off as a workbook."""
    buffer, cover = BytesIO(), known_cover(course)
    write_workbook(
        buffer,
        facts=course_facts(course, units),
        patches=course.measured.with_covered(course.with_slopes(course.measured.patches)),
        units=units,
        order=course.drawing.order,
        orders=orders,
        mowing=mowing_by_surface(mowing) if mowing is not None else [],
        takeoff=takeoff,
        findings=findings,
        heads=cover,
    )
    return buffer.getvalue()


def budget_files(course: Course, takeoff: Takeoff, units: str, change: Change | None = None) -> dict[str, Content]:
    """
    The budget for the committee, for the planner and for programs; nothing where no job has a price.

    Parameters
    ----------
    course, takeoff, units
        The course, its year, and how figures are shown.
    change
        What changed since last year, where that is known.

    Returns
    -------
    File name -> content.
    """
    from turfgis.estimates.budget import estimate_budget
    from turfgis.reports.budget import budget_json, budget_text
    from turfgis.reports.change import change_causes, change_json, last_year
    from turfgis.reports.committee import committee_page, committee_pdf
    from turfgis.reports.committee_html import committee_html
    from turfgis.reports.planner import planner_workbook
    from turfgis.reports.spray_files import with_broken_labels

    budget = with_broken_labels(estimate_budget(takeoff), course, units)
    facts = course_facts(course, units)
    if not budget.total:
        return {}
    last, why = (last_year(change), change_causes(change)) if change else (None, [])
    before = change.old if change else None
    page = committee_page(budget, takeoff, facts, units, last=last, why=why, before=before)
    text = course.path.read_text(encoding="utf-8-sig")
    return {
        "budget_committee.pdf": committee_pdf(budget, takeoff, facts, units, last=last, why=why, before=before),
        "budget_committee.html": committee_html(page).encode("utf-8"),
        "budget_planner.xlsx": planner_workbook(budget, takeoff, facts, units, settings_text=text, change=change),
        "budget.txt": budget_text(budget, "month", units).encode("utf-8"),
        "budget.json": tables.json_text(budget_json(budget)).encode("utf-8"),
        **({"change.json": tables.json_text(change_json(change)).encode("utf-8")} if change else {}),
    }


def hours_files(takeoff: Takeoff) -> dict[str, Content]:
    """Hours that the year needs of people against those there are; nothing where no people or no year are given."""
    from turfgis.estimates.hours import estimate_hours
    from turfgis.reports.hours import hours_rows, hours_text

    if not takeoff.settings.person or not (takeoff.settings.year or any(takeoff.months)):
        return {}
    hours = estimate_hours(takeoff)
    return {
        "hours.txt": hours_text(hours, takeoff.settings.currency).encode("utf-8"),
        "hours.csv": tables.csv_text(hours_rows(hours)).encode("utf-8"),
    }


def steepness_of(course: Course) -> Steepness | None:
    """Machines beside their limits of slope; None where there are no heights, or no machine has a limit."""
    settings = course.settings
    limited = settings is not None and any(one.slope_limit is not None for one in settings.machine.values())
    if not limited or course.relief is None or not course.relief.known:
        return None
    from turfgis.estimates.slopes import estimate_steepness

    return estimate_steepness(course)


def slope_files(course: Course, steepness: Steepness, units: str) -> dict[str, Content]:
    """The slope sheet and its rows."""
    from turfgis.reports.slopes import slope_pdf

    rows = tables.plain_rows(steepness.rows)
    return {
        "slope_sheet.pdf": slope_pdf(steepness, course_facts(course, units), units),
        "slope.csv": tables.csv_text(rows).encode("utf-8"),
        "slope.json": tables.json_text(rows).encode("utf-8"),
    }


def all_outputs(
    course: Course,
    units: str,
    year: Takeoff | None = None,
    *,
    group: str | None = None,
    date: str = "",
    hopper_kg: float | None = None,
    change: Change | None = None,
    photo: bool = True,
) -> dict[str, Content]:
    """
    All sheets, tables and the map.

    Parameters
    ----------
    course, units
        The course and how figures are shown.
    year
        Its take-off, as of :func:`turfgis.estimates.takeoff.takeoff_of`; without one nothing that hangs on jobs is
        handed out.
    group
        Only the orders of this group of jobs.
    date
        Day to be printed on orders and drop lists; a line to write on where it is empty.
    hopper_kg
        What the spreader holds, for the drop lists. [kg]
    change
        What changed since last year, for the pages of the budget.
    photo
        Whether the photo of the settings lies under the map.

    Returns
    -------
    File name -> content, or what writes it.
    """
    facts = course_facts(course, units)
    patches = course.measured.with_covered(course.with_slopes(course.measured.patches))
    findings = every_finding(course, year, photo=photo)
    mowing, orders = mowing_by_patch(course), all_orders(course, units, group, year)
    takeoff, steepness = year.table("month") if year else None, steepness_of(course)
    rows = tables.areas_rows(patches, by="patch", order=course.drawing.order)
    files: dict[str, Content] = {
        "map.html": map_page(course, units, mowing, orders, photo=photo, steepness=steepness).encode("utf-8"),
        "area_schedule.pdf": area_schedule_pdf(patches, facts, units, order=course.drawing.order),
        "areas.csv": tables.csv_text(rows).encode("utf-8"),
        "areas.json": tables.json_text(rows).encode("utf-8"),
        "workbook.xlsx": workbook(course, units, mowing, orders, takeoff, findings),
        "patches.gpkg": partial(write_patches, course.measured, more=course.slopes),
        "findings.csv": tables.csv_text([asdict(finding) for finding in findings]).encode("utf-8"),
    }
    if any(note.role == "earlier" for note in course.drawing.layers):
        from turfgis.reports.drift_page import drift_files

        files |= drift_files(course, units)
    files |= slope_files(course, steepness, units) if steepness else {}
    cover = known_cover(course)
    files |= heads_files(cover, facts, units) if cover else {}
    files |= place_files(course, units) if course.has_places else {}
    if course.water is not None:
        from turfgis.reports.water_page import water_files

        files |= water_files(course, units)
    if year is not None and takeoff is not None:
        from turfgis.reports.programme import programme_pdf
        from turfgis.reports.spray_files import spray_files, spraying_of

        needs = tables.plain_rows(takeoff)
        files["takeoff.csv"] = tables.csv_text(needs).encode("utf-8")
        files["takeoff.json"] = tables.json_text(needs).encode("utf-8")
        files |= budget_files(course, year, units, change)
        files |= hours_files(year)
        files["programme.pdf"] = programme_pdf(year, facts, units)
        files |= supplier_files(course, year, units, group=group, date=date)
        spraying = spraying_of(course, group)
        if spraying is not None:
            files |= spray_files(spraying, facts, units, date=date)
    named = [tuple(part for part in (order.group, order.material) if part) for order in orders]
    for order, name in zip(orders, file_names(named), strict=True):
        files[f"order_{name}.pdf"] = order_sheet_pdf(order, facts, units, date=date)
        files[f"order_{name}.json"] = tables.json_text(order_json(order)).encode("utf-8")
        if order.kind == "sand":
            files[f"drop_list_{name}.pdf"] = drop_list_pdf(order, facts, units, date=date, hopper_kg=hopper_kg)
    return files


def heads_files(cover: Cover, facts: Facts, units: str) -> dict[str, Content]:
    """How the heads cover each patch: to be taken out on the course, and as rows."""
    from turfgis.reports.heads import heads_pdf, heads_rows

    return {
        "heads.pdf": heads_pdf(cover, facts, units),
        "heads.csv": tables.csv_text(heads_rows(cover)).encode("utf-8"),
    }


def supplier_files(
    course: Course, takeoff: Takeoff, units: str, *, group: str | None = None, date: str = ""
) -> dict[str, Content]:
    """
    One sheet a supplier, printed and for programs; nothing where no material is needed.

    Parameters
    ----------
    course, takeoff, units, group, date
        As for :func:`all_outputs`, and the year of the course.

    Returns
    -------
    File name -> content.
    """
    from turfgis.estimates.budget import estimate_budget
    from turfgis.estimates.suppliers import supplier_orders
    from turfgis.reports.supplier_sheet import supplier_pdf
    from turfgis.reports.suppliers import NOT_NAMED, supplier_json

    budget, facts, settings = estimate_budget(takeoff), course_facts(course, units), takeoff.settings
    if not any(group is None or one.group == group for one in budget.orders):
        return {}
    orders = [order for order in supplier_orders(budget, None, group) if order.lines]
    files: dict[str, Content] = {}
    for order, name in zip(orders, file_names([(one.name or NOT_NAMED,) for one in orders]), strict=True):
        files[f"supplier_{name}.pdf"] = supplier_pdf(order, settings, facts, units, date=date)
        files[f"supplier_{name}.json"] = tables.json_text(supplier_json(order, settings)).encode("utf-8")
    return files
