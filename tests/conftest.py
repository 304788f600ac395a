"""What several tests share."""

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from threading import Thread
from types import SimpleNamespace

import pytest

ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def open_data() -> Path:
    """Folder of real open data beside the checkout; each part of it carries its own licence."""
    folder = ROOT.parent / "shared" / "data"
    if not folder.is_dir():
        pytest.skip("no folder shared/data with open data beside this checkout")
    return folder


def copy_demo(folder: Path, *, plain: bool = False) -> Path:
    """
    The demo course in another folder, to draw on and write in.

    ``plain`` leaves out its photo, heights and readings, which take a while to be read.
    """
    shutil.copytree(ROOT / "demo_layers", folder, ignore=shutil.ignore_patterns("*.py", "__pycache__", "outputs"))
    if plain:
        settings = folder / "course.toml"
        text = settings.read_text(encoding="utf-8")
        for table in (r"\[photo\]", r"\[elevation\]", r"\[\[reading\]\]", r"\[\[soak\]\]"):
            text = re.sub(rf"^{table}.*?(?=^\[|\Z)", "", text, flags=re.M | re.S)
        settings.write_text(text, encoding="utf-8", newline="\n")
    return folder


@pytest.fixture
def demo_course(tmp_path: Path) -> Path:
    """A copy of the demo course, whole."""
    return copy_demo(tmp_path / "course")


@pytest.fixture
def plain_course(tmp_path: Path) -> Path:
    """A copy of the demo course without photo, heights and readings."""
    return copy_demo(tmp_path / "course", plain=True)


@pytest.fixture(scope="module")
def kept_course(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same for all tests of a file."""
    return copy_demo(tmp_path_factory.mktemp("kept") / "course", plain=True)


@pytest.fixture(scope="session")
def desk_open() -> Callable[..., AbstractContextManager[SimpleNamespace]]:
    """Opens the desk on a folder, for as long as a with statement lasts."""
    return _desk_open


@contextmanager
def _desk_open(folder: Path, who: str = "tester") -> Iterator[SimpleNamespace]:
    """
    The desk on a course folder, served from this process: ``address`` (without the key), ``key``, ``token``, ``desk``.

    Open ``address`` with ``/?key=`` and the key first, as whoever starts the desk does.
    """
    import uvicorn

    from turfgis.desk.app import desk_pages
    from turfgis.desk.guard import Guard, Keys
    from turfgis.desk.opened import Desk
    from turfgis.desk.serve import open_socket

    listening = open_socket("127.0.0.1", 0)
    port = listening.getsockname()[1]
    keys, desk = Keys(), Desk(folder, who)
    config = uvicorn.Config(
        Guard(desk_pages(desk, keys), keys, port), log_level="warning", access_log=False, lifespan="off"
    )
    server = uvicorn.Server(config)
    running = Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    running.start()
    try:
        yield SimpleNamespace(address=f"http://127.0.0.1:{port}", key=keys.key, token=keys.token, desk=desk)
    finally:
        server.should_exit = True
        running.join(timeout=10)
        listening.close()


WATCHED = """
name = "Invented Links"
accuracy = "0.2 m"
year = 2027
[labour]
wage = "30 EUR/h"
[[layer]]
file = "areas.geojson"
surface_from = "kind"
hole_from = "hole"
[[layer]]
file = "places.geojson"
role = "places"
[material.turf]
kind = "turf"
price = "5 EUR/m2"
[material.lime]
kind = "fertiliser"
analysis = { Ca = "40 %" }
pack = "25 kg"
price = "10 EUR/pack"
[material.sand]
kind = "sand"
bulk_density = "1.5 t/m3"
price = "40 EUR/t"
[person.deputy]
certificates = ["chainsaw"]
"""


@pytest.fixture
def watched_course(tmp_path: Path) -> Callable[..., Path]:
    """
    A course of two greens, each a square of 50 m, 100 m apart, with places given in metres east and north of a corner.

    Each place is its fields and a shape; ``files`` are written beside, ``settings`` behind the settings.
    """
    import geopandas as gpd
    import shapely
    from shapely.affinity import translate

    grid, corner = "EPSG:32628", (300_000.0, 5_500_000.0)

    def write(places, settings: str = "", files: dict[str, str] | None = None, before: str = WATCHED) -> Path:
        folder = tmp_path / "watched"
        folder.mkdir(exist_ok=True)
        greens = [translate(shapely.box(150 * at, 0, 150 * at + 50, 50), *corner) for at in (0, 1)]
        areas = gpd.GeoDataFrame({"kind": ["green"] * 2, "hole": ["1", "2"]}, geometry=greens, crs=grid)
        areas.to_crs("EPSG:4326").to_file(folder / "areas.geojson", driver="GeoJSON", COORDINATE_PRECISION=10)
        names = list(dict.fromkeys(name for fields, _ in places for name in fields))
        columns = {name: [fields.get(name) for fields, _ in places] for name in names}
        shapes = [translate(shape, *corner) for _, shape in places]
        drawn = gpd.GeoDataFrame(columns, geometry=shapes, crs=grid).to_crs("EPSG:4326")
        drawn.to_file(folder / "places.geojson", driver="GeoJSON", COORDINATE_PRECISION=10)
        for name, text in (files or {}).items():
            (folder / name).write_text(text, encoding="utf-8")
        (folder / "course.toml").write_text(before + settings, encoding="utf-8")
        return folder

    return write
