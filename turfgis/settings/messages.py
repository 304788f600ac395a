"""What is wrong at one key of a settings file, in plain words: what was given, and what would be accepted."""

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import Any, get_args

from pydantic import BaseModel

from turfgis.settings import models
from turfgis.settings.spraying import Label, SprayGear
from turfgis.settings.water import Supply, SurfaceWater, WaterLimit

Path = tuple[Any, ...]  # of keys, with the place of an entry in a list of tables

# tables in double brackets
LISTED = ("layer", "strip", "job", "odd_job", "reading", "catch", "soak")
# tables in single brackets, each with a name of its own
NAMED = ("surface", "material", "supplier", "machine", "season", "limit", "person", "fuel", "controller")
KINDS = {get_args(model.model_fields["kind"].annotation)[0]: model for model in models.MATERIALS}
WORKS = {get_args(model.model_fields["work"].annotation)[0]: model for model in models.JOBS}
TABLES: dict[str, type[BaseModel]] = {
    "layer": models.Layer,
    "strip": models.Strip,
    "surface": models.SurfaceSetting,
    "supplier": models.Supplier,
    "machine": models.Machine,
    "map": models.MapSetting,
    "season": models.Season,
    "labour": models.Labour,
    "budget": models.BudgetSetting,
    "limit": models.Limit,
    "elevation": models.ElevationSetting,
    "yard": models.Yard,
    "photo": models.PhotoSetting,
    "reading": models.ReadingSetting,
    "catch": models.Catch,
    "controller": models.Controller,
    "soak": models.Soak,
    "workday": models.Workday,
    "person": models.Person,
    "play": models.Play,
    "odd_job": models.OddJob,
    "fuel": models.Fuel,
    "water": models.WaterSetting,
}
# tables within [water]; the first two with a name of their own behind
WATER = {"surface": SurfaceWater, "limit": WaterLimit, "supply": Supply}
# tables within a material or a machine
INSIDE: dict[Any, type[BaseModel]] = {"label": Label, "spray": SprayGear}
TAGS = {"material": ("kind", KINDS), "job": ("work", WORKS)}  # which key tells what sort of table it is
HEADS: dict[str, type[BaseModel]] = {
    **{f"[[{name}]]" if name in LISTED else f"[{name}.NAME]": model for name, model in TABLES.items()},
    **{f'[material.NAME] with kind = "{kind}"': model for kind, model in KINDS.items()},
    **{f'[[job]] with work = "{work}"': model for work, model in WORKS.items()},
}


def place_and_words(problem: Mapping[str, Any], data: dict) -> tuple[Path, str]:
    """
    Path of keys and what is wrong there.

    Parameters
    ----------
    problem
        One error of pydantic.
    data
        The whole file, as TOML gives it.

    Returns
    -------
    where, what
    """
    where: Path = _as_in_the_file(problem["loc"])
    kind, given, more = problem["type"], problem["input"], problem.get("ctx", {})
    if kind == "extra_forbidden":
        return where, _unknown_key(where, data)
    if kind == "missing":
        return where, "is missing; it must be given" + ("; begin it with [[layer]]" if where == ("layer",) else "")
    if kind == "union_tag_invalid":
        tag, accepted = TAGS[where[0]]
        return (*where, tag), f"'{more['tag']}' is not known{did_you_mean(more['tag'], accepted)}"
    if kind == "union_tag_not_found":
        tag, accepted = TAGS[where[0]]
        if isinstance(given, dict):
            return where, f"needs the key {tag} (accepted: {', '.join(accepted)})"
        return where, _not_a_table(where, given)
    if kind == "literal_error":
        accepted = [name.strip("'") for name in more["expected"].replace(" or ", ", ").split(", ")]
        return where, f"'{given}' is not known{did_you_mean(str(given), accepted)}"
    if kind == "value_error":
        return where, str(more["error"])
    return where, _wrong_type(kind, where, given, more, problem["msg"])


def _wrong_type(kind: str, where: Path, given: Any, more: Mapping[str, Any], else_said: str) -> str:
    if kind == "list_type":
        return _not_a_list(where, given)
    if kind in ("dict_type", "model_type", "model_attributes_type"):
        return _not_a_table(where, given)
    if kind == "string_type":
        one = "one name" if isinstance(given, list | dict) else "it"
        example = ', such as "EPSG:25832"' if where[-1] == "crs" else ""
        return f"{_toml(given)} is not text; write {one} in quotes{example}"
    if kind == "string_too_short":
        return "is empty; write something between the quotes, or leave the key out"
    if kind == "string_pattern_mismatch":
        return f"'{given}' is not a currency; write its three capital letters, such as EUR"
    if kind == "too_short":
        return "is empty; name at least one"
    if kind == "bool_type":
        return f"{_toml(given)} is neither true nor false; write one of them, without quotes"
    if kind in ("int_type", "greater_than_equal", "less_than_equal"):
        return f"{_toml(given)} is not a whole number from 1 to 366; write one without quotes"
    return f"{_toml(given)}: {else_said[0].lower()}{else_said[1:]}"


def _not_a_list(where: Path, given: Any) -> str:
    if len(where) == 1:
        return f"write it with double brackets: [[{where[0]}]], and its keys below"
    example = f'["{given}"]' if isinstance(given, str) and given else '["green"]'
    return f"{_toml(given)} is not a list; write it as a list: {example}"


def _not_a_table(where: Path, given: Any) -> str:
    if where in (("map",), ("elevation",), ("photo",), ("water",)):
        return f"write it as a table: [{where[0]}], and its keys below"
    if where[0] == "water":
        inside = f"water.{where[1]}" + (".NAME" if where[1] != "supply" else "")
        return f"{_toml(given)} is not a table; write [{inside}], and its keys below"
    if where[0] in LISTED:
        return f"{_toml(given)} is not a table; write [[{where[0]}]], and its keys below"
    if where[0] in NAMED:
        if len(where) == 1 and isinstance(given, list):
            return f"write it with single brackets and a name: [{where[0]}.NAME]"
        if not where[2:]:
            return f"{_toml(given)} is not a table; give each {where[0]} a name: [{where[0]}.NAME], and its keys below"
    return f'{_toml(given)} is not a table; write it like {{ {_LIKE.get(str(where[-1]), "GRN")} = "..." }}'


# A key in a table of each kind, to show how one is written.
_LIKE = {
    "analysis": "N",
    "label": "most",
    "keep_off": "water",
    "spray": "tank",
    "mixed_with": "wetting_agent",
}


def _toml(value: Any) -> str:
    """A value as the reader may have written it, cut short."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        text = f"'{value}'"
    elif isinstance(value, list):
        text = "[...]" if value else "[]"
    elif isinstance(value, dict):
        text = "{ ... }" if value else "{ }"
    else:
        text = str(value) if not isinstance(value, int) or abs(value) < 10**20 else "so large a number"
    return text if len(text) <= 60 else f"{text[:57]}..."


def _as_in_the_file(loc: Path) -> Path:
    """The path as it stands in the file: without what the checker puts in for the sort of table, or for a key."""
    if loc[-1:] == ("[key]",):
        loc = loc[:-1]
    if len(loc) > 2 and loc[0] in TAGS and loc[2] in TAGS[loc[0]][1]:
        return (*loc[:2], *loc[3:])
    return tuple(loc)


def _unknown_key(where: Path, data: dict) -> str:
    key, known = str(where[-1]), _known_keys(where[:-1], data)
    hint = did_you_mean(key, known)
    elsewhere = [head for head, model in HEADS.items() if key in model.model_fields]
    if "did you mean" in hint:
        elsewhere = []
    elif len(where) > 1 and key in set(models.CourseSettings.model_fields) - set(TABLES) - set(TAGS):
        elsewhere = ["the top of the file, before the first [table]"]
    belongs = f"; it belongs to {' or '.join(elsewhere[:3])}" if elsewhere else ""
    return f"unknown key '{key}'{belongs}{hint}"


def _known_keys(where: Path, data: dict) -> list[str]:
    if not where:
        return list(models.CourseSettings.model_fields)
    node: Any = data
    for part in where:
        if part != 0 or isinstance(node, list):  # where one stands for a list of one, it has no place in it
            node = node[part]
    if where[0] == "budget" and len(where) == 3:
        return _keys(models.Charge)
    if where[0] == "water" and where[1:]:
        return _keys(WATER[where[1]])
    inside = INSIDE.get(where[2]) if where[2:] else None
    if inside is not None:
        return _keys(inside)
    if where[0] in TAGS:
        tag, sorts = TAGS[where[0]]
        return _keys(sorts[node[tag]])
    model = TABLES.get(where[0])
    return _keys(model) if model else []


def _keys(model: type[BaseModel]) -> list[str]:
    """The keys as they are written in the file."""
    return [field.alias or name for name, field in model.model_fields.items()]


def did_you_mean(given: str, accepted: Iterable[str]) -> str:
    """The nearest of the accepted names, where one is near, and all of them."""
    accepted = list(accepted)
    near = get_close_matches(given, accepted, n=1, cutoff=0.6)
    guess = f"; did you mean '{near[0]}'?" if near else ""
    return f"{guess} (accepted: {', '.join(accepted)})" if accepted else guess
