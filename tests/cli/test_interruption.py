"""Ctrl-C, with real processes and real signals."""

import json
import os
import signal
import subprocess
import sys
import time
from contextlib import contextmanager, suppress

import pytest

from cli.interruption import Interruption

COMMAND = (sys.executable, "-c", "from cli.app import main; main()")

#: The shortest lay of round panels is not proved, so only an interruption ends the search.
ROUND = """
[[item]]
product = "round-cushion"
name = "pad"
quantity = 9
cloth = "Grey Wool 2"
diameter = 25
thickness = 5
"""

pytestmark = pytest.mark.skipif(os.name == "nt", reason="POSIX signals")


def enlarge(path):
    """Make an order so large that its search does not end by itself."""
    path.write_text(path.read_text().replace("quantity = 1", "quantity = 9") + ROUND)


@contextmanager
def started(*arguments):
    """A command in a process group of its own, as a terminal starts it."""
    process = subprocess.Popen(
        [*COMMAND, *map(str, arguments)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    try:
        yield process
    finally:
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.communicate()


def read_until(process, words):
    """Lines of standard error up to one that has all the words."""
    lines = []
    for line in process.stderr:
        lines.append(line)
        if all(word in line for word in words):
            return lines
    pytest.fail(f"ended before saying {words}: {lines}")


def ctrl_c(process):
    os.killpg(process.pid, signal.SIGINT)


@pytest.mark.parametrize("workers", [1, 2])
def test_ctrl_c_keeps_the_best_lay_of_every_cloth(two_cloths, clothwright, workers):
    enlarge(two_cloths)
    with started("lay", two_cloths, "--seconds", "600", "--workers", workers) as process:
        read_until(process, ["cm long"])
        time.sleep(1.0)  # the solver library, which has signal handling of its own, is at work
        ctrl_c(process)
        out, err = process.communicate(timeout=60)
    assert process.returncode == 130
    assert "ending the search, keeping the best lay" in err
    assert "Traceback" not in err
    assert "files are in" in out
    layout = two_cloths.parent / "two-lay" / "layout.json"
    assert len(json.loads(layout.read_text())["cloths"]) == 2
    assert clothwright("verify", layout).status == 0


def test_a_second_ctrl_c_ends_at_once_and_keeps_the_previous_files(order, clothwright):
    enlarge(order)
    clothwright("lay", order, "--steps", "1", "--workers", "1")
    before = {path.name: path.read_bytes() for path in (order.parent / "bench-lay").iterdir()}
    with started("lay", order, "--seconds", "600", "--seed", "5") as process:
        read_until(process, ["cm long"])
        ctrl_c(process)
        read_until(process, ["ending the search"])
        ctrl_c(process)
        out, err = process.communicate(timeout=60)
    assert process.returncode == 130
    assert "stopped at once" in err
    assert "Traceback" not in err
    assert out == ""
    after = {path.name: path.read_bytes() for path in (order.parent / "bench-lay").iterdir()}
    assert after == before
    assert {path.name for path in order.parent.iterdir()} == {"bench.toml", "bench-lay"}


@pytest.mark.parametrize("name", ["order", "two_cloths"])
def test_when_the_program_is_killed_its_workers_end_too(request, name):
    path = request.getfixturevalue(name)
    enlarge(path)
    with started("lay", path, "--seconds", "600", "--workers", "2") as process:
        read_until(process, ["cm long"])
        process.kill()
        # Workers share standard error, which closes when the last of them ends.
        process.communicate(timeout=30)
    assert list(path.parent.iterdir()) == [path]


def test_ctrl_c_keeps_the_rolls_compared_so_far(order):
    widths = ("--width", "140cm", "--width", "112cm", "--width", "90cm")
    enlarge(order)
    with started("widths", order, *widths, "--seconds", "600", "--json") as process:
        read_until(process, ["140cm", "cm long"])
        ctrl_c(process)
        out, _ = process.communicate(timeout=60)
    assert process.returncode == 130
    planned = {roll["name"][-10:-5]: roll["planned"] for roll in json.loads(out)["rolls"]}
    assert planned == {"140cm": True, "112cm": False, " 90cm": False}
    assert (order.parent / "bench-widths" / "widths.json").is_file()


def test_the_first_ctrl_c_is_noted_and_the_second_raises(capsys):
    with pytest.raises(KeyboardInterrupt), Interruption() as interruption:  # noqa: PT012
        assert not interruption.asked
        signal.raise_signal(signal.SIGINT)
        assert interruption.asked
        signal.raise_signal(signal.SIGINT)
    assert capsys.readouterr().err == "stopped at once; nothing was written\n"


def test_afterwards_ctrl_c_works_as_before():
    before = signal.getsignal(signal.SIGINT)
    with Interruption():
        assert signal.getsignal(signal.SIGINT) != before
    assert signal.getsignal(signal.SIGINT) == before
