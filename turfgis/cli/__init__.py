"""
The command line: parse, call, print.

Each command stands in a file of its own, which is imported when the command is called, so that ``turfgis --help`` does
not wait for the libraries that read and measure.
"""

import os
import sys
from difflib import get_close_matches
from importlib import import_module
from io import TextIOWrapper

import click

from turfgis import __version__
from turfgis.errors import TurfgisError

# command -> what the list of commands says about it
COMMANDS = {
    "start": "Look into drawn files and write a commented course.toml.",
    "check": "List what is wrong with the drawing, and what was done about it.",
    "areas": "Measured areas, by surface, hole or patch.",
    "order": "What to order of a material, and how likely it is to run short.",
    "programme": "The year month by month: which job, where, with how much of what.",
    "takeoff": "What every job needs, on every patch and date of the year.",
    "budget": "What the year costs, by month, surface, material, cost code or group.",
    "change": "Why the budget changed, or would change, split by cause and by job.",
    "actual": "Plan and actual out of records, and coefficients for next year.",
    "ledger": "Nutrients and sand of the year, against the limits of the club.",
    "spray": "Whole tanks along the patches, strips to keep off, and labels kept.",
    "calibrate": "What a sprayer or spreader puts out, from a catch or a strip.",
    "mowing": "Minutes of mowing, by surface and machine.",
    "slope": "Where machines are over the limit of slope that was entered for them.",
    "hours": "Hours of people the work needs by month, against those there are.",
    "board": "Who does what on a day, with which machine, ahead of the first players.",
    "water": "What each surface needs of water this week, and where the limits stand.",
    "readings": "Moisture and the like by patch, and zones of different rates.",
    "places": "What needs watching: trees, disease, wet spots, hazards; what is due and where.",
    "trace": "Outlines traced on a photo from points inside, for a person to check.",
    "map": "An area map in one HTML file that needs no network.",
    "desk": "A local page to draw areas, plan and order; needs no network.",
    "report": "Every sheet, table and the map, into one folder.",
}


class Commands(click.Group):
    """Finds commands by name and imports them only when they are called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names, in the order in which a newcomer needs them."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, imported now."""
        if cmd_name not in COMMANDS:
            return None
        return import_module(f"turfgis.cli.{cmd_name}").command

    def resolve_command(self, ctx: click.Context, args: list[str]):
        """The command, or what it may have been meant to be."""
        name = args[0] if args else ""
        if name and not name.startswith("-") and name not in COMMANDS:
            near = get_close_matches(name, COMMANDS, n=1)
            guess = f" Did you mean '{near[0]}'?" if near else ""
            ctx.fail(f"there is no command '{name}'.{guess} Commands: {', '.join(COMMANDS)}.")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of commands, without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="turfgis")
def program() -> None:
    """
    Measured areas of a golf course, and what follows from them.

    Every command takes a course folder, its course.toml, or one vector file (GeoPackage, GeoJSON, Shapefile, KML, GPX,
    DXF, OpenStreetMap ...).
    """


def main() -> None:
    """Run a command. Exit code 0 when it is done, 1 when a check found errors, 2 when the input cannot be used."""
    # A folder of projection data that another program names here breaks the one that rasterio brings along.
    for name in ("PROJ_DATA", "PROJ_LIB"):
        os.environ.pop(name, None)
    if isinstance(sys.stdout, TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")
    try:
        code = program(prog_name="turfgis", standalone_mode=False)
        if sys.stdout is not None:
            sys.stdout.flush()
        sys.exit(code or 0)
    except TurfgisError as error:
        _stop(f"turfgis: {error}", 2)
    except click.exceptions.NoArgsIsHelpError as error:
        _stop(error.format_message(), 2)
    except click.UsageError as error:
        called = error.ctx.command_path if error.ctx else "turfgis"
        _stop(f"turfgis: {error.format_message()} See '{called} --help'.", 2)
    except click.ClickException as error:
        _stop(f"turfgis: {error.format_message()}", 2)
    except (click.exceptions.Abort, KeyboardInterrupt):
        _stop("turfgis: stopped; no file was left half-written", 130)
    except BrokenPipeError:  # whoever reads has read enough
        _print_no_more()
    except OSError as error:
        _print_no_more()
        _stop(f"turfgis: {error.filename or 'cannot print the result'}: {error.strerror or error}", 2)


def _print_no_more() -> None:
    """Let what is still waiting to be printed go nowhere."""
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _stop(message: str, code: int) -> None:
    click.echo(message, err=True)
    sys.exit(code)
