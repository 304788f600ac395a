"""Many who ask at once, right after the start: nobody is kept out, and the desk goes on."""

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from html import unescape
from socket import socket

import httpx2
import pytest

DAY = "2027-05-14"
# The slow ones first, so that they meet; the year is estimated meanwhile without anybody asking for it.
PAGES = (
    *(f"/day?date={DAY}", "/year", "/findings", "/water", "/order", "/draw", "/api/drawing", "/api/strips"),
    *("/api/findings", "/api/grounds", "/places", "/tanks", "/stores", "/learn", "/whatif", "/versions", "/start", "/"),
)


@pytest.fixture
def begun(demo_course) -> Iterator[tuple[subprocess.Popen, httpx2.Client]]:
    """The desk as a command, just started, and a browser that holds its key."""
    with closing(socket()) as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "turfgis", "desk", str(demo_course), "--no-browser", "--port", str(port)]
    quiet = dict(os.environ, PYTHONFAULTHANDLER="1")
    running = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=quiet)
    try:
        assert running.stdout is not None
        base, key = running.stdout.readline().split()[-1].split("/?key=")
        with httpx2.Client(base_url=base, timeout=120, headers={"origin": base}, follow_redirects=True) as client:
            client.get("/versions", params={"key": key})
            yield running, client
    finally:
        running.kill()
        running.wait()


def test_all_pages_are_asked_for_at_once_and_then_all_files(begun):
    running, client = begun
    with ThreadPoolExecutor(6) as hands:
        pages = dict(zip(PAGES, hands.map(client.get, PAGES), strict=True))
        assert {page: answer.status_code for page, answer in pages.items()} == dict.fromkeys(PAGES, 200)
        told = " ".join(answer.text for answer in pages.values() if "html" in answer.headers["content-type"])
        files = {unescape(one) for one in re.findall(r'href="(/[^"#]*\.(?:pdf|xlsx|gpkg|html)[^"#]*)"', told)}
        assert len(files) > 10
        answers = dict(zip(files, hands.map(client.get, files), strict=True))
    assert {file: one.status_code for file, one in answers.items() if one.status_code != 200} == {}
    assert running.poll() is None
