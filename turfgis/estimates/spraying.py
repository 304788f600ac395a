"""Spray jobs from end to end: ground, tanks, products, what labels say to them, and what an error would cost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from turfgis.errors import SettingsError
from turfgis.estimates.course import Course
from turfgis.estimates.labels import Application, Breach, Used, check_labels, label_ledger, label_of
from turfgis.estimates.needs import estimate_need
from turfgis.estimates.programme import occurrences
from turfgis.estimates.sprayed import (
    NOTHING_M2,
    SprayedGround,
    overlap_share,
    spray_volume,
    sprayed_ground,
    widest_zones,
)
from turfgis.estimates.tanks import Tanks, lay_tanks, sprayed_in_order
from turfgis.formulas.calibration import flow_for_volume, reached_share
from turfgis.layers.findings import listed
from turfgis.layers.records import near
from turfgis.settings.models import CourseSettings, Spray

ERROR = 0.05  # what a calibration may be out before anybody sees it; common practice, no source


@dataclass(frozen=True)
class Stop:
    """
    One patch of a spray job.

    Attributes
    ----------
    net_m2, kept_m2, treated_m2
        Its net area, what of it is kept off, and ground that the spray lands on: past its edges, and twice where
        passes overlap.
    tanks
        Number of a tank, counted from 1 -> ground that it covers here. [m2] None where no tank is known.
    """

    patch: str
    surface: str
    hole: str | None
    net_m2: float
    kept_m2: float
    treated_m2: float
    tanks: dict[int, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Fill:
    """
    One tank.

    Attributes
    ----------
    number
        Counted from 1.
    mixed_m3, water_m3, products_m3
        All that goes in, the water, and each product by its key; the label says in which order.
    covers_m2
        Ground that it covers.
    from_patch, to_patch
        First and last patch.
    left_m2
        What is left to be sprayed of the last one when the tank runs dry there; 0 where it is done.
    way_m
        From there to the yard. [m] 0 where no yard is known.
    """

    number: int
    mixed_m3: float
    water_m3: float
    products_m3: dict[str, float]
    covers_m2: float
    from_patch: str
    to_patch: str
    left_m2: float
    way_m: float


@dataclass(frozen=True)
class SprayPlan:
    """
    One round of one spray job.

    Attributes
    ----------
    job, settings
        What is planned.
    volume
        Spray as mixed. [m3/m2] None where it is not known.
    stops, fills
        Patches in the order in which they are sprayed, and tanks; no tanks where none is known.
    products_m3
        What the round takes of each product, with what stays in the sprayer.
    rest_m3
        What stays in the sprayer at the end. [m3]
    times
        How often the job is done in all.
    ground
        What is kept off.
    remarks
        Plain sentences.
    """

    job: Spray
    settings: CourseSettings
    volume: float | None
    stops: tuple[Stop, ...]
    fills: tuple[Fill, ...]
    products_m3: dict[str, float]
    rest_m3: float
    times: float
    ground: SprayedGround
    remarks: tuple[str, ...]

    @property
    def net_m2(self) -> float:
        """Net area of its patches. [m2]"""
        return sum(stop.net_m2 for stop in self.stops)

    @property
    def kept_m2(self) -> float:
        """What of it is kept off. [m2]"""
        return sum(stop.kept_m2 for stop in self.stops)

    @property
    def treated_m2(self) -> float:
        """Ground that the spray lands on. [m2]"""
        return sum(stop.treated_m2 for stop in self.stops)

    @property
    def mixed_m3(self) -> float | None:
        """All that is mixed; None where no tank is known. [m3]"""
        return sum(fill.mixed_m3 for fill in self.fills) if self.fills else None

    @property
    def overlap(self) -> float:
        """Ground covered twice, as a share of what is sprayed."""
        return overlap_share(self.settings.machine.get(self.job.machine or ""))

    @property
    def kept_off(self) -> dict[str, float]:
        """Surface or label -> how far it is kept off, of what there is on the course. [m]"""
        return widest_zones(self.ground.zones)

    @property
    def nozzle_flow(self) -> float | None:
        """What each nozzle must put out at the speed of the machine; None where that is not known. [m3/s]"""
        machine = self.settings.machine.get(self.job.machine or "")
        if machine is None or machine.spray is None or self.volume is None:
            return None
        gear = machine.spray
        spacing = gear.nozzle_spacing or (machine.width / gear.nozzles if gear.nozzles else None)
        return None if spacing is None else float(flow_for_volume(self.volume, machine.speed, spacing))

    def error_cost(self, error: float = ERROR) -> tuple[dict[str, float], float | None, float]:
        """
        What an error of the rate costs each time.

        Returns
        -------
        products, money, missed_m2
            More of each product [m3], and what it costs (None where no price is known), where the rate is too high; and
            ground that the same tanks would then not reach. [m2]
        """
        more = {key: amount * error for key, amount in self.products_m3.items()}
        prices = [self.settings.material[key].unit_price for key in more]
        money = sum(price * amount for price, amount in zip(prices, more.values(), strict=True) if price is not None)
        known = any(price is not None for price in prices)
        return more, money if known else None, self.treated_m2 * (1 - float(reached_share(error)))


@dataclass(frozen=True)
class Spraying:
    """
    Spray jobs of a course.

    Attributes
    ----------
    plans
        What can be planned.
    breaches
        What labels do not allow; the jobs named there have no plan.
    forbidden
        Job -> products in it of which the label allows nothing at all; these have no plan either.
    ledger
        What patches have had and are to have.
    remarks
        Plain sentences on all of it.
    """

    plans: tuple[SprayPlan, ...]
    breaches: tuple[Breach, ...]
    forbidden: dict[str, tuple[str, ...]]
    ledger: tuple[Used, ...]
    remarks: tuple[str, ...] = ()

    @property
    def refused(self) -> bool:
        """Whether a job is left out because of a label."""
        return bool(self.forbidden) or any(one.jobs for one in self.breaches)


def spray_jobs(course: Course, group: str | None = None, names: Sequence[str] = ()) -> list[Spray]:
    """
    Spray jobs of the settings.

    Parameters
    ----------
    course
        The course.
    group, names
        Only this group of jobs, only jobs of these names.

    Raises
    ------
    SettingsError
        There are none, or a name is none of them.
    """
    jobs = [job for job in course.needs_settings("a spray plan needs jobs").job if isinstance(job, Spray)]
    if not jobs:
        raise SettingsError(f'{course.path.name}: no job has work = "spray"; describe one as [[job]]')
    known = [job.name for job in jobs]
    for name in names:
        if name not in known:
            raise SettingsError(
                f"{course.path.name}: no spray job '{name}'{near(name, known)} (there are: {', '.join(known)})"
            )
    groups = list(dict.fromkeys(job.group for job in jobs))
    if group is not None and group not in groups:
        raise SettingsError(
            f"{course.path.name}: no spray job is in the group '{group}'; groups: {', '.join(filter(None, groups))}"
        )
    return [job for job in jobs if (group is None or job.group == group) and (not names or job.name in names)]


def planned_applications(course: Course) -> list[Application]:
    """Every time of the programme at which a liquid is sprayed, product by product."""
    settings, made = course.needs_settings("a spray plan needs jobs"), []
    for job in settings.job:
        if not isinstance(job, Spray):
            continue
        on = sprayed_ground(course, job).on
        for one in occurrences(job, settings):
            for key, rate in job.rates.items():
                made.append(Application(key, job.name, one.day, one.month, one.times, np.where(on, rate.mean, 0.0)))
    return made


def estimate_spraying(
    course: Course,
    group: str | None = None,
    names: Sequence[str] = (),
    *,
    order: str | None = None,
    recorded: Sequence[Application] = (),
) -> Spraying:
    """
    Plan spray jobs.

    Parameters
    ----------
    course, group, names
        As for :func:`spray_jobs`.
    order
        As for :func:`turfgis.estimates.tanks.sprayed_in_order`.
    recorded
        What was done already. Up to the last day recorded of a product it stands in place of what was planned of it.

    Returns
    -------
    Plans of the jobs whose labels are kept, all jobs of the year together; and what is broken.
    """
    jobs = spray_jobs(course, group, names)
    planned, remarks = _still_planned(planned_applications(course), recorded)
    forbidden = _forbidden(course)
    allowed = [one for one in (*recorded, *planned) if one.job not in forbidden]
    breaches = check_labels(course, allowed)
    wanted = {job.name for job in jobs}
    broken = {name for one in breaches for name in one.jobs}
    plans = [plan_spray(course, job, order) for job in jobs if job.name not in broken | set(forbidden)]
    mine = tuple(one for one in breaches if wanted & set(one.jobs) or not one.jobs)
    materials = {key for job in jobs for key in job.rates}
    ledger = tuple(one for one in label_ledger(course, allowed) if one.material in materials)
    said = [*remarks, *_unlabelled(course, jobs), *_without_days(course, jobs)]
    return Spraying(
        plans=tuple(plans),
        breaches=mine,
        forbidden={name: keys for name, keys in forbidden.items() if name in wanted},
        ledger=ledger,
        remarks=tuple(said),
    )


def refused_sprays(course: Course) -> Spraying:
    """What labels do not allow of the programme, whatever is recorded; no tank is laid for it."""
    forbidden = _forbidden(course)
    breaches = check_labels(course, [one for one in planned_applications(course) if one.job not in forbidden])
    return Spraying(plans=(), breaches=breaches, forbidden=forbidden, ledger=())


def refused_jobs(course: Course) -> set[str]:
    """Names of the spray jobs that labels leave no plan, whatever is recorded: nobody is sent out for them."""
    refused = refused_sprays(course)
    return {*refused.forbidden, *(name for one in refused.breaches for name in one.jobs)}


def _forbidden(course: Course) -> dict[str, tuple[str, ...]]:
    """Jobs with products that have a maximum of zero, and which."""
    found = {}
    for job in course.needs_settings("a spray plan needs jobs").job:
        if isinstance(job, Spray):
            none = tuple(key for key in job.rates if (label := label_of(course, key)) is not None and label.forbids)
            if none:
                found[job.name] = none
    return found


def _still_planned(
    planned: Sequence[Application], recorded: Sequence[Application]
) -> tuple[list[Application], list[str]]:
    """What of a programme is left once part of it is recorded."""
    until: dict[str, date] = {}
    for one in recorded:
        if one.day is not None:
            until[one.material] = max(one.day, until.get(one.material, one.day))
    left, said = [], []
    for one in planned:
        last = until.get(one.material)
        if last is None or one.month is None or one.month > last.isoformat()[:7] or (one.day and one.day > last):
            left.append(one)
        elif one.day is None and one.month == last.isoformat()[:7]:
            done = {other.day for other in recorded if other.material == one.material and other.month == one.month}
            if one.times > len(done):
                left.append(replace(one, times=one.times - len(done)))
    for material, last in until.items():
        said.append(f"Of {material} the records stand in place of the plan up to {last}.")
    return left, said


def _unlabelled(course: Course, jobs: Sequence[Spray]) -> list[str]:
    bare = [key for key in dict.fromkeys(key for job in jobs for key in job.rates) if label_of(course, key) is None]
    if not bare:
        return []
    return [
        f"No label was typed in for {', '.join(bare)}, so nothing is held against one: add label = {{ most = "
        f'"30 l/ha", most_a_year = "...", interval = "14 days" }} to [material.{bare[0]}].'
    ]


def _without_days(course: Course, jobs: Sequence[Spray]) -> list[str]:
    settings = course.needs_settings("a spray plan needs jobs")
    said = []
    for job in jobs:
        spaced = [key for key in job.rates if (label := label_of(course, key)) is not None and label.interval]
        if spaced and any(one.day is None for one in occurrences(job, settings)):
            said.append(
                f"{job.name} has no days, only months or less, so the interval of {', '.join(spaced)} is checked "
                "only as far as a month has room for it; give it dates."
            )
    return said


def plan_spray(course: Course, job: Spray, order: str | None = None) -> SprayPlan:
    """
    Plan one round of a spray job.

    Parameters
    ----------
    course, job
        The course and the job.
    order
        As for :func:`turfgis.estimates.tanks.sprayed_in_order`.
    """
    settings = course.needs_settings("a spray plan needs jobs")
    need = estimate_need(course, job, job.material)
    ground, treated = sprayed_ground(course, job), need.treated_m2
    tanks = lay_tanks(course, job, treated, order)
    rows = tanks.rows if tanks else sprayed_in_order(course, job, treated > 0, order)
    times = sum(one.times for one in occurrences(job, settings))
    rest = tanks.gear.dead_volume if tanks else 0.0
    over = treated.sum() + (rest / tanks.volume if tanks else 0.0)
    return SprayPlan(
        job=job,
        settings=settings,
        volume=spray_volume(job, settings),
        stops=tuple(_stops(course, rows, ground.kept_m2, treated, tanks)),
        fills=tuple(_fills(course, job, tanks)) if tanks else (),
        products_m3={key: float(rate.mean * over) for key, rate in job.rates.items()},
        rest_m3=rest,
        times=times,
        ground=ground,
        remarks=tuple(_remarks(job, settings, ground)),
    )


def _stops(
    course: Course, rows: np.ndarray, kept: np.ndarray, treated: np.ndarray, tanks: Tanks | None
) -> Iterator[Stop]:
    at, holes = course.ground, course.ground.hole.tolist()
    for place, row in enumerate(rows):
        covered: Mapping[int, float] = {}
        if tanks is not None:
            by = tanks.sprayed_m3[:, place]
            covered = {int(tank) + 1: float(by[tank] / tanks.volume) for tank in np.flatnonzero(by)}
        yield Stop(
            *(str(at.patch[row]), str(at.surface[row]), holes[row], float(at.net_m2[row])),
            *(float(kept[row]), float(treated[row]), dict(covered)),
        )


def _fills(course: Course, job: Spray, tanks: Tanks) -> Iterator[Fill]:
    """Tanks with their products; water is what is left of the mix."""
    names, covered = course.ground.patch[tanks.rows], tanks.sprayed_m3 / tanks.volume
    ends = np.cumsum(covered, axis=0)
    whole = covered.sum(axis=0)
    for at, mixed in enumerate(tanks.mixed_m3):
        area = float(mixed) / tanks.volume
        products = {key: rate.mean * area for key, rate in job.rates.items()}
        places = np.flatnonzero(covered[at])
        last = int(places[-1])
        left = float(whole[last] - ends[at, last])
        yield Fill(
            number=at + 1,
            mixed_m3=float(mixed),
            water_m3=max(float(mixed) - sum(products.values()), 0.0),
            products_m3=products,
            covers_m2=float(covered[at].sum()),
            from_patch=str(names[places[0]]),
            to_patch=str(names[last]),
            left_m2=left if left > NOTHING_M2 else 0.0,
            way_m=float(tanks.way_m[last]),
        )


def _remarks(job: Spray, settings: CourseSettings, ground: SprayedGround) -> Iterator[str]:
    if ground.swallowed:
        yield f"What is kept off leaves nothing of {listed(list(ground.swallowed))}; nothing is sprayed there."
    elif not ground.on.any():
        yield f"Nothing is left to be sprayed: no {' or '.join(job.on)} where it looks."
    for name in sorted(set(ground.metres) - set(ground.zones["label"])):
        yield f"No {name} is drawn, so nothing is kept off for it."
    machine = settings.machine.get(job.machine or "")
    if machine is None:
        yield 'No tanks, because no sprayer is named: add machine = "..." to the job.'
    elif machine.spray is None:
        yield f'No tanks, because none is known: add [machine.{job.machine}.spray] with tank = "300 l".'
    elif spray_volume(job, settings) is None:
        yield 'No tanks, because the spray volume is not known: add spray_volume = "400 l/ha" to the job.'
    else:
        gear = machine.spray
        if gear.nozzles and gear.nozzle_spacing and abs(gear.nozzles * gear.nozzle_spacing / machine.width - 1) > 0.01:
            yield (
                f"{gear.nozzles} nozzles {gear.nozzle_spacing:g} m apart cover "
                f"{gear.nozzles * gear.nozzle_spacing:g} m, but {job.machine} has a width of {machine.width:g} m."
            )
