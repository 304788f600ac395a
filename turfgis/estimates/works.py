"""What each kind of work takes of a material over a unit of ground: one entry a work."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import sqrt

from turfgis.formulas.bunkers import bunker_sand_volume
from turfgis.formulas.chance import Figure
from turfgis.formulas.scarify import slit_area_share
from turfgis.formulas.seed import pure_live_seed
from turfgis.formulas.tines import hole_area_share
from turfgis.settings.models import (
    BunkerSand,
    DivotMix,
    DrillSeed,
    Fertilise,
    Fertiliser,
    HollowTine,
    Job,
    Material,
    Overseed,
    RepairTurf,
    Sand,
    Scarify,
    Seed,
    SolidTine,
    SpotTreatment,
    Spray,
    Topdress,
)

Factors = dict[str, Figure]


@dataclass(frozen=True)
class Rate:
    """
    What a unit of ground takes.

    Attributes
    ----------
    own
        Figures whose product is the amount.
    over
        ``area`` for a square metre, ``edge`` for a metre of edge, ``whole`` for the whole job.
    lent
        Figures in ``own`` that belong to a material: name -> its key in the settings, and the name there.
    """

    own: Factors
    over: str = "area"
    lent: dict[str, tuple[str, str]] = field(default_factory=dict)


def material_rate(job: Job, role: str, material: Material, materials: Mapping[str, Material]) -> Rate:
    """
    What a job takes of a material each time.

    Parameters
    ----------
    job, role
        The job, and the key under which it names the material.
    material, materials
        That material, and all there are.

    Returns
    -------
    Sand as a volume [m3], seed and fertiliser as a weight [kg], a liquid as a volume [m3], turf as an area [m2].
    """
    if isinstance(job, HollowTine | SolidTine):
        share = float(hole_area_share(job.tine, *job.spacing))
        return Rate({"share opened": Figure(share), "depth of holes": job.depth, "fill": job.fill})
    if isinstance(job, Scarify):
        share = float(slit_area_share(job.blade, job.spacing))
        return Rate({"share opened": Figure(share), "depth of slits": job.depth, "fill": job.fill})
    if isinstance(job, Topdress):
        return Rate({"depth": job.depth})
    if isinstance(job, Overseed | DrillSeed) and isinstance(material, Seed):
        live = float(pure_live_seed(material.purity, material.germination)) if job.rate_of == "live seed" else 1.0
        return Rate({"rate": job.rate, "seed for each of live seed": Figure(1 / live)})
    if isinstance(job, Fertilise) and isinstance(material, Fertiliser):
        shares = {str(name): share for name, share in material.analysis.items()}
        content = shares[job.nutrient] if job.nutrient else 1.0
        return Rate({"rate": job.rate, "product for each of nutrient": Figure(1 / content)})
    if isinstance(job, Spray):
        return Rate({"rate": job.rates[job.uses[role]]})
    if isinstance(job, DivotMix):
        return _divot_mix(job, role, materials)
    if isinstance(job, RepairTurf):
        return _repair_turf(job)
    if isinstance(job, SpotTreatment) and job.area is not None:
        return _spot(job, job.area)
    if isinstance(job, BunkerSand):
        return Rate({"mean depth": _bunker_depth(job), "settling": job.settling.shifted(1.0)})
    raise TypeError(f"{job.work} does not use {material.kind}")


def _divot_mix(job: DivotMix, role: str, materials: Mapping[str, Material]) -> Rate:
    """The sand fills the divots; seed is so much of its dry weight and takes no room of its own."""
    if job.mix_per_round is not None:
        own, over = {"mix for a round": job.mix_per_round}, "whole"
    elif job.worn is not None and job.depth is not None:
        own, over = {"share worn": job.worn, "depth of divots": job.depth}, "area"
    else:  # refused while reading
        raise TypeError("divot mix goes by worn ground or by rounds")
    if role == "sand":
        return Rate(own, over)
    sand = materials[job.sand]
    density = sand.bulk_density if isinstance(sand, Sand) else Figure(1.0)
    name = f"bulk density of {job.sand}"
    own = {**own, name: density, "seed for each of sand": job.seed_share}
    return Rate(own, over, {name: (job.sand, "bulk density")})


def _repair_turf(job: RepairTurf) -> Rate:
    trim = job.trim.shifted(1.0)
    if job.share is not None:
        return Rate({"share repaired": job.share, "trim": trim})
    if job.strip is not None:
        return Rate({"width of strip": job.strip, "trim": trim}, "edge")
    return Rate({"area repaired": job.area or Figure(0.0), "trim": trim}, "whole")


def _spot(job: SpotTreatment, area: Figure) -> Rate:
    taken = {}
    if job.rate is not None:
        taken = {"rate": job.rate.weight} if job.rate.weight else {"depth of it": job.rate.depth or Figure(0.0)}
    return Rate({"area treated": area, **taken}, "whole")


def _bunker_depth(job: BunkerSand) -> Figure:
    """
    Mean depth over floor and faces.

    Of d = f (1 - s) + c s with floor f, face c and share s of face, all independent, E[d^2] follows from their moments.
    """
    floor, face, share = job.floor_depth, job.face_depth, job.face_share
    f, c, s = floor.mean, face.mean, share.mean
    mean = float(bunker_sand_volume(1 - s, f, s, c))
    s_square = s * s + share.variance
    square = (f * f + floor.variance) * (1 - 2 * s + s_square) + (c * c + face.variance) * s_square
    square += 2 * f * c * (s - s_square)
    return Figure(mean, sqrt(max(square - mean * mean, 0.0)) if not _exact(floor, face, share) else 0.0)


def _exact(*figures: Figure) -> bool:
    return all(figure.exact for figure in figures)
