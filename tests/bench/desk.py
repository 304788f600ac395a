"""
The desk on the demo course: from the command to a page that can be used, figures under a dragged corner, and memory.

Times are of requests as a browser makes them, over the loopback.
"""

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from socket import socket
from typing import Any

import httpx

DEMO = Path(__file__).resolve().parents[2] / "demo_layers"
GREEN = "course.gpkg | greens | 7"
TURNS, CHANGES, SETTLED = 25, 1000, 200  # previews; changes, and after how many of them memory is first looked at
USABLE_S, PREVIEW_MS, GROWTH = 2.0, 100.0, 1.05  # targets


def measure_desk() -> Iterator[tuple[str, float, str, float]]:
    """What was measured, the figure, its unit and the target."""
    with tempfile.TemporaryDirectory() as folder:
        course = Path(folder) / "course"
        shutil.copytree(DEMO, course, ignore=shutil.ignore_patterns("*.py", "__pycache__", "outputs"))
        start = time.perf_counter()
        with served(course) as (client, running):
            version = client.get("/api/drawing").json()["version"]
            yield "from the command to all areas on the page", time.perf_counter() - start, "s", USABLE_S
            stroke = {"do": "corner", "area": GREEN, "corner": [0, 0, 3], "by_m": [0.5, 0.5]}
            for what, address, target in (
                ("a dragged corner: net area, plus-minus, perimeter", "/api/preview", PREVIEW_MS),
                ("the same: what it does to the orders", "/api/preview/order", 3 * PREVIEW_MS),
            ):
                yield (
                    what,
                    1e3 * _median(lambda address=address: client.post(address, json={"stroke": stroke})),
                    "ms",
                    target,
                )
            sizes = []
            began = time.perf_counter()
            for at in range(CHANGES):
                step = 0.01 if at % 2 else -0.01
                told = {"stroke": {**stroke, "corner": [0, 0, at % 40], "by_m": [step, step]}, "version": version}
                version = client.post("/api/change", json=told).json()["version"]
                if at in (SETTLED, CHANGES - 1):
                    client.post("/api/preview", json={"look": [GREEN]})
                    sizes.append(_resident_mb(running.pid))
            yield "a stroke saved", 1e3 * (time.perf_counter() - began) / CHANGES, "ms", PREVIEW_MS
            grown = f"memory after {CHANGES:,} changes against {SETTLED} ({sizes[0]:.0f} MB)"
            yield grown, sizes[-1] / sizes[0], "", GROWTH


def _median(do: Any) -> float:
    taken = []
    for _ in range(TURNS):
        start = time.perf_counter()
        do().raise_for_status()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


@contextmanager
def served(course: Path) -> Iterator[tuple[httpx.Client, subprocess.Popen[str]]]:
    """The desk on a course, started as a command, and a browser without a screen that holds its key."""
    with closing(socket()) as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "turfgis", "desk", str(course), "--no-browser", "--port", str(port)]
    running = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert running.stdout is not None
    try:
        base, key = running.stdout.readline().split()[-1].split("/?key=")
        with httpx.Client(base_url=base, headers={"origin": base}, timeout=120, follow_redirects=True) as client:
            page = client.get("/draw", params={"key": key}).text
            client.headers["x-desk-token"] = page.split('data-token="')[1].split('"')[0]
            yield client, running
    finally:
        running.terminate()
        running.wait()


def _resident_mb(process: int) -> float:
    """Memory that a process holds; as Linux tells it."""
    status = Path(f"/proc/{process}/status").read_text()
    return int(status.split("VmRSS:")[1].split()[0]) / 1024
