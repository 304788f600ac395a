"""``turfgis start``."""

from pathlib import Path

import click

from turfgis.errors import OutputError

SETTINGS_FILE = "course.toml"


@click.command(name="start")
@click.argument("folder", type=click.Path(path_type=Path))
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--name", help="Title of the course. [default: name of the folder]")
@click.option("--crs", metavar="EPSG:CODE", help="For files that do not say their reference system.")
@click.option("--replace", is_flag=True, help=f"Replace a {SETTINGS_FILE} that is there already.")
def command(folder: Path, files: tuple[Path, ...], name: str | None, crs: str | None, replace: bool) -> None:
    """
    Look into drawn files and write a commented course.toml into FOLDER.

    It proposes which column and which values name surfaces, and rasters of heights and photos that lie beside the
    files; a person confirms them in the file.
    """
    from turfgis.estimates.first_look import as_seen_from, look_into, rasters_beside
    from turfgis.reports.starter import starter_text
    from turfgis.reports.write import write_whole

    target = folder / SETTINGS_FILE
    if target.exists() and not replace:
        raise OutputError(f"{target} is there already; give --replace to write a new one in its place")
    looked = {as_seen_from(folder, file): look_into(file, crs) for file in files}
    text = starter_text(name or folder.resolve().name.replace("_", " "), looked, crs, rasters_beside(folder, files))
    write_whole(folder, {SETTINGS_FILE: text.encode("utf-8")})
    click.echo(f"wrote {target}\nOpen it, confirm what each layer means, then run: turfgis check {folder}")
