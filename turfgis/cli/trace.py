"""``turfgis trace``."""

from pathlib import Path

import click

from turfgis.errors import InputError, LayerError, OutputError


@click.command(name="trace")
@click.argument("photo", type=click.Path(path_type=Path))
@click.option("--at", "at", multiple=True, metavar="LON,LAT", help="A point inside, in degrees. May be given often.")
@click.option(
    "--points",
    type=click.Path(path_type=Path),
    help="Points inside: a table with lon and lat, or a vector file; a column 'name' names the outlines.",
)
@click.option(
    "--course",
    type=click.Path(path_type=Path),
    help="Drawn course to set the outlines against; without --at and --points, its patches are traced anew.",
)
@click.option(
    "--surface", default="green", show_default=True, help="What is traced: it decides how its edge is looked for."
)
@click.option("--crs", metavar="EPSG:CODE", help="For a photo that does not say its reference system.")
@click.option("-o", "--output", type=click.Path(path_type=Path), default="traced.gpkg", show_default=True)
def command(
    photo: Path,
    at: tuple[str, ...],
    points: Path | None,
    course: Path | None,
    surface: str,
    crs: str | None,
    output: Path,
) -> None:
    """
    Outlines of what is mown alike, traced on a photo from points inside.

    The result is a layer (.gpkg or .geojson) for a person to check: each outline with its area, how far that may be
    out, and how clear its edge is. Exit code 1 where some points could not be traced.
    """
    from functools import partial

    from turfgis.estimates.course import open_course
    from turfgis.measure.tracing import trace
    from turfgis.reports.traced import DRIVERS, TO_CHECK, traced_rows, write_traced
    from turfgis.reports.write import write_whole

    if output.suffix.lower() not in DRIVERS:
        raise OutputError(f"-o {output}: outlines are written as .gpkg or .geojson")
    if output.resolve() in {path.resolve() for path in (photo, points, course) if path is not None}:
        raise OutputError(f"{output} is what is read; choose another name with -o")
    patches = open_course(course).measured.patches if course is not None else None
    places = [_place(text) for text in at] + _from_points(points)
    if not places and patches is not None:
        places = _of_patches(patches, surface)
    if not places:
        raise InputError("nothing to start from: give points with --at LON,LAT or --points FILE, or a --course")
    traced, frame = trace(photo, places, crs, surface)
    for one in traced:
        if one.outline is None:
            where = one.place.name or f"{one.place.longitude:g},{one.place.latitude:g}"
            click.echo(f"turfgis: {where}: {one.reason}; not traced", err=True)
    rows = traced_rows(traced, frame, photo.name, surface, patches)
    if rows.empty:
        raise LayerError(f"{photo.name}: none of {len(traced)} points could be traced; nothing was written")
    for path in write_whole(output.parent, {output.name: partial(write_traced, rows)}):
        click.echo(_table(rows.drop(columns="geometry").to_dict("records")))
        click.echo(f"wrote {path}: {len(rows)} of {len(traced)} outlines. {TO_CHECK}")
    if len(rows) < len(traced):
        click.get_current_context().exit(1)


def _place(text: str):
    """A point typed behind ``--at``."""
    from turfgis.measure.tracing import Place

    parts = text.replace(";", ",").split(",")
    try:
        longitude, latitude = (float(part) for part in parts)
    except ValueError:
        raise InputError(
            f"--at {text}: write longitude and latitude in degrees, such as --at -6.2345,53.3456"
        ) from None
    if not (-180 <= longitude <= 180 and -90 <= latitude <= 90):
        raise InputError(f"--at {text}: longitude comes first (-180 to 180), then latitude (-90 to 90)")
    return Place(longitude, latitude)


def _from_points(file: Path | None) -> list:
    from turfgis.layers.points import read_points
    from turfgis.layers.words import written
    from turfgis.measure.tracing import Place

    if file is None:
        return []
    table = read_points(file).to_crs("EPSG:4326")
    names = [written(name) or "" for name in table["name"]] if "name" in table else [""] * len(table)
    return [Place(point.x, point.y, name) for point, name in zip(table.geometry, names, strict=True)]


def _of_patches(patches, surface: str) -> list:
    """A point inside each patch of a surface."""
    from turfgis.measure.tracing import Place

    rows = patches[(patches["surface"] == surface).to_numpy()]
    if rows.empty:
        there = ", ".join(dict.fromkeys(patches["surface"]))
        raise InputError(f"--surface {surface}: the course has none (it has: {there})")
    inside = rows.geometry.representative_point().to_crs("EPSG:4326")
    return [Place(point.x, point.y, patch) for point, patch in zip(inside, rows["patch"], strict=True)]


def _table(rows: list[dict]) -> str:
    """The outlines as lines to read."""
    lines = []
    for number, row in enumerate(rows, 1):
        line = f"{row['name'] or number:<16} {row['area_m2']:9,.1f} ± {row['plus_minus_m2']:,.1f} m2"
        if row.get("patch"):
            line += f"   drawn {row['drawn_m2']:9,.1f} m2 ({row['patch']}), overlap {row['overlap']:.1%}"
        lines.append(f"{line}   {row['quality']}")
    return "\n".join(lines)
