"""Measures the shelf: how quick it is with many pieces, and whether kills leave it whole.

::

    python -m benchmarks.shelf [--pieces 100000] [--kills 200] [--seconds 60]

The pieces are our own: forty cloths, one piece in ten a hide of twelve corners.
A *booker* is a process that books one small lay after the other. It is killed
at a random moment, and the shelf is then compared with what the booker told
after each booking. For the last figure two bookers run at once.
"""

import argparse
import random
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from functools import partial
from math import cos, pi, sin
from pathlib import Path
from typing import Final

from cli.screen import columns
from nesting.cloth.cloth import Cloth
from nesting.errors import WorkError
from nesting.geometry.outline import Outline
from nesting.shelf.booking import book, rectangle
from nesting.shelf.lay_record import LayRecord, UsedPiece
from nesting.shelf.piece import Piece, ShelfPiece
from nesting.shelf.stocktaking import Wanted, add, find, offered
from nesting.units import CM, M

#: Target for one look at the shelf, in seconds.
TO_REACH: Final = 0.3

_CLOTHS: Final = 40
_ROLL: Final = "roll cloth"
_ROLLS: Final = 3
_LONG: Final = 1000 * M

#: What each booking takes off a roll, and the remnant that it leaves.
_TAKEN: Final = 1 * CM
_REMNANT: Final = (12 * CM, 11 * CM)


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure all and print it, or be a booker."""
    parser = argparse.ArgumentParser(description="Measure the shelf.")
    parser.add_argument("--pieces", type=int, default=100_000)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--booker", nargs=2, metavar=("FILE", "NAME"), help=argparse.SUPPRESS)
    asked = parser.parse_args(arguments)
    if asked.booker:
        be_booker(Path(asked.booker[0]), asked.booker[1])
        return
    with tempfile.TemporaryDirectory() as folder:
        print(columns(list(_speed(Path(folder, "many"), asked.pieces)), right=(1,)))
        booked = kill_bookers(Path(folder, "kills"), asked.kills, random.Random(0))
        print(f"{asked.kills} kills, {booked} bookings: shelf whole, none lost, none by half")
        booked = run_two_bookers(Path(folder, "two"), asked.seconds)
        print(f"two bookers for {asked.seconds:g} s, {booked} bookings: totals exact")


def _speed(path: Path, count: int) -> Iterator[tuple[str, str]]:
    yield f"{count} pieces", "seconds"
    yield "add", _seconds(lambda: add(path, _many(count)))
    cloths = [Cloth(f"cloth {n}", 140 * CM) for n in (3, 17, 21)]
    filters = {
        "list --cloth": Wanted(cloth="cloth 7"),
        "list --cloth --shade --at-least": Wanted("cloth 7", "lot 17", at_least=2 * M),
        "list --shade --place": Wanted(shade="lot 17", place="rack 3"),
        "list --at-least 495 cm": Wanted(at_least=495 * CM),
    }
    for name, wanted in filters.items():
        found = len(find(path, wanted))
        yield f"{name} ({found} found)", _seconds(partial(find, path, wanted))
    for some in (cloths[:1], cloths):
        found = sum(map(len, offered(path, some).values()))
        yield f"offered, {len(some)} cloths ({found})", _seconds(partial(offered, path, some))
    yield "target for one look", f"{TO_REACH:.3f}"


def _seconds(work: Callable[[], object]) -> str:
    start = time.perf_counter()
    work()
    return f"{time.perf_counter() - start:.3f}"


def _many(count: int) -> Iterator[Piece]:
    chance = random.Random(0)
    for n in range(count):
        length, width = chance.randrange(20 * CM, 5 * M), chance.randrange(20 * CM, 150 * CM)
        hide = _hide(chance, length, width) if chance.random() < 0.1 else None
        shade, place = f"lot {chance.randrange(50)}", f"rack {chance.randrange(20)}"
        if hide:
            length, width = hide.length, hide.height
        yield Piece(
            f"cloth {n % _CLOTHS}", length, width, outline=hide, shade=shade, place=place,
            price=chance.randrange(10_000), currency="EUR", since="2026-11-30",
        )  # fmt: skip


def _hide(chance: random.Random, length: int, width: int) -> Outline:
    """An outline of twelve corners about an ellipse, its least corner at (0, 0)."""
    rays = [(pi * n / 6, chance.uniform(0.8, 1)) for n in range(12)]
    ring = [(round(length * r * cos(a) / 2), round(width * r * sin(a) / 2)) for a, r in rays]
    x, y = min(x for x, _ in ring), min(y for _, y in ring)
    return Outline(tuple((a - x, b - y) for a, b in ring))


def fill(path: Path) -> None:
    """A shelf with the rolls that bookers book."""
    add(path, [Piece(_ROLL, _LONG, 140 * CM, 0, since="2026-11-30")] * _ROLLS)


def be_booker(path: Path, name: str) -> None:
    """Book small lays for ever and tell each; look again when a roll has changed."""
    chance, count = random.Random(name), 0
    print("ready", flush=True)
    while True:
        roll = chance.choice(find(path, Wanted(cloth=_ROLL, at_least=1 * M)))
        try:
            book_small_lay(path, roll, f"{name}-{count}")
        except WorkError:
            continue
        count += 1
        print("booked", flush=True)


def book_small_lay(path: Path, roll: ShelfPiece, name: str) -> None:
    """Book a lay of one panel on a roll, which leaves one remnant."""
    panel = rectangle(_TAKEN, 20 * CM)
    used = UsedPiece(_ROLL, roll.name, roll.piece.length, roll.piece.width, 0, 0, (panel,))
    book(path, LayRecord(Path(name), name, (used,)), {(_ROLL, roll.name): (_REMNANT,)})


def kill_bookers(path: Path, kills: int, chance: random.Random) -> int:
    """Kill bookers at random moments and compare the shelf after each; how much was booked."""
    fill(path)
    booked = 0
    for n in range(kills):
        booker = _start(path, f"kill {n}")
        time.sleep(chance.uniform(0, 0.4))
        told = _end(booker)
        now = count_bookings(path)
        # a booking that was written and not told yet is whole, too
        if not booked + told <= now <= booked + told + 1:
            msg = f"{told} bookings were told after {booked}, and {now} are there"
            raise AssertionError(msg)
        booked = now
    return booked


def run_two_bookers(path: Path, seconds: float) -> int:
    """Let two bookers run at once and compare the shelf; how much was booked."""
    fill(path)
    bookers = [_start(path, name) for name in ("one", "other")]
    time.sleep(seconds)
    told = [_end(booker) for booker in bookers]
    booked = count_bookings(path)
    if not (min(told) > 0 and sum(told) <= booked <= sum(told) + 2):
        msg = f"{told} bookings were told, and {booked} are there"
        raise AssertionError(msg)
    return booked


def _start(path: Path, name: str) -> "subprocess.Popen[str]":
    """A booker that has begun."""
    command = [sys.executable, "-m", "benchmarks.shelf", "--booker", str(path), name]
    booker = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert booker.stdout is not None
    booker.stdout.readline()
    return booker


def _end(booker: "subprocess.Popen[str]") -> int:
    """Kill a booker; how many bookings it told."""
    if booker.poll() is not None:
        msg = "a booker has ended by itself"
        raise AssertionError(msg)
    booker.kill()
    told, _ = booker.communicate()
    return told.count("booked\n")


def count_bookings(path: Path) -> int:
    """The bookings of a shelf, if it is whole and each of them is there with all that it did."""
    with closing(sqlite3.connect(path)) as shelf:

        def ask(question: str) -> int:
            return int(shelf.execute(question).fetchone()[0] or 0)

        whole = shelf.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        foreign = shelf.execute("PRAGMA foreign_key_check").fetchall()
        booked = ask("SELECT count(*) FROM bookings")
        rolls = f"SELECT sum(length) FROM pieces WHERE there AND length > {1 * M}"
        figures = {
            "shortened": ask("SELECT count(*) FROM journal WHERE what = 'length taken off'"),
            "offered": ask("SELECT count(*) FROM journal WHERE what = 'remnant offered'"),
            "remnants": ask(f"SELECT count(*) FROM pieces WHERE length = {_REMNANT[0]}"),
            "lengths": (_ROLLS * _LONG - ask(rolls)) / _TAKEN,
        }
    if not whole or foreign or set(figures.values()) != {booked}:
        msg = f"the shelf is not whole: {booked} bookings, {figures}, {foreign}"
        raise AssertionError(msg)
    return booked


if __name__ == "__main__":
    main()
