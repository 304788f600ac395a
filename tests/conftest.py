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


@pytest.fixture
def demo_course(tmp_path: Path) -> Path:
    """A copy of the demo course to draw on and write in, whole."""
    folder = tmp_path / "course"
    shutil.copytree(ROOT / "demo_layers", folder, ignore=shutil.ignore_patterns("*.py", "__pycache__", "outputs"))
    return folder


@pytest.fixture
def plain_course(demo_course: Path) -> Path:
    """The same without its photo, heights and readings, which take a while to be read."""
    settings = demo_course / "course.toml"
    text = settings.read_text(encoding="utf-8")
    for table in (r"\[photo\]", r"\[elevation\]", r"\[\[reading\]\]"):
        text = re.sub(rf"^{table}.*?(?=^\[)", "", text, flags=re.M | re.S)
    settings.write_text(text, encoding="utf-8", newline="\n")
    return demo_course


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
