"""What no single key can tell: names that point to one another, kinds that do not fit, prices that cannot be used."""

from collections.abc import Iterator

from turfgis.errors import InputError
from turfgis.settings import models
from turfgis.settings.messages import Path, did_you_mean
from turfgis.settings.values import OXIDES
from turfgis.surfaces import SURFACES, pile_order

Problem = tuple[Path, str]

_MATERIAL_FOR = {
    "hollow_tine": "sand",
    "solid_tine": "sand",
    "topdress": "sand",
    "overseed": "seed",
    "fertilise": "fertiliser",
}


def cross_checks(settings: models.CourseSettings) -> Iterator[Problem]:
    """Path of keys and what is wrong there, for each thing that does not fit the rest."""
    yield from _own_surfaces(settings)
    yield from _surface_names(settings)
    yield from _prices(settings)
    names = [job.name for job in settings.job]
    for place, job in enumerate(settings.job):
        if names.index(job.name) != place:
            yield ("job", place, "name"), f"two jobs have the name '{job.name}'; give each its own"
        yield from (
            _job_machine(settings, place, job) if isinstance(job, models.Mow) else _job_material(settings, place, job)
        )


def _known_surfaces(settings: models.CourseSettings) -> list[str]:
    return [*SURFACES, *(name for name, one in settings.surface.items() if one.over and name not in SURFACES)]


def _own_surfaces(settings: models.CourseSettings) -> Iterator[Problem]:
    known = _known_surfaces(settings)
    sound = True
    for name, one in settings.surface.items():
        if name not in SURFACES and not one.over:
            hint = did_you_mean(name, SURFACES)
            yield ("surface", name), f"a surface of the club's own needs over = [...], what it lies over{hint}"
        for other in one.over or []:
            if other not in known:
                sound = False
                yield ("surface", name, "over"), f"no surface '{other}'{did_you_mean(other, known)}"
    if sound:
        try:
            pile_order({name: one.over or [] for name, one in settings.surface.items()})
        except InputError as error:
            yield ("surface",), str(error)


def _surface_names(settings: models.CourseSettings) -> Iterator[Problem]:
    known = _known_surfaces(settings)
    used: list[tuple[Path, str]] = []
    for place, layer in enumerate(settings.layer):
        if layer.surface:
            used.append((("layer", place, "surface"), layer.surface))
        used += [(("layer", place, "surfaces", value), name) for value, name in layer.surfaces.items()]
    for place, strip in enumerate(settings.strip):
        used += [(("strip", place, "surface"), strip.surface), (("strip", place, "around"), strip.around)]
    for key, machine in settings.machine.items():
        used += [(("machine", key, "on"), name) for name in machine.on]
    for place, job in enumerate(settings.job):
        used += [(("job", place, "on"), name) for name in job.on]
    for where, name in used:
        if name not in known:
            yield where, f"no surface '{name}'{did_you_mean(name, known)}"


def _prices(settings: models.CourseSettings) -> Iterator[Problem]:
    for key, material in settings.material.items():
        price, where = material.price, ("material", key, "price")
        if price is None:
            continue
        if price.currency != settings.currency:
            yield where, f"is in {price.currency}, but the currency of the course is {settings.currency}"
        if price.per_kg is None and isinstance(material, models.Sand):
            yield where, "is per pack, but sand comes in loads; write it by weight, such as 42 EUR/t"
        elif price.per_kg is None and not isinstance(material, models.Sand) and material.pack is None:
            yield where, 'is per pack, but the material has no pack; add pack = "10 kg" or so'


def _job_machine(settings: models.CourseSettings, place: int, job: models.Mow) -> Iterator[Problem]:
    if job.machine not in settings.machine:
        hint = did_you_mean(job.machine, settings.machine) or "; describe it as [machine.NAME]"
        yield ("job", place, "machine"), f"no machine '{job.machine}'{hint}"


def _job_material(settings: models.CourseSettings, place: int, job) -> Iterator[Problem]:
    if job.material is None:
        return
    material, wanted = settings.material.get(job.material), _MATERIAL_FOR[job.work]
    if material is None:
        hint = did_you_mean(job.material, settings.material) or "; describe it as [material.NAME]"
        yield ("job", place, "material"), f"no material '{job.material}'{hint}"
    elif material.kind != wanted:
        fitting = [name for name, one in settings.material.items() if one.kind == wanted]
        named = f" (there is: {', '.join(fitting)})" if fitting else ""
        yield ("job", place, "material"), f"'{job.material}' is {material.kind}; {job.work} needs {wanted}{named}"
    elif isinstance(job, models.Fertilise) and isinstance(material, models.Fertiliser) and job.nutrient:
        analysis = {str(name): share for name, share in material.analysis.items()}
        if not analysis.get(job.nutrient, 0.0):
            there = ", ".join(name for name, share in analysis.items() if share) or "nothing"
            other = {**OXIDES, **{element: oxide for oxide, element in OXIDES.items()}}.get(job.nutrient)
            hint = f"; give the rate as {other}" if other in analysis else ""
            yield ("job", place, "nutrient"), f"'{job.material}' has {there}, but no {job.nutrient}{hint}"
