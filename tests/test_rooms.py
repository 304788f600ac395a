"""
Imports go down only, and third parties live where they belong.

The floors are those of DEVELOPERS.md. Rooms on one floor are strangers; parts of one room may know each other. Imports
inside functions and those for type checkers count like any other.
"""

import ast
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[1] / "turfgis"

FLOORS = [
    {"errors", "sources"},
    {"formulas", "units", "surfaces"},
    {"layers", "published"},
    {"measure", "settings"},
    {"estimates"},
    {"reports"},
    {"desk"},
    {"cli"},
    {"__main__"},
]
FLOOR = {room: floor for floor, rooms in enumerate(FLOORS) for room in rooms}

# A library, and the beginnings of the paths that may import it.
AT_HOME = {
    "pint": ("units",),
    "folium": ("reports/map",),
    "branca": ("reports/map",),
    "jinja2": ("reports/map", "desk/"),
    "babel": ("desk/words",),
    "starlette": ("desk/",),
    "uvicorn": ("desk/serve",),
    "pydantic": ("settings/", "desk/"),
    "rasterio": (
        *("measure/relief", "measure/rasters", "measure/photo", "measure/tracing", "measure/readings"),
        "measure/heads",
    ),
    "skimage": ("measure/tracing",),
    "scipy": ("measure/tracing", "measure/readings", "measure/ways", "estimates/fitting"),
    "contourpy": ("measure/relief",),
    "click": ("cli/",),
    "networkx": ("measure/ways",),
    "ortools": ("estimates/routing", "estimates/assignment", "estimates/night"),
    "typst": ("reports/",),
    "xlsxwriter": ("reports/",),
    "tomllib": ("settings/",),
    "tomlkit": ("settings/",),
    "pyogrio": ("layers/", "reports/"),
    "pyproj": ("layers/", "measure/", "reports/"),
    "shapely": ("layers/", "measure/", "reports/"),
    "geopandas": ("layers/", "measure/", "estimates/", "reports/"),
}
# A room, and all that it may import from outside the package and the standard library.
ONLY = {
    "errors": set(),
    "sources": set(),
    "surfaces": set(),
    "formulas": {"numpy"},
    "published": set(),
    "units": {"pint"},
}


def imported(source: str, module: str) -> set[str]:
    """Names of all modules that the source of a module imports, in full."""
    found = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = module.split(".")[: -node.level] if node.level else []
            name = ".".join([*base, *([node.module] if node.module else [])])
            found |= {f"{name}.{alias.name}" for alias in node.names} if name == "turfgis" else {name}
    return found


def room(module: str) -> str | None:
    """``turfgis.layers.read`` is in ``layers``; the package itself, which only knows its version, in none."""
    parts = module.split(".")
    return parts[1] if parts[0] == "turfgis" and len(parts) > 1 and parts[1] in FLOOR else None


def wrong_imports(source: str, module: str) -> list[str]:
    """What a module should not import, each with the reason."""
    here, path = room(module), module.removeprefix("turfgis.").replace(".", "/")
    wrong = []
    for name in sorted(imported(source, module)):
        top, there = name.split(".")[0], room(name)
        if here is not None and there is not None and there != here and FLOOR[there] >= FLOOR[here]:
            wrong.append(f"{name}: {there} is not below {here}")
        if top in AT_HOME and not path.startswith(AT_HOME[top]):
            wrong.append(f"{name}: {top} lives in {', '.join(AT_HOME[top])}")
        if here in ONLY and top not in {"turfgis", *ONLY[here]} and top not in sys.stdlib_module_names:
            wrong.append(f"{name}: {here} imports {', '.join(ONLY[here]) or 'nothing'} from outside")
    return wrong


MODULES = {
    ".".join(("turfgis", *path.relative_to(PACKAGE).with_suffix("").parts)): path for path in PACKAGE.rglob("*.py")
}


@pytest.mark.parametrize("module", sorted(MODULES))
def test_imports_go_down(module):
    assert wrong_imports(MODULES[module].read_text(encoding="utf-8"), module) == []


def test_every_module_is_in_a_room():
    assert {module for module in MODULES if room(module) is None} == {"turfgis.__init__"}


@pytest.mark.parametrize(
    ("module", "source", "reason"),
    [
        ("turfgis.layers.read", "from turfgis.measure.nets import net_shapes", "measure is not below layers"),
        ("turfgis.layers.read", "import turfgis.published.ranges", "published is not below layers"),
        ("turfgis.measure.nets", "def f():\n    from turfgis import settings", "settings is not below measure"),
        ("turfgis.formulas.sand", "from ..units import to_si", "units is not below formulas"),
        (
            "turfgis.estimates.takeoff",
            "if TYPE_CHECKING:\n    from turfgis.reports import tables",
            "reports is not below",
        ),
        ("turfgis.formulas.sand", "import pandas as pd", "formulas imports numpy from outside"),
        ("turfgis.reports.tables", "from folium import Map", "folium lives in reports/map"),
        ("turfgis.measure.frame", "import rasterio.mask", "rasterio lives in measure/relief"),
        ("turfgis.estimates.orders", "from pint import Quantity", "pint lives in units"),
    ],
)
def test_a_wrong_import_is_seen(module, source, reason):
    (found,) = wrong_imports(source, module)
    assert reason in found


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("turfgis.cli.areas", "from turfgis import __version__\nfrom turfgis.estimates.course import open_course"),
        ("turfgis.measure.nets", "from turfgis.measure.faces import part_ground\nimport numpy as np"),
        ("turfgis.reports.map", "import folium"),
        ("turfgis.units", "import re\nimport pint"),
    ],
)
def test_a_right_import_is_left_alone(module, source):
    assert wrong_imports(source, module) == []
