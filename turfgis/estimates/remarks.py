"""What is worth saying about the figures an order was made from: outside published ranges, or taken as exact."""

from __future__ import annotations

from turfgis.estimates.course import Course
from turfgis.estimates.needs import Need
from turfgis.estimates.sprayed import sprayed_ground
from turfgis.layers.findings import listed
from turfgis.layers.words import hole_text
from turfgis.published.ranges import remark
from turfgis.settings.models import Fertilise, Material, Sand, Spray, Topdress


def order_remarks(course: Course, material: Material, needs: list[Need]) -> tuple[str, ...]:
    """
    Remarks on an order, in plain sentences.

    Parameters
    ----------
    course, material, needs
        What the order is made from.

    Returns
    -------
    Remarks; none of them stops anything.
    """
    said: list[str] = []
    exact = [f"{name} of {need.job.name}" for need in needs for name in _without_spread(need)]
    if isinstance(material, Sand):
        said.append(remark("sand_bulk_density", material.bulk_density.mean))
        said.append(remark("sand_moisture", material.moisture.mean))
        exact += [
            name
            for name, figure in (
                ("bulk density", material.bulk_density),
                ("moisture", material.moisture),
                ("storage loss", material.storage_loss),
            )
            if figure.exact
        ]
    for need in needs:
        said += _job_remarks(course, need)
    if exact and isinstance(material, Sand):
        said.append(
            "Taken as exact, because no spread was given: " + ", ".join(exact) + ". The chance of running short is "
            "understated to that extent."
        )
    if isinstance(material, Sand) and material.load is None:
        said.append('No load size was given: add load = "20 t" or so to the material to see whole loads.')
    if not isinstance(material, Sand) and material.pack is None:
        said.append('No pack was given: add pack = "10 kg" or so to the material to see whole packs.')
    return tuple(text for text in said if text)


def _job_remarks(course: Course, need: Need) -> list[str]:
    job, where = need.job, " or ".join(need.job.on)
    said = []
    swallowed = sprayed_ground(course, job).swallowed if isinstance(job, Spray) else ()
    if swallowed:
        said.append(f"Job '{job.name}': what is kept off leaves nothing of {listed(list(swallowed))}.")
    if not need.on.any() and not swallowed:
        said.append(f"Job '{job.name}' is done on no patch: no {where} was found where it looks.")
    elif job.holes is not None:
        found = set(course.measured.patches.loc[need.on, "hole"])
        bare = [str(hole) for hole in job.holes if hole_text(hole) not in found]
        if bare:
            said.append(f"Job '{job.name}' finds no {where} on hole {', '.join(bare)}.")
    if isinstance(job, Topdress):
        said.append(_named(job.name, remark("topdressing_depth", job.depth.mean)))
    if isinstance(job, Fertilise) and job.nutrient == "N":
        said.append(_named(job.name, remark("nitrogen_per_application", job.rate.mean)))
    return said


def _without_spread(need: Need) -> list[str]:
    names = [name for name in ("depth", "depth of holes", "fill") if name in need.own and need.own[name].exact]
    return [*names, "overthrow"] if need.beyond_m2.any() and need.beyond.exact else names


def _named(job: str, text: str) -> str:
    return f"Job '{job}': {text}" if text else ""
