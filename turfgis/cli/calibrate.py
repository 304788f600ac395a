"""``turfgis calibrate``."""

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from turfgis.cli.options import format_options, put, shape_wanted, typed, units_option
from turfgis.errors import InputError

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.settings.models import Machine

_RUN = re.compile(r"(.+?)\s+in\s+(.+)")
_STRIP = re.compile(r"(.+?)\s+(?:x|by|×)\s+(.+)")
_BARE = re.compile(r"[-+]?[\d.,]+")


@click.command(name="calibrate")
@click.argument("course", type=click.Path(path_type=Path), required=False)
@click.option("--machine", metavar="NAME", help="A sprayer of the course, for what is not typed here.")
@click.option("--catch", "caught", metavar="AMOUNTS", help="From each nozzle, such as '0.74 l; 0.76 l; 0.75 l'.")
@click.option("--during", metavar="TIME", help="How long they were caught, such as '30 s'.")
@click.option("--speed", metavar="SPEED", help="Travel speed, such as '6 km/h'.")
@click.option("--run", metavar="RUN", help="Or a timed run, such as '50 m in 32 s'.")
@click.option("--spacing", metavar="LENGTH", help="Distance between nozzles.")
@click.option("--used", metavar="AMOUNT", help="Used on a strip, or caught in a tray, by weight or volume.")
@click.option("--over", metavar="STRIP", help="Of that strip or tray, such as '50 m x 6 m'.")
@click.option("--want", metavar="RATE", help="What should come out, such as '400 l/ha' or '25 g/m2'.")
@units_option
@format_options
def command(
    course: Path | None,
    machine: str | None,
    caught: str | None,
    during: str | None,
    speed: str | None,
    run: str | None,
    spacing: str | None,
    used: str | None,
    over: str | None,
    want: str | None,
    units: str | None,
    shape: str | None,
    output: Path | None,
) -> None:
    """
    What a sprayer or spreader puts out, from a catch or a strip, and the flow or the speed for what is wanted.

    Figures take any unit. With COURSE and --machine what is not typed comes from [machine.NAME] and its spray table,
    and it is said what an error of 5 % costs in each of its spray jobs.
    """
    from turfgis.estimates.calibration import calibrate_nozzles, calibrate_strip
    from turfgis.reports import tables
    from turfgis.reports.calibration import calibration_json, calibration_text

    shape = shape_wanted(shape, output)
    if shape == "csv":
        raise click.UsageError("a calibration is not written as csv; use table or json.")
    if (used is None) != (over is None):
        raise click.UsageError("--used and --over go together: how much, on which strip.")
    if used is not None and (caught is not None or during is not None):
        raise click.UsageError("--used is one way and --catch another; keep one of them.")
    if speed is not None and run is not None:
        raise click.UsageError("--speed and --run are two ways to say one thing; keep one of them.")
    if machine is not None and course is None:
        raise click.UsageError("--machine is one of a course: name its folder as well.")
    opened, known = _known(course, machine)
    pace = typed("--speed", speed, "speed") if speed else _pace(run)
    if pace is None and known is not None:
        pace = known.speed
    if used is not None and over is not None:
        by_weight = _kind(used) == "mass"
        amount = typed("--used", used, "mass" if by_weight else "volume")
        length, width = _sides(over)
        wanted = typed("--want", want, "mass rate" if by_weight else "volume rate") if want else None
        found = calibrate_strip(amount, length, width, wanted, by_weight=by_weight, speed=pace)
    else:
        gear = known.spray if known is not None else None
        apart = typed("--spacing", spacing, "length") if spacing else gear.nozzle_spacing if gear else None
        if apart is None and gear is not None and known is not None and gear.nozzles:
            apart = known.width / gear.nozzles
        wanted = typed("--want", want, "volume rate") if want else gear.volume if gear else None
        lasted = typed("--during", during, "time") if during else None
        found = calibrate_nozzles(_catches(caught), lasted, pace, apart, wanted)
    system = units or (opened.units if opened else "metric")
    if shape == "json":
        put(tables.json_text(calibration_json(found)), output)
        return
    put(calibration_text(found, system, _plans(opened, machine)), output)


def _known(course: Path | None, machine: str | None) -> "tuple[Course | None, Machine | None]":
    """The course, and the machine of its settings."""
    if course is None:
        return None, None
    from turfgis.estimates.course import open_course
    from turfgis.layers.records import near

    opened = open_course(course)
    machines = opened.needs_settings("a calibration takes machines from settings").machine
    if machine is None:
        raise click.UsageError(f"name the sprayer with --machine; there are: {', '.join(machines) or 'none'}.")
    if machine not in machines:
        raise InputError(f"--machine: no machine '{machine}'{near(machine, machines)}")
    return opened, machines[machine]


def _plans(opened: "Course | None", machine: str | None) -> list:
    """Spray jobs of the machine; of a machine with none there is nothing to be said."""
    from turfgis.settings.models import Spray

    if opened is None or opened.settings is None:
        return []
    jobs = [job for job in opened.settings.job if isinstance(job, Spray) and job.machine == machine]
    if not jobs:
        return []
    from turfgis.estimates.spraying import plan_spray

    return [plan for plan in (plan_spray(opened, job) for job in jobs) if plan.stops]


def _pace(run: str | None) -> float | None:
    """Speed of a timed run. [m/s]"""
    if run is None:
        return None
    from turfgis.formulas.calibration import travel_speed

    found = _RUN.fullmatch(run.strip())
    if not found:
        raise InputError(f"--run: '{run}' is no timed run; write it like '50 m in 32 s'")
    return float(travel_speed(typed("--run", found.group(1), "length"), typed("--run", found.group(2), "time")))


def _sides(over: str) -> tuple[float, float]:
    """Length and width of a strip. [m]"""
    found = _STRIP.fullmatch(over.strip())
    if not found:
        raise InputError(f"--over: '{over}' is no strip; write length and width, like '50 m x 6 m'")
    return typed("--over", found.group(1), "length"), typed("--over", found.group(2), "length")


def _kind(amount: str) -> str:
    """Whether an amount is a weight or a volume; what is neither is told as the volume that it is not."""
    from turfgis.units import to_si

    try:
        to_si(amount, "mass")
    except InputError:
        return "volume"
    return "mass"


def _catches(text: str | None) -> list[float]:
    """Amounts of single nozzles; a unit behind the last one holds for all that have none."""
    if text is None:
        return []
    parts = [part.strip() for part in re.split(r";|,\s", text) if part.strip()]
    unit = re.sub(r"^[-+\d.,\s]+", "", parts[-1]) if parts else ""
    whole = [f"{part} {unit}" if _BARE.fullmatch(part) else part for part in parts]
    return [typed("--catch", part, "volume", zero=True) for part in whole]
