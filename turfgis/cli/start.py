"""``turfgis start``."""

import os
from pathlib import Path

import click

from turfgis.errors import LayerError, OutputError

SETTINGS_FILE = "course.toml"
RASTERS = (".tif", ".tiff", ".vrt", ".asc", ".img", ".jp2", ".jpg", ".jpeg", ".png")


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
    from turfgis.reports.starter import starter_text
    from turfgis.reports.write import write_whole

    target = folder / SETTINGS_FILE
    if target.exists() and not replace:
        raise OutputError(f"{target} is there already; give --replace to write a new one in its place")
    looked = {_beside(folder, file): _look_into(file, crs) for file in files}
    text = starter_text(name or folder.resolve().name.replace("_", " "), looked, crs, _rasters_beside(folder, files))
    write_whole(folder, {SETTINGS_FILE: text.encode("utf-8")})
    click.echo(f"wrote {target}\nOpen it, confirm what each layer means, then run: turfgis check {folder}")


def _beside(folder: Path, file: Path) -> str:
    """The file as it is written in the settings: as seen from the folder, with forward strokes."""
    try:
        return Path(os.path.relpath(file, folder)).as_posix()
    except ValueError:  # another drive
        return file.resolve().as_posix()


def _rasters_beside(folder: Path, files: tuple[Path, ...]) -> dict[str, str]:
    """Rasters in the folder and beside the files, as they are written in the settings, with what they seem to hold."""
    places = dict.fromkeys([folder, *(file.parent for file in files)])
    beside = [file for place in places for file in sorted(place.glob("*")) if file.suffix.lower() in RASTERS]
    if not beside:
        return {}
    from turfgis.measure.rasters import seems

    return {_beside(folder, file): what for file in beside if (what := seems(file))}


def _look_into(file: Path, crs: str | None) -> list:
    """What each layer of a file seems to hold."""
    from turfgis.layers.proposal import hole_column, propose_naming
    from turfgis.layers.read import read_layers
    from turfgis.reports.starter import LinesProposal
    from turfgis.surfaces import SURFACES

    every, _ = read_layers(file, crs=crs, role="background")
    try:
        with_areas, _ = read_layers(file, crs=crs)
    except LayerError:
        if all(len(layer.areas) == 0 and len(layer.lines) + len(layer.points) == 0 for layer in every):
            raise
        with_areas = []
    found: list = [propose_naming(layer, SURFACES) for layer in with_areas if len(layer.areas)]
    named = {proposal.layer for proposal in found}
    for layer in every:
        if layer.layer in named or layer.openstreetmap:
            continue
        if len(layer.lines):
            found.append(LinesProposal(layer.layer, len(layer.lines), "lines", hole_column(layer.lines)))
        elif len(layer.points):
            found.append(LinesProposal(layer.layer, len(layer.points), "points"))
    return found
