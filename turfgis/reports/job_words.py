"""What a job does to the ground, in a few words: the figures that its settings give."""

from collections.abc import Callable
from typing import Any

from turfgis.settings import models
from turfgis.settings.models import Job
from turfgis.units import shown, to_si

THINNEST_LAYER = 1e-4  # what is thinner on the ground is a liquid [m]


def rate_words(job: Job, units: str = "metric") -> str:
    """
    Depth, rate or other figure of a job, without its spread; empty where the work has none of its own.

    Parameters
    ----------
    job
        A job of the settings.
    units
        ``metric`` or ``us``.

    Examples
    --------
    >>> from turfgis.settings.models import Spray
    >>> wet = Spray(name="wet", work="spray", on=["green"], rate="10 l/ha", material="soap")
    >>> rate_words(wet), rate_words(wet, "us")
    ('10 l/ha', '1.07 US gal/acre')
    """
    for kinds, words in _WORDS:
        if isinstance(job, kinds):
            return words(job, units)
    return ""


def _length(value: float, units: str) -> str:
    """Short lengths as they are typed: 12.7 mm and 2 mm, not 2.0 mm."""
    how = shown("small length", units)
    return f"{round(value * how.per_si, how.decimals):g} {how.label}"


def _figure(kind: str, value: float, units: str) -> str:
    how = shown(kind, units)
    return f"{round(value * how.per_si, how.decimals):,g} {how.label}"


def _share(value: float) -> str:
    return f"{100 * value:g} %"


def _tines(job: Any, units: str) -> str:
    along, across = (_length(one, units) for one in job.spacing)
    return f"{_length(job.tine, units)} tines at {along} by {across}, {_length(job.depth.mean, units)} deep"


def _slits(job: Any, units: str) -> str:
    return (
        f"{_length(job.blade, units)} blades {_length(job.spacing, units)} apart, {_length(job.depth.mean, units)} deep"
    )


def _seed(job: Any, units: str) -> str:
    return f"{_figure('mass rate', job.rate.mean, units)} of {job.rate_of}"


def _feed(job: Any, units: str) -> str:
    return f"{_figure('mass rate', job.rate.mean, units)} of {job.nutrient or 'product'}"


def _liquid(job: Any, units: str) -> str:
    return _liquid_rate(job.rate.mean, units)


def _liquid_rate(rate: float, units: str) -> str:
    unit, decimals = ("l/ha", 1) if units == "metric" else ("US gal/acre", 2)
    return f"{round(rate / to_si(f'1 {unit}', 'volume rate'), decimals):g} {unit}"


def _divots(job: Any, units: str) -> str:
    seed = f", {_share(job.seed_share.mean)} seed by weight of the sand" if job.seed else ""
    if job.mix_per_round is not None:
        how = shown("liquid", units)
        return f"{job.mix_per_round.mean * how.per_si:.3g} {how.label} a round{seed}"
    return f"{_share(job.worn.mean)} of the ground, {_length(job.depth.mean, units)} deep{seed}"


def _turf(job: Any, units: str) -> str:
    if job.share is not None:
        return f"{_share(job.share.mean)} of the ground"
    if job.area is not None:
        return f"{_figure('area', job.area.mean, units)} in all"
    return f"{_figure('width', job.strip.mean, units)} along the edges"


def _spot(job: Any, units: str) -> str:
    if job.area is None:
        return "by hand"
    taken = ""
    if job.rate is not None and job.rate.weight:
        taken = f"{_figure('mass rate', job.rate.weight.mean, units)} on "
    elif job.rate is not None:
        taken = f"{_length(job.rate.depth.mean, units)} on "
        if job.rate.depth.mean < THINNEST_LAYER:
            taken = f"{_liquid_rate(job.rate.depth.mean, units)} on "
    return f"{taken}{_figure('area', job.area.mean, units)} in all"


def _bunkers(job: Any, units: str) -> str:
    faces = f", {_length(job.face_depth.mean, units)} on faces" if job.face_share.mean else ""
    return f"{_length(job.floor_depth.mean, units)} on floors{faces}"


def _edges(job: Any, units: str) -> str:
    how = shown("length", units)
    return f"{job.speed * 3600 * how.per_si:,.0f} {how.label}/h"


def _contract(job: Any, units: str) -> str:
    return f"{job.days:g} day{'' if job.days == 1 else 's'}" if job.days is not None else "by area"


def _watering(job: Any, units: str) -> str:
    return "as the weather asks" if job.depth is None else f"{_length(job.depth.mean, units)} at the roots"


_WORDS: tuple[tuple[Any, Callable[[Any, str], str]], ...] = (
    (models.HollowTine | models.SolidTine, _tines),
    (models.Scarify, _slits),
    (models.Topdress, lambda job, units: _length(job.depth.mean, units)),
    (models.Overseed | models.DrillSeed, _seed),
    (models.Fertilise, _feed),
    (models.Spray, _liquid),
    (models.DivotMix, _divots),
    (models.RepairTurf, _turf),
    (models.SpotTreatment, _spot),
    (models.BunkerSand, _bunkers),
    (models.Edge, _edges),
    (models.Watering, _watering),
    (models.Purchase, lambda job, units: f"{job.count:,}"),
    (models.Contractor, _contract),
)
