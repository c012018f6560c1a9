"""The file of a shelf: created whole, kept whole, and refused with one message where it must be."""

import os
import shutil
import sqlite3
import tempfile
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from shelf_lays import ask, dump, roll

from nesting.errors import AccessError, OrderError
from nesting.shelf import file as shelf_file
from nesting.shelf.stocktaking import add, find
from nesting.shelf.tables import APPLICATION_ID, STEPS, VERSION


@pytest.fixture
def path(tmp_path):
    return tmp_path / "workroom.shelf"


def test_a_new_file_has_what_the_tables_need(path):
    add(path, [roll()])
    assert ask(path, "PRAGMA application_id") == [(APPLICATION_ID,)]
    assert ask(path, "PRAGMA user_version") == [(VERSION,)]
    assert ask(path, "PRAGMA journal_mode") == [("wal",)]
    tables = ask(path, "SELECT name, strict FROM pragma_table_list WHERE name NOT LIKE 'sqlite%'")
    assert sorted(tables) == [("bookings", 1), ("cloths", 1), ("journal", 1), ("pieces", 1)]
    assert sorted(p.name for p in path.parent.iterdir()) == [path.name]


def test_a_piece_of_no_cloth_cannot_be_stored(path):
    add(path, [roll()])
    with (
        pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"),
        shelf_file.change_shelf(path) as shelf,
    ):
        shelf.execute("UPDATE pieces SET cloth = 99")


def test_a_shelf_of_version_1_becomes_one_of_today_with_all_its_pieces(path):
    with closing(sqlite3.connect(path, isolation_level=None)) as shelf:
        shelf.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        for statement in STEPS[0]:
            shelf.execute(statement)
        shelf.execute("PRAGMA user_version = 1")
        shelf.execute("INSERT INTO cloths (name) VALUES ('linen')")
        shelf.execute(
            "INSERT INTO pieces (cloth, length, width, price, currency, since)"
            " VALUES (1, 1000000, 140000, 1250, 'EUR', '2026-11-30')"
        )
    (old,) = find(path)
    assert old.piece == roll(price=1250, currency="EUR")
    assert ask(path, "PRAGMA user_version") == [(VERSION,)]
    add(path, [roll(selvedge=100)])
    assert [each.piece.selvedge for each in find(path)] == [None, 100]


def test_a_migration_that_fails_leaves_the_old_version(path, monkeypatch):
    add(path, [roll()])
    before = dump(path)
    monkeypatch.setattr("nesting.shelf.tables.VERSION", VERSION + 1)
    monkeypatch.setattr("nesting.shelf.file.VERSION", VERSION + 1)
    wrong = (*STEPS, ("CREATE TABLE more (number INTEGER) STRICT", "SELECT what FROM nowhere"))
    monkeypatch.setattr("nesting.shelf.tables.STEPS", wrong)
    with pytest.raises(sqlite3.OperationalError, match="nowhere"):
        find(path)
    assert dump(path) == before
    assert ask(path, "PRAGMA user_version") == [(VERSION,)]


def other_sqlite(path):
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE pieces (number INTEGER)")


@pytest.mark.parametrize(
    "make",
    [
        other_sqlite,
        lambda path: path.write_text("cloth,length\n" * 100),
        lambda path: path.write_bytes(b""),
    ],
)
@pytest.mark.parametrize("use", [find, lambda path: add(path, [roll()])])
def test_a_file_that_is_no_shelf_is_refused_and_stays_as_it_is(path, make, use):
    make(path)
    before = path.read_bytes()
    with pytest.raises(OrderError, match="must be a shelf that clothwright wrote"):
        use(path)
    assert path.read_bytes() == before


def test_a_newer_version_is_refused(path):
    add(path, [roll()])
    with closing(sqlite3.connect(path)) as shelf:
        shelf.execute(f"PRAGMA user_version = {VERSION + 1}")
    for use in (find, lambda path: add(path, [roll()])):
        with pytest.raises(OrderError, match=f"version {VERSION + 1} .*newer clothwright"):
            use(path)


def test_a_shelf_that_another_command_changes_can_be_read_but_not_changed(path, monkeypatch):
    add(path, [roll()])
    monkeypatch.setattr(shelf_file, "PATIENCE", 0.1)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute("UPDATE pieces SET place = 'elsewhere'")
        assert find(path)[0].piece.place == ""
        with pytest.raises(AccessError, match="another command is changing it"):
            add(path, [roll()])
        other.execute("ROLLBACK")
    assert len(find(path)) == 1


def test_a_full_disk_changes_nothing(path, monkeypatch):
    add(path, [roll()])
    pages = ask(path, "PRAGMA page_count")[0][0]
    before, connect = dump(path), sqlite3.connect

    def small(*arguments, **options):
        shelf = connect(*arguments, **options)
        shelf.execute(f"PRAGMA max_page_count = {pages}")
        return shelf

    monkeypatch.setattr(shelf_file.sqlite3, "connect", small)
    with pytest.raises(AccessError, match="disk is full, so nothing was changed"):
        add(path, [roll(shade="A" * 90)] * 500)
    monkeypatch.undo()
    assert dump(path) == before


def test_a_damaged_file_is_told(path):
    add(path, [roll(shade="A" * 90)] * 500)
    data = bytearray(path.read_bytes())
    data[8192:] = b"\xff" * len(data[8192:])
    path.write_bytes(data)
    with pytest.raises(AccessError, match="it is damaged"):
        find(path)


def test_a_shelf_in_no_folder_is_not_created(tmp_path):
    with pytest.raises(AccessError, match="cannot be created: No such file"):
        add(tmp_path / "none" / "workroom.shelf", [roll()])
    assert list(tmp_path.iterdir()) == []


def test_a_shelf_that_cannot_be_created_whole_is_not_there(path, monkeypatch):
    def broken(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(shelf_file, "_migrate", broken)
    with pytest.raises(AccessError, match="No space left"):
        add(path, [roll()])
    assert list(path.parent.iterdir()) == []


def test_a_command_that_was_quicker_keeps_its_new_shelf(path, monkeypatch):
    put = shelf_file._put_in_place

    def late(fresh, target):
        monkeypatch.undo()
        add(path, [roll(shade="first")])
        put(fresh, target)

    monkeypatch.setattr(shelf_file, "_put_in_place", late)
    add(path, [roll(shade="second")])
    assert [each.piece.shade for each in find(path)] == ["first", "second"]


def test_a_shelf_is_created_where_files_cannot_be_linked(path, monkeypatch):
    def no_link(*_):
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_link)
    add(path, [roll()])
    assert len(find(path)) == 1


@contextmanager
def as_anybody():
    """Act as a user who owns nothing here; root may read and write everything."""
    root = os.geteuid() == 0
    if root:
        os.setegid(65534)
        os.seteuid(65534)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)
            os.setegid(0)


@pytest.fixture
def open_folder():
    """A folder that any user can enter."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o777)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


@pytest.mark.skipif(os.name == "nt", reason="permissions of files are those of POSIX")
@pytest.mark.parametrize(
    ("file_mode", "folder_mode"), [(0o444, 0o777), (0o666, 0o555), (0o000, 0o777)]
)
def test_a_shelf_that_may_not_be_written_is_told_and_stays(open_folder, file_mode, folder_mode):
    path = open_folder / "workroom.shelf"
    add(path, [roll()])
    before = path.read_bytes()
    path.chmod(file_mode)
    open_folder.chmod(folder_mode)
    with as_anybody(), pytest.raises(AccessError, match=r"may not be written|permissions"):
        add(path, [roll()])
    assert path.read_bytes() == before
    assert [each.name for each in open_folder.iterdir()] == [path.name]


@pytest.mark.skipif(os.name == "nt", reason="permissions of files are those of POSIX")
def test_a_shelf_that_may_only_be_read_is_shown(open_folder):
    path = open_folder / "workroom.shelf"
    add(path, [roll()])
    path.chmod(0o444)
    with as_anybody():
        assert len(find(path)) == 1


@pytest.mark.skipif(os.name == "nt", reason="permissions of files are those of POSIX")
def test_a_shelf_is_not_created_in_a_folder_that_may_not_be_written(open_folder):
    open_folder.chmod(0o555)
    with as_anybody(), pytest.raises(AccessError, match="cannot be created: Permission denied"):
        add(open_folder / "workroom.shelf", [roll()])
    assert list(open_folder.iterdir()) == []
