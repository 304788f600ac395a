"""Every bad file of the open data, dropped on the desk: the page says what is wrong, as the commands do."""

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from turfgis.desk.app import desk_pages
from turfgis.desk.guard import Guard, Keys
from turfgis.desk.opened import Desk

DATA = Path(__file__).resolve().parents[3] / "shared" / "data" / "bad_geometry"
FILES = sorted(file for file in DATA.rglob("*") if file.is_file()) if DATA.is_dir() else []


@pytest.mark.skipif(not FILES, reason=f"no open data at {DATA.name} beside the checkout")
def test_bad_files_are_told_and_the_desk_goes_on(tmp_path):
    desk, keys = Desk(tmp_path), Keys()
    guard = Guard(desk_pages(desk, keys), keys, 8420)
    home = "http://127.0.0.1:8420"
    with TestClient(guard, base_url=home, headers={"origin": home}, cookies={guard.cookie: keys.key}) as client:
        for file in FILES:
            sent = [("files", (file.name, file.read_bytes()))]
            answer = client.post("/start/files", params={"token": keys.token}, files=sent)
            assert answer.status_code in (200, 422), file.name
            assert "Traceback" not in answer.text
            assert file.name in answer.text, file.name
            for left in tmp_path.iterdir():
                left.unlink()
