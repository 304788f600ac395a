"""``turfgis readings``."""

from difflib import get_close_matches
from functools import partial
from pathlib import Path

import click

from turfgis.cli.options import (
    course_argument,
    format_options,
    put,
    say_findings,
    shape_wanted,
    spare_drawing,
    units_option,
)
from turfgis.errors import InputError, SettingsError


@click.command(name="readings")
@course_argument
@click.option("--name", help="Only the readings of this name.")
@click.option("--zones", "count", metavar="ZONES", type=int, help="Part the ground into so many zones of equal share.")
@click.option("--rates", help="Rate of each zone, the lowest values first, such as '2 mm,1.5 mm,1 mm'.")
@click.option("--on", "surface", default="green", show_default=True, help="Surface that the zones are made on.")
@click.option("--material", help="Sand of the settings, whose density makes tonnes of a depth.")
@units_option
@format_options
def command(
    course: Path,
    crs: str | None,
    swap_axes: bool,
    name: str | None,
    count: int | None,
    rates: str | None,
    surface: str,
    material: str | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    Readings of the ground ([[reading]] in the settings) by patch: mean, spread and the share below the threshold.

    With --zones and --rates, a sheet of zones: -o zones.gpkg writes them as a layer, -o zones.tif the rate by cell.
    """
    from turfgis.estimates.course import open_course
    from turfgis.reports import tables
    from turfgis.reports.readings import readings_rows, readings_text

    zoned = count is not None or rates is not None
    shape = shape_wanted(shape, output, (".gpkg", ".tif") if zoned else ())
    opened = open_course(course, crs=crs, swap_axes=swap_axes)
    spare_drawing(opened, output)
    settings = opened.needs_settings("readings are named in the settings, as [[reading]]")
    if not settings.reading:
        raise SettingsError(f"{opened.path.name}: there is no [[reading]]; give one with name, file and unit")
    chosen = _chosen(opened.readings, name)
    say_findings(opened.measured.findings)
    for one in chosen:
        for finding in one.findings:
            click.echo(f"turfgis: {one.said.name}: {finding.text}", err=True)
    system = units or opened.units
    if zoned:
        _zones(opened, chosen, count, rates, surface, material, system, shape, output)
        return
    if shape == "json":
        text = tables.json_text(readings_rows(chosen))
    elif shape == "csv":
        text = tables.csv_text(readings_rows(chosen)).rstrip("\n")
    else:
        text = readings_text(chosen, {one.name: one.unit for one in settings.reading}, system)
    put(text, output)


def _chosen(readings, name: str | None) -> list:
    if name is None:
        return list(readings)
    names = [one.said.name for one in readings]
    if name not in names:
        near = get_close_matches(name, names, n=1)
        hint = f"; did you mean '{near[0]}'?" if near else ""
        raise InputError(f"--name {name}: there are no such readings{hint} (there are: {', '.join(names)})")
    return [readings[names.index(name)]]


def _zones(opened, chosen, count, rates, surface, material, system, shape, output) -> None:
    from turfgis.measure.readings import rate_raster
    from turfgis.reports import tables
    from turfgis.reports.readings import write_zones, zone_sheet, zone_text
    from turfgis.reports.write import write_whole

    if rates is None:
        raise InputError("--zones needs --rates: one for each zone, such as --rates '2 mm,1.5 mm,1 mm'")
    if len(chosen) > 1:
        names = ", ".join(one.said.name for one in chosen)
        raise InputError(f"choose with --name which readings make the zones ({names})")
    asked = rates.split(",")
    if count is not None and count != len(asked):
        raise InputError(f"--zones {count} needs {count} rates, and --rates gives {len(asked)}: {rates}")
    patches = opened.measured.patches
    patches = patches[(patches["surface"] == surface).to_numpy()]
    if patches.empty:
        there = ", ".join(dict.fromkeys(opened.measured.patches["surface"]))
        raise InputError(f"--on {surface}: the course has none (it has: {there})")
    sheet = zone_sheet(patches, chosen[0], asked, _density(opened, material))
    said = zone_text(sheet, chosen[0].said.name, system)
    if shape in (".gpkg", ".tif") and output is not None:
        content = partial(write_zones, sheet)
        if shape == ".tif":
            content = rate_raster(sheet.table, chosen[0].grid, [rate * 1000 for rate in sheet.rates], sheet.raster_unit)
        write_whole(output.parent, {output.name: content})
        click.echo(said)
        click.echo(f"wrote {output}" + f": rates in {sheet.raster_unit}" * (shape == ".tif"))
        return
    rows = tables.plain_rows(sheet.table.drop(columns="geometry").rename(columns={"amount": f"amount_{sheet.unit}"}))
    if shape == "json":
        said = tables.json_text(rows)
    elif shape == "csv":
        said = tables.csv_text(rows).rstrip("\n")
    put(said, output)


def _density(opened, material: str | None) -> float | None:
    """Bulk density of a sand of the settings. [kg/m3]"""
    if material is None:
        return None
    known = {key: one for key, one in opened.settings.material.items() if one.kind == "sand"}
    if material not in known:
        raise InputError(f"--material {material}: no sand of that name in the settings ({', '.join(known) or 'none'})")
    return known[material].bulk_density.likely
