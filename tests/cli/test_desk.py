"""``turfgis desk`` as a process: where it listens, what it says, and what it refuses."""

import re
import socket
import subprocess
import sys
import urllib.error
import urllib.request

import pytest
from click.testing import CliRunner

from turfgis.cli import program
from turfgis.desk.serve import open_socket
from turfgis.errors import InputError


def refused(*arguments: str, **more) -> str:
    result = CliRunner().invoke(program, ["desk", *arguments], **more)
    assert result.exit_code != 0
    return str(result.exception) + result.output


def test_a_folder_that_is_not_there(tmp_path):
    assert "no such folder" in refused(str(tmp_path / "none"))


def test_a_file_in_place_of_a_folder(tmp_path):
    (tmp_path / "greens.gpkg").touch()
    said = refused(str(tmp_path / "greens.gpkg"))
    assert "is no folder" in said
    assert str(tmp_path) in said.partition("give the folder")[2]


def test_a_port_that_is_taken(tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        said = refused(str(tmp_path), "--port", str(port))
        assert f"port {port}: another program listens there" in said


@pytest.mark.parametrize("address", ["elsewhere.example", "localhost", "300.1.1.1", ""])
def test_an_address_that_is_none(address):
    with pytest.raises(InputError, match="not an address"):
        open_socket(address, None)


def test_an_address_of_another_machine():
    with pytest.raises(InputError, match="no address of this machine"):
        open_socket("192.0.2.1", None)  # RFC 5737: for documentation, no machine has it


def test_beyond_the_machine_a_password_of_eight_signs_is_asked_for(tmp_path):
    assert "eight signs" in refused(str(tmp_path), "--listen", "0.0.0.0", input="short\nshort\n")


def test_the_first_free_port_is_taken():
    with open_socket("127.0.0.1", None) as first:
        first.listen()
        with open_socket("127.0.0.1", None) as second:
            assert first.getsockname()[1] != second.getsockname()[1]


def test_it_opens_with_its_key_on_this_machine_only(tmp_path):
    call = [sys.executable, "-m", "turfgis", "desk", str(tmp_path), "--no-browser"]
    with subprocess.Popen(call, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) as process:
        try:
            address = re.search(r"http://127\.0\.0\.1:\d+/\?key=\S+", process.stdout.readline()).group()
            bare, _, key = address.partition("?key=")
            assert len(key) >= 32
            with pytest.raises(urllib.error.HTTPError, match="403"):
                urllib.request.urlopen(bare, timeout=30)
            opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
            with opener.open(address, timeout=30) as answer:
                assert answer.url == bare + "start"  # an empty folder begins with the files
                assert b"Begin a course" in answer.read()
        finally:
            process.terminate()
            process.wait(30)


WRONG = {  # a folder that cannot be used -> what is said of it
    "a broken settings file": ({"course.toml": 'name = "A\n'}, "course.toml:1: not valid TOML: a quote is not closed"),
    "a settings file without layers": ({"course.toml": 'name = "A"\n'}, "course.toml: layer: is missing"),
    "a settings file in another encoding": ({"course.toml": b'name = "Gr\xfcn"\n'}, "save it as UTF-8 text"),
    "a file that is none": (
        {"course.toml": 'name = "A"\n[[layer]]\nfile = "a.gpkg"\nsurface = "green"\n', "a.gpkg": "hello"},
        "a.gpkg: not a file of drawn shapes",
    ),
    "a file that is not there": (
        {"course.toml": 'name = "A"\n[[layer]]\nfile = "a.gpkg"\nsurface = "green"\n'},
        "a.gpkg",
    ),
}


@pytest.mark.parametrize("case", WRONG)
def test_a_course_that_cannot_be_used_is_told_in_one_sentence_and_the_desk_waits(tmp_path, case):
    from turfgis.desk.opened import Desk
    from turfgis.desk.serve import _warm

    files, said = WRONG[case]
    for name, text in files.items():
        (tmp_path / name).write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    told = []
    _warm(Desk(tmp_path), told.append)
    assert len(told) == 1
    assert said in told[0]
    assert "Traceback" not in told[0]


def test_a_settings_file_that_is_broken_is_told_on_the_command_line_and_mended_under_the_desk(tmp_path):
    (tmp_path / "course.toml").write_text('name = "A\n', encoding="utf-8")
    call = [sys.executable, "-m", "turfgis", "desk", str(tmp_path), "--no-browser"]
    with subprocess.Popen(call, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) as process:
        try:
            address = re.search(r"http://127\.0\.0\.1:\d+/\?key=\S+", process.stdout.readline()).group()
            said = [process.stdout.readline() for _ in range(3)]
            assert any("course.toml:1: not valid TOML" in line for line in said)
            opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
            with pytest.raises(urllib.error.HTTPError, match="422"):
                opener.open(address, timeout=30)
            (tmp_path / "course.toml").unlink()
            with opener.open(address.partition("?")[0], timeout=30) as answer:
                assert b"Begin a course" in answer.read()
        finally:
            process.terminate()
            assert "Traceback" not in process.stdout.read()
            process.wait(30)
