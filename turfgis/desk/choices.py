"""Figures of the settings that are somebody's choice, as sliders: how deep to dress, how much risk to take."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turfgis.errors import InputError, SettingsError
from turfgis.formulas.chance import Figure
from turfgis.units import shown

if TYPE_CHECKING:
    from turfgis.estimates.course import Course
    from turfgis.settings.altered import Assignment

RISK = "risk"
LEAST_RISK, MOST_RISK = 1.0, 40.0  # [%]
SPAN = 2.0  # a depth may be halved or doubled


@dataclass(frozen=True)
class Choice:
    """
    One slider.

    Attributes
    ----------
    field
        Its name in the address of the page.
    label
        What it is: a job, or the risk.
    unit, decimals
        As it is shown.
    value, low, high, step
        In that unit.
    planned
        What the settings say, in that unit.
    keys
        Path of the key in the settings.
    """

    field: str
    label: str
    unit: str
    decimals: int
    value: float
    low: float
    high: float
    step: float
    planned: float
    keys: tuple[str, ...]
    figure: Figure | None = None

    @property
    def is_moved(self) -> bool:
        """Whether it stands elsewhere than in the settings."""
        return abs(self.value - self.planned) > self.step / 4

    @property
    def assignment(self) -> Assignment:
        """The key of the settings with the value chosen; a spread grows and shrinks with its figure."""
        from turfgis.settings.altered import Assignment

        if self.figure is None:
            return Assignment(self.keys, f"{self.value:g} %")
        return Assignment(self.keys, _scaled(self.figure, self.value / self.planned, self.value, self.unit))


def _scaled(figure: Figure, factor: float, value: float, unit: str) -> object:
    per = value / (figure.likely * factor)
    if figure.low is not None and figure.high is not None:
        ends = {"low": figure.low, "likely": figure.likely, "high": figure.high}
        return {end: f"{one * factor * per:.10g} {unit}" for end, one in ends.items()}
    spread = f" ± {figure.sd * factor * per:.10g} {unit}" if figure.sd else ""
    return f"{value:.10g} {unit}{spread}"


def order_choices(course: Course, group: str, material: str, units: str, asked: Mapping[str, str]) -> list[Choice]:
    """
    Sliders beside an order.

    Parameters
    ----------
    course, group, material
        The course, and what is ordered for which group of jobs ("" for jobs in none).
    units
        ``metric`` or ``us``.
    asked
        Values from the address of the page.

    Returns
    -------
    The depth of each job of the group that spreads the material to a depth, and the risk of running short.

    Raises
    ------
    InputError
        A value asked for is no number, or not between the ends of its slider.
    """
    settings = course.needs_settings("an order needs materials and jobs")
    how = shown("small length", units)
    made = []
    for place, job in enumerate(settings.job):
        depth = getattr(job, "depth", None)
        if job.group != group or material not in job.uses.values() or not isinstance(depth, Figure):
            continue
        planned = depth.likely * how.per_si
        step = 10 ** -max(how.decimals, 1) if planned < 10 else 1.0
        made.append(
            Choice(
                field=f"depth_{place}",
                label=job.name,
                unit=how.label,
                decimals=max(how.decimals, 1) if step < 1 else 0,
                value=planned,
                low=round(planned / SPAN, 6),
                high=round(planned * SPAN, 6),
                step=step,
                planned=planned,
                keys=("job", job.name, "depth"),
                figure=depth,
            )
        )
    risk = settings.risk * 100
    if settings.material[material].kind == "sand":
        ends = min(LEAST_RISK, risk), max(MOST_RISK, risk)
        made.append(Choice(RISK, RISK, "%", 0, risk, *ends, 1.0, risk, ("risk",)))
    return [_moved(one, asked[one.field]) if one.field in asked else one for one in made]


def _moved(choice: Choice, text: str) -> Choice:
    from dataclasses import replace

    try:
        value = float(text)
    except ValueError:
        raise InputError(f"{choice.label}: '{text}' is not a number") from None
    if not choice.low - choice.step <= value <= choice.high + choice.step:
        raise InputError(
            f"{choice.label}: {text} {choice.unit} is not between {choice.low:g} and {choice.high:g} {choice.unit}; "
            "to go further, change the settings"
        )
    return replace(choice, value=choice.planned if abs(value - choice.planned) < choice.step / 2 else value)


def altered(course: Course, choices: list[Choice]) -> Course:
    """The course as chosen; nothing is measured again and no file is written."""
    moved = tuple(one.assignment for one in choices if one.is_moved)
    if not moved:
        return course
    from turfgis.estimates.cases import altered_course
    from turfgis.settings.altered import Alterations

    try:
        return altered_course(course, Alterations(moved, told="as chosen"))
    except SettingsError as error:
        raise InputError(str(error)) from None
