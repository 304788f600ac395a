"""Reading a ``course.toml``: every message names the file, the line, the key and what would be accepted."""

import tomllib
from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path

from pydantic import BaseModel, ValidationError

from turfgis.errors import SettingsError
from turfgis.settings import models
from turfgis.settings.lines import key_lines, line_of
from turfgis.surfaces import SURFACES

_MODELS = {
    "layer": models.Layer,
    "strip": models.Strip,
    "surface": models.SurfaceSetting,
    "machine": models.Machine,
    "map": models.MapSetting,
    "sand": models.Sand,
    "seed": models.Seed,
    "fertiliser": models.Fertiliser,
    "hollow_tine": models.HollowTine,
    "solid_tine": models.SolidTine,
    "topdress": models.Topdress,
    "overseed": models.Overseed,
    "fertilise": models.Fertilise,
    "mow": models.Mow,
}
_MATERIAL_FOR = {
    "hollow_tine": "sand",
    "solid_tine": "sand",
    "topdress": "sand",
    "overseed": "seed",
    "fertilise": "fertiliser",
}


def read_settings(path: Path) -> models.CourseSettings:
    """
    Read and check a settings file.

    Parameters
    ----------
    path
        The ``course.toml``.

    Returns
    -------
    The settings, frozen.

    Raises
    ------
    SettingsError
        The file cannot be read, or says something that cannot be used. The message lists every such key, with its line.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise SettingsError(f"{path}: no such file") from None
    except UnicodeDecodeError:
        raise SettingsError(f"{path}: not a text file in UTF-8; save it as UTF-8 text") from None
    except OSError as error:
        raise SettingsError(f"{path}: cannot be read: {error.strerror}") from None
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise SettingsError(f"{path.name}: not valid TOML: {error}") from None
    lines = key_lines(text)
    try:
        settings = models.CourseSettings.model_validate(data)
    except ValidationError as error:
        messages = [_message(problem, data) for problem in error.errors(include_url=False)]
    else:
        messages = list(_cross_checks(settings))
        if not messages:
            return settings
    raise SettingsError("\n".join(_placed(path.name, lines, where, what) for where, what in messages))


def _placed(file: str, lines: dict[tuple, int], where: tuple, what: str) -> str:
    line = line_of(lines, where)
    key = ".".join(str(part + 1) if isinstance(part, int) else str(part) for part in where)
    return f"{file}{f':{line}' if line else ''}: {key + ': ' if key else ''}{what}"


def _message(problem, data: dict) -> tuple[tuple, str]:
    """Path of keys and what is wrong there, in plain words."""
    where = _without_tags(problem["loc"], data)
    kind, given = problem["type"], problem["input"]
    if kind == "extra_forbidden":
        known = _known_keys(where[:-1], data)
        return where, f"unknown key '{where[-1]}'{_did_you_mean(str(where[-1]), known)}"
    if kind == "missing":
        return where, "is missing; it must be given"
    if kind == "union_tag_invalid":
        accepted = problem["ctx"]["expected_tags"].replace("'", "").split(", ")
        tag = problem["ctx"]["discriminator"].strip("'")
        return (*where, tag), f"'{problem['ctx']['tag']}' is not known{_did_you_mean(problem['ctx']['tag'], accepted)}"
    if kind == "union_tag_not_found":
        return where, f"needs the key {problem['ctx']['discriminator']}"
    if kind == "literal_error":
        accepted = [name.strip("'") for name in problem["ctx"]["expected"].replace(" or ", ", ").split(", ")]
        if where and where[-1] == "[key]":
            where = where[:-1]
        return where, f"'{given}' is not known{_did_you_mean(str(given), accepted)}"
    if kind == "value_error":
        return where, str(problem["ctx"]["error"])
    if kind.startswith("date"):
        return where, f"'{given}' is not a day; write it like 2026-03-14, without quotes"
    if kind == "string_pattern_mismatch":
        return where, f"'{given}' is not a currency; write its three capital letters, such as EUR"
    return where, f"'{given}': {problem['msg'][0].lower()}{problem['msg'][1:]}"


def _without_tags(loc: tuple, data: dict) -> tuple:
    """The path as it stands in the file: without the names that the checker puts in for the kind of entry."""
    kept: list = []
    node = data
    for part in loc:
        inside = isinstance(node, dict) and part in node
        listed = isinstance(node, list) and isinstance(part, int) and part < len(node)
        if inside or listed:
            node = node[part]  # type: ignore[index]
            kept.append(part)
        elif part in _MODELS and len(kept) >= 2:
            continue
        else:
            kept.append(part)
    return tuple(kept)


def _known_keys(where: tuple, data: dict) -> list[str]:
    if not where:
        return list(models.CourseSettings.model_fields)
    node = data
    for part in where:
        node = node[part]
    tag = {"material": "kind", "job": "work"}.get(where[0])
    model: type[BaseModel] | None = _MODELS.get(node.get(tag) if tag and isinstance(node, dict) else where[0])
    return list(model.model_fields) if model else []


def _did_you_mean(given: str, accepted: Iterable[str]) -> str:
    accepted = list(accepted)
    near = get_close_matches(given, accepted, n=1, cutoff=0.6)
    guess = f"; did you mean '{near[0]}'?" if near else ""
    return f"{guess} (accepted: {', '.join(accepted)})" if accepted else guess


def _cross_checks(settings: models.CourseSettings) -> Iterable[tuple[tuple, str]]:
    """What no single key can tell: names that point to one another, kinds that do not fit."""
    surfaces = [*SURFACES, *(name for name, one in settings.surface.items() if one.over and name not in SURFACES)]
    yield from _surface_names(settings, surfaces)
    yield from _prices(settings)
    names = [job.name for job in settings.job]
    for place, job in enumerate(settings.job):
        if names.index(job.name) != place:
            yield ("job", place, "name"), f"two jobs have the name '{job.name}'"
        if isinstance(job, models.Mow):
            if job.machine not in settings.machine:
                yield (
                    ("job", place, "machine"),
                    f"no machine '{job.machine}'{_did_you_mean(job.machine, settings.machine)}",
                )
            continue
        if job.material is None:
            continue
        material = settings.material.get(job.material)
        if material is None:
            yield (
                ("job", place, "material"),
                f"no material '{job.material}'{_did_you_mean(job.material, settings.material)}",
            )
        elif material.kind != _MATERIAL_FOR[job.work]:
            yield (
                ("job", place, "material"),
                f"'{job.material}' is {material.kind}; {job.work} needs {_MATERIAL_FOR[job.work]}",
            )
        elif not _has_nutrient(job, material):
            yield ("job", place, "nutrient"), f"'{job.material}' has no {job.nutrient} in its analysis"


def _has_nutrient(job: models.Job, material: models.Material) -> bool:
    if not isinstance(job, models.Fertilise) or not isinstance(material, models.Fertiliser) or job.nutrient is None:
        return True
    return dict(material.analysis).get(job.nutrient, 0) > 0


def _surface_names(settings: models.CourseSettings, surfaces: list[str]) -> Iterable[tuple[tuple, str]]:
    for name, one in settings.surface.items():
        if name not in SURFACES and not one.over:
            hint = _did_you_mean(name, SURFACES)
            yield ("surface", name), f"a surface of the club's own needs over = [...], what it lies over{hint}"
        for other in one.over or []:
            if other not in surfaces:
                yield ("surface", name, "over"), f"no surface '{other}'{_did_you_mean(other, surfaces)}"
    used: list[tuple[tuple, str]] = []
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
        if name not in surfaces:
            yield where, f"no surface '{name}'{_did_you_mean(name, surfaces)}"


def _prices(settings: models.CourseSettings) -> Iterable[tuple[tuple, str]]:
    for key, material in settings.material.items():
        price = material.price
        if price is None:
            continue
        if price.currency != settings.currency:
            yield (
                ("material", key, "price"),
                f"is in {price.currency}, but the currency of the course is {settings.currency}",
            )
        if price.per_kg is None and getattr(material, "pack", None) is None:
            yield ("material", key, "price"), 'is per pack, but the material has no pack; add pack = "10 kg" or so'
