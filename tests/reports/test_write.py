"""Results are written whole, or not at all."""

import errno
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from turfgis.errors import OutputError
from turfgis.reports import write
from turfgis.reports.write import write_whole

OLD = {"a.txt": b"old a", "b.txt": b"old b"}
NEW = {"a.txt": b"new a", "b.txt": b"new b", "c.txt": b"new c"}


@pytest.fixture
def folder(tmp_path):
    target = tmp_path / "outputs"
    write_whole(target, OLD)
    return target


def contents(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_all_are_written_and_nothing_else(folder):
    made = write_whole(folder, {**NEW, "d.txt": lambda path: path.write_text("by call")})
    assert made == [folder / name for name in ("a.txt", "b.txt", "c.txt", "d.txt")]
    assert contents(folder) == {**NEW, "d.txt": b"by call"}


def test_other_files_are_left_alone(folder):
    (folder / "mine.txt").write_bytes(b"kept")
    write_whole(folder, {"a.txt": b"1"})
    assert contents(folder) == {**OLD, "a.txt": b"1", "mine.txt": b"kept"}


def test_new_folders_are_made(tmp_path):
    write_whole(tmp_path / "x" / "y", {"a.txt": b"1"})
    assert (tmp_path / "x" / "y" / "a.txt").read_bytes() == b"1"


def full_disk(path):
    # Linux: /dev/full fails each write with ENOSPC (man 4 full)
    if not Path("/dev/full").exists():
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
    with open("/dev/full", "wb", buffering=0) as full:
        full.write(b"x")


def stopped(path):
    path.write_bytes(b"half")
    raise KeyboardInterrupt


@pytest.mark.parametrize("name", ["0.txt", "z.txt"])
def test_full_disk(folder, name):
    files = {**NEW, name: full_disk} if name == "z.txt" else {name: full_disk, **NEW}
    with pytest.raises(OutputError, match="No space left") as caught:
        write_whole(folder, files)
    assert str(folder) in str(caught.value)
    assert contents(folder) == OLD


def test_stopped_by_hand(folder):
    with pytest.raises(KeyboardInterrupt):
        write_whole(folder, {**NEW, "z.txt": stopped})
    assert contents(folder) == OLD


def test_a_bug_in_a_writer_shows_itself_and_harms_nothing(folder):
    with pytest.raises(ZeroDivisionError):
        write_whole(folder, {**NEW, "z.txt": lambda path: 1 / 0})
    assert contents(folder) == OLD


@pytest.mark.parametrize("error", [PermissionError(errno.EACCES, "Permission denied"), KeyboardInterrupt()])
@pytest.mark.parametrize("step", [1, 2, 3])
def test_failure_while_files_are_put_in_place(folder, monkeypatch, error, step):
    really, calls = os.replace, []

    def replace(source, target):
        calls.append(target)
        if len(calls) == step:
            raise error
        really(source, target)

    monkeypatch.setattr(write.os, "replace", replace)
    with pytest.raises(KeyboardInterrupt if isinstance(error, KeyboardInterrupt) else OutputError):
        write_whole(folder, NEW)
    assert contents(folder) == OLD


def test_a_disk_without_second_names(folder, monkeypatch):
    def no_links(*_):
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(write.os, "link", no_links)
    write_whole(folder, NEW)
    assert contents(folder) == NEW


def test_folder_that_cannot_be_written_to(folder, monkeypatch):
    def refuse(*_, **__):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(tempfile, "mkdtemp", refuse)
    with pytest.raises(OutputError, match="Permission denied"):
        write_whole(folder, NEW)
    assert contents(folder) == OLD


@pytest.mark.parametrize("below", [".", "deeper", "deeper/still"])
def test_a_file_where_a_folder_belongs(tmp_path, below):
    (tmp_path / "outputs").write_bytes(b"a file")
    with pytest.raises(OutputError, match="is a file"):
        write_whole(tmp_path / "outputs" / below, NEW)
    assert (tmp_path / "outputs").read_bytes() == b"a file"


def test_a_folder_where_a_file_belongs(folder):
    (folder / "c.txt").mkdir()
    with pytest.raises(OutputError, match=r"'c\.txt'"):
        write_whole(folder, NEW)
    (folder / "c.txt").rmdir()
    assert contents(folder) == OLD


def test_folders_made_for_nothing_are_taken_away(tmp_path):
    with pytest.raises(OutputError):
        write_whole(tmp_path / "x" / "y", {"a.txt": full_disk})
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["../a.txt", "x/a.txt", "", ".."])
def test_only_plain_names(folder, name):
    with pytest.raises(OutputError, match="plain file name"):
        write_whole(folder, {name: b"1"})


def test_a_run_that_is_killed_leaves_the_earlier_files(folder):
    code = (
        "import os, sys; from pathlib import Path; from turfgis.reports.write import write_whole\n"
        "write_whole(Path(sys.argv[1]), {'a.txt': b'new a', 'b.txt': lambda path: os._exit(9)})"
    )
    root = Path(write.__file__).resolve().parents[2]
    done = subprocess.run([sys.executable, "-c", code, str(folder)], cwd=root, check=False)
    assert done.returncode == 9
    assert {name: (folder / name).read_bytes() for name in OLD} == OLD
    write_whole(folder, NEW)
    assert {name: (folder / name).read_bytes() for name in NEW} == NEW


def test_what_a_killed_run_left_is_taken_away_once_it_is_old(folder, tmp_path):
    names = [".unfinished-abcd1234", ".unfinished-abcd5678", ".unfinished-mine", "unfinished-abcd1234"]
    for name in names:
        (folder / name).mkdir()
        (folder / name / "a.txt").write_bytes(b"half")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "mine.txt").write_bytes(b"kept")
    (folder / ".unfinished-linked00").symlink_to(elsewhere)
    (folder / ".unfinished-filename").write_bytes(b"a file")
    for path in folder.iterdir():
        if path.name != ".unfinished-abcd5678":  # that one may still be at work
            os.utime(path, (0, 0), follow_symlinks=False)
    write_whole(folder, NEW)
    assert {path.name for path in folder.iterdir()} == {
        *NEW,
        *names[1:],
        ".unfinished-linked00",
        ".unfinished-filename",
    }
    assert (elsewhere / "mine.txt").read_bytes() == b"kept"
