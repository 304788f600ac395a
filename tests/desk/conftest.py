"""The desk without a browser: requests go straight to it, through the guard."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from turfgis.desk.app import desk_pages
from turfgis.desk.guard import Guard, Keys
from turfgis.desk.opened import Desk

PORT = 8420


@dataclass
class Asking:
    """A browser that holds the key: ``client`` gets and posts, ``change`` posts JSON with the token."""

    client: TestClient
    desk: Desk
    keys: Keys

    def change(self, address: str, told: Any) -> Any:
        return self.client.post(address, json=told, headers={"x-desk-token": self.keys.token})


def asking(folder: Path, who: str = "tester") -> Asking:
    """The desk on a course folder, and a browser that holds its key."""
    desk, keys = Desk(folder, who), Keys()
    guard = Guard(desk_pages(desk, keys), keys, PORT)
    client = TestClient(
        guard,
        base_url=f"http://127.0.0.1:{PORT}",
        headers={"origin": f"http://127.0.0.1:{PORT}"},
        cookies={guard.cookie: keys.key},
        follow_redirects=False,
    )
    return Asking(client, desk, keys)


@pytest.fixture
def ask(plain_course: Path) -> Iterator[Asking]:
    """The desk on a copy of the demo course without photo and heights."""
    made = asking(plain_course)
    with made.client:
        yield made


@pytest.fixture(scope="module")
def shared_ask(kept_course: Path) -> Iterator[Asking]:
    """The same for all tests of a file: for those that change nothing, or take back what they changed."""
    made = asking(kept_course)
    with made.client:
        yield made
