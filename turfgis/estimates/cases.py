"""What-ifs side by side: the same course under altered settings, and what each would cost and spare."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from turfgis.errors import LayerError, SettingsError
from turfgis.estimates.budget import Budget
from turfgis.estimates.cells import NONE, difference_spread
from turfgis.estimates.change import Change, estimate_change
from turfgis.estimates.course import Course
from turfgis.estimates.ground import Ground
from turfgis.measure.redrawn import NOTHING_M2, redrawn_uncertainties
from turfgis.settings.altered import Alterations, LetGrow, altered_settings

WORTH_SAYING_M2 = 1.0
TIMED = ("labour", "machine")


@dataclass(frozen=True)
class Amount:
    """An amount, its standard uncertainty, and the same of its difference from the course as it is."""

    value: float
    u: float
    difference: float
    u_difference: float


@dataclass(frozen=True)
class Case:
    """
    A course under altered settings, beside itself as it is.

    Attributes
    ----------
    name, changes
        What it is called, and what it changes.
    base, course
        The course as it is, and as it would be.
    change
        Why the budget would differ.
    """

    name: str
    changes: Alterations
    base: Course
    course: Course
    change: Change

    @property
    def budget(self) -> Budget:
        """What the year would cost."""
        return self.change.new

    @cached_property
    def cost(self) -> Amount:
        """
        Cost of the year.

        The two budgets share their figures: a green drawn too large is too large in both. Only what they do not share
        makes their difference uncertain.
        """
        old, new = self.change.old, self.change.new
        u = difference_spread(old.costs.cells, old.costs.weights, new.costs.cells, new.costs.weights, self.apart)
        return Amount(new.total, new.u, self.change.difference / 100, u)

    @cached_property
    def seconds(self) -> dict[str, Amount]:
        """Working time in a year, of people (``labour``) and machines (``machine``). [s]"""
        return {resource: self._seconds(resource) for resource in TIMED}

    def _seconds(self, resource: str) -> Amount:
        cells = [one.costs.cells for one in (self.change.old, self.change.new)]
        weights = [
            np.array([need.resource == resource for need in one.takeoff.needs], dtype=bool)[one.need]
            * one.takeoff.counts.sum(axis=1)[one.need]
            for one in cells
        ]
        before, after = (float(weight @ one.quantity) for one, weight in zip(cells, weights, strict=True))
        spread = float(cells[1].deviations(weights[1][None, :])[0])
        apart = difference_spread(cells[0], weights[0], cells[1], weights[1], self.apart)
        return Amount(after, spread, after - before, apart)

    @cached_property
    def apart(self) -> dict[str, float]:
        """Patch -> standard uncertainty of the area by which it differs, where it was drawn anew. [m2]"""
        if self.course.drawing == self.base.drawing:
            return {}
        old, new = (one.measured.patches for one in (self.base, self.course))
        return redrawn_uncertainties(old, new, self.course.drawing.accuracy_m)

    @cached_property
    def ground(self) -> dict[str, Amount]:
        """Net area by surface, of surfaces that it changes. [m2]"""
        return ground_change(self.base.ground, self.course.ground, self.apart)

    @property
    def remarks(self) -> list[str]:
        """What is worth a look, in plain sentences."""
        said = []
        for grown in self.changes.let_grow:
            gained = self.ground[grown.surface].difference if grown.surface in self.ground else 0.0
            lost = {name: -one.difference for name, one in self.ground.items() if one.difference < 0}
            bare = gained - sum(lost.values())
            if bare > WORTH_SAYING_M2:
                said.append(f"{bare:,.0f} m2 of what is let grow lie where nothing was drawn; they give nothing back.")
            said += [
                f"{taken:,.0f} m2 of {name} are let grow as well, because {name} lies below {' and '.join(grown.of)}."
                for name, taken in lost.items()
                if name not in grown.of and taken > WORTH_SAYING_M2
            ]
        return said


def ground_change(old: Ground, new: Ground, apart: Mapping[str, float] = NONE) -> dict[str, Amount]:
    """
    Surface -> its net area, and how it differs; only surfaces that differ. [m2]

    Parameters
    ----------
    old, new
        Patches of the two.
    apart
        As for :func:`turfgis.estimates.cells.cross_covariance`.
    """
    found = {}
    for surface in dict.fromkeys((*old.surfaces, *new.surfaces)):
        here = [one.surface == surface for one in (old, new)]
        before, after = (float(one.net_m2[on].sum()) for one, on in zip((old, new), here, strict=True))
        if abs(after - before) < NOTHING_M2:
            continue
        owns = [
            dict(zip(one.patch[on], one.own_m2[on].tolist(), strict=True))
            for one, on in zip((old, new), here, strict=True)
        ]
        biases = [_biases(one, on) for one, on in zip((old, new), here, strict=True)]
        between = [apart.get(name, 0.0) for name in owns[0] if name in owns[1]]
        alone = [own for at in (0, 1) for name, own in owns[at].items() if name not in owns[1 - at]]
        leaning = [biases[1].get(key, 0.0) - biases[0].get(key, 0.0) for key in dict.fromkeys((*biases[0], *biases[1]))]
        found[surface] = Amount(
            after, _root([*owns[1].values(), *biases[1].values()]), after - before, _root([*between, *alone, *leaning])
        )
    return found


def _biases(ground: Ground, on: np.ndarray) -> dict[str, float]:
    """Standard uncertainty of the area of a surface from the edge bias of each layer. [m2]"""
    sums = np.bincount(ground.layer_code[on], ground.bias_m2[on], minlength=len(ground.layers))
    return dict(zip(ground.layers, sums.tolist(), strict=True))


def _root(parts: list[float]) -> float:
    return float(np.sqrt(np.square(parts).sum()))


def estimate_cases(course: Course, cases: Mapping[str, Alterations]) -> tuple[Case, ...]:
    """
    Try what-ifs on a course.

    Parameters
    ----------
    course
        A course with settings. No file is altered.
    cases
        Name -> what to change.

    Returns
    -------
    The cases in their order, each as a run of its own would give it.

    Raises
    ------
    LayerError, SettingsError
        A case cannot be done.
    """
    found = []
    for name, changes in cases.items():
        altered = altered_course(course, changes)
        found.append(Case(name, changes, course, altered, estimate_change(course, altered)))
    return tuple(found)


def altered_course(course: Course, changes: Alterations) -> Course:
    """
    The course as it would be; measured again where the drawing is altered.

    Raises
    ------
    LayerError, SettingsError
        The settings cannot be altered so, or the altered drawing cannot be used.
    """
    altered = course.altered(altered_settings(course.path, changes))
    if altered.drawing != course.drawing:
        for grown in changes.let_grow:
            _gives_ground(course, altered, grown, changes.says("let_grow"))
        _same_patches(course, altered, changes)
    return altered


def _gives_ground(course: Course, altered: Course, grown: LetGrow, said: str) -> None:
    """Refuse areas that take no ground from the surfaces that they are to take it from."""
    order = altered.drawing.order
    for name in grown.of:
        if order.index(grown.surface) > order.index(name):
            raise SettingsError(
                f"{said}: {grown.surface} lies below {name}, which would keep the ground; "
                "name another surface, or one that does not exist yet"
            )
    changed = ground_change(course.ground, altered.ground)
    if not any(name in changed and changed[name].difference < 0 for name in grown.of):
        raise LayerError(
            f"{said}: {grown.file.name}: no {' or '.join(grown.of)} of the course lies inside its areas; "
            "look at the two on a map, and at their reference systems"
        )


def _same_patches(course: Course, altered: Course, changes: Alterations) -> None:
    """Refuse to do a job on other ground than the one it names: patches are counted anew in an altered drawing."""
    sources = [
        dict(zip(one.measured.patches["patch"], one.measured.patches["source"], strict=True))
        for one in (course, altered)
    ]
    for job in altered.needs_settings("jobs").job:
        for name in job.patches or ():
            if name in sources[0] and sources[0][name] != sources[1].get(name):
                raise SettingsError(
                    f"{changes.says('let_grow' if changes.let_grow else 'set')}: job '{job.name}' names the patch "
                    f"{name}, which would be another piece of ground or none; give its holes instead"
                )
