import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from nesting.errors import AccessError
from nesting.writing import exchange
from nesting.writing.folder import LIST_NAME, check_folder, write_whole

OLD = {"layout.json": b"old", "report.html": b"old", "twill.dxf": b"old"}
NEW = {"layout.json": b"new", "report.html": b"new", "linen.dxf": b"new"}


def contents(folder):
    """Every visible file and folder within a folder, with the files' bytes."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != LIST_NAME
    }


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "nook-lay"


def test_a_folder_that_is_not_there_appears_with_its_parents(tmp_path):
    folder = tmp_path / "june" / "nook-lay"
    write_whole(folder, NEW)
    assert contents(folder) == NEW


def test_an_empty_folder_is_filled(folder):
    folder.mkdir()
    write_whole(folder, NEW)
    assert contents(folder) == NEW


def test_a_second_run_leaves_no_file_of_the_first_behind(folder):
    write_whole(folder, OLD)
    write_whole(folder, NEW)
    assert contents(folder) == NEW


def test_nothing_is_left_beside_the_folder(folder):
    write_whole(folder, OLD)
    write_whole(folder, NEW)
    assert os.listdir(folder.parent) == [folder.name]


def test_files_that_others_put_into_the_folder_are_kept(folder):
    write_whole(folder, OLD)
    (folder / "notes.txt").write_bytes(b"mine")
    (folder / "photos").mkdir()
    (folder / "photos" / "layout.json").write_bytes(b"mine too")
    write_whole(folder, NEW)
    assert contents(folder) == {**NEW, "notes.txt": b"mine", "photos/layout.json": b"mine too"}
    write_whole(folder, OLD)
    assert contents(folder)["notes.txt"] == b"mine"


def test_a_file_that_others_made_is_never_overwritten(folder):
    write_whole(folder, OLD)
    (folder / "linen.dxf").write_bytes(b"mine")
    with pytest.raises(AccessError, match=r"linen\.dxf"):
        write_whole(folder, NEW)
    assert contents(folder) == {**OLD, "linen.dxf": b"mine"}


def test_a_folder_that_others_made_is_refused_and_not_changed(folder):
    folder.mkdir()
    (folder / "thesis.txt").write_bytes(b"years of work")
    with pytest.raises(AccessError, match=r"nook-lay.*not empty.*name a new or empty folder"):
        write_whole(folder, NEW)
    assert contents(folder) == {"thesis.txt": b"years of work"}


@pytest.mark.parametrize("step", ["", ".."])
def test_the_current_folder_is_refused(folder, monkeypatch, step):
    (folder / "sub").mkdir(parents=True)
    monkeypatch.chdir(folder / "sub")
    with pytest.raises(AccessError, match="current folder"):
        write_whole(Path(step), NEW)


def test_a_file_in_the_place_of_the_folder_is_refused(folder):
    folder.write_bytes(b"mine")
    with pytest.raises(AccessError, match="file, not a folder"):
        write_whole(folder, NEW)
    assert folder.read_bytes() == b"mine"


def test_a_parent_that_is_a_file_is_refused(tmp_path):
    (tmp_path / "paper").write_bytes(b"mine")
    for attempt in (write_whole, check_folder):
        with pytest.raises(
            AccessError, match=r"paper/deep/nook-lay: cannot be written.*name another folder"
        ):
            attempt(tmp_path / "paper" / "deep" / "nook-lay", NEW)


def test_a_full_disk_leaves_the_previous_folder(folder, monkeypatch):
    write_whole(folder, OLD)

    def full(_handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(AccessError, match="No space left"):
        write_whole(folder, NEW)
    assert contents(folder) == OLD
    assert os.listdir(folder.parent) == [folder.name]


def test_checking_finds_the_same_faults_and_leaves_nothing(tmp_path):
    check_folder(tmp_path / "june" / "nook-lay", NEW)
    assert os.listdir(tmp_path) == []
    (tmp_path / "thesis.txt").write_bytes(b"mine")
    with pytest.raises(AccessError, match="not empty"):
        check_folder(tmp_path, NEW)


def test_a_link_to_a_folder_stays_a_link(folder, tmp_path):
    write_whole(folder, OLD)
    link = tmp_path / "latest"
    link.symlink_to(folder)
    write_whole(link, NEW)
    assert link.is_symlink()
    assert contents(folder) == NEW


KILLED = """
import os, signal, sys
from pathlib import Path
from nesting.writing import folder
from nesting.writing import exchange
left = int(sys.argv[2])
def dying(call):
    def counted(*args):
        global left
        left -= 1
        if left < 0:
            os.kill(os.getpid(), signal.SIGKILL)
        return call(*args)
    return counted
os.fsync = dying(os.fsync)
Path.rename = dying(Path.rename)
exchange._exchange = dying(exchange._exchange)
if sys.argv[3] == "two renames":
    exchange._exchange = lambda one, other: False
folder.write_whole(Path(sys.argv[1]), {"layout.json": b"new", "report.html": b"new"})
"""


@pytest.mark.parametrize("way", ["exchange", "two renames"])
def test_a_run_killed_at_any_step_leaves_the_old_folder_or_the_new_one(tmp_path, monkeypatch, way):
    outcomes = []
    for step in range(20):
        folder = tmp_path / f"{way}{step}"
        write_whole(folder, OLD)
        run = [sys.executable, "-c", KILLED, str(folder), str(step), way]
        code = subprocess.run(run, check=False).returncode
        check_folder(folder)  # the next run's first act: restores what was set aside
        found = contents(folder)
        assert found in (OLD, {"layout.json": b"new", "report.html": b"new"})
        outcomes.append((code, found == OLD))
        with monkeypatch.context() as patched:
            if way == "two renames":
                patched.setattr(exchange, "_exchange", lambda _one, _other: False)
            write_whole(folder, NEW)  # and nothing that is left stands in the way of this
        assert contents(folder) == NEW
        if code == 0:
            break
    assert outcomes[0] == (-signal.SIGKILL, True)
    assert outcomes[-1] == (0, False)


def test_two_renames_replace_the_folder_where_names_cannot_be_exchanged(folder, monkeypatch):
    monkeypatch.setattr(exchange, "_exchange", lambda _one, _other: False)
    write_whole(folder, OLD)
    write_whole(folder, NEW)
    assert contents(folder) == NEW
    assert os.listdir(folder.parent) == [folder.name]


def test_a_second_rename_that_fails_puts_the_old_folder_back(folder, monkeypatch):
    write_whole(folder, OLD)
    monkeypatch.setattr(exchange, "_exchange", lambda _one, _other: False)
    rename = Path.rename

    def fails(self, target):
        if self.name == "fresh":
            raise OSError(13, "Permission denied")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", fails)
    with pytest.raises(AccessError, match="Permission denied"):
        write_whole(folder, NEW)
    assert contents(folder) == OLD


def test_a_file_that_is_open_elsewhere_is_said_where_the_system_locks_it(folder, monkeypatch):
    """Windows renames no folder while a program has one of its files open."""
    write_whole(folder, OLD)
    monkeypatch.setattr(exchange, "_exchange", lambda _one, _other: False)

    def locked(self, _target):
        raise PermissionError(13, "Access is denied", str(self))

    monkeypatch.setattr(Path, "rename", locked)
    with pytest.raises(AccessError, match=r"Access is denied.*close the programs that have files"):
        write_whole(folder, NEW)
    assert contents(folder) == OLD


def without_renameat2(*_args, **_options):
    """What ``ctypes.CDLL(None)`` does on Windows (TypeError)."""
    raise TypeError


def no_links(*_args, **_options):
    """What ``os.link`` does where it cannot leave symbolic links alone."""
    raise NotImplementedError


def test_a_system_without_the_calls_of_linux_keeps_the_same_promises(folder, monkeypatch):
    """Windows, simulated: no exchange of names, no links, folders that cannot be flushed."""
    write_whole(folder, OLD)
    (folder / "notes.txt").write_bytes(b"mine")
    monkeypatch.setattr(exchange.ctypes, "CDLL", without_renameat2)
    monkeypatch.setattr(os, "link", no_links)
    monkeypatch.setattr("nesting.writing.folder._flush", lambda _folder: None)
    write_whole(folder, NEW)
    assert contents(folder) == {**NEW, "notes.txt": b"mine"}
    assert os.listdir(folder.parent) == [folder.name]
