"""Progress on standard error."""

import sys

import pytest
from worked_lays import rectangle

from cli import monitor as monitors
from cli.monitor import LineMonitor, LiveMonitor, Monitor, monitor
from nesting.cloth.cloth import Cloth
from nesting.packing.running import Limits, Progress
from nesting.planning.cloth_panels import ClothPanels
from nesting.units import CM

#: A panel of 50 x 50 cm on a cloth of 100 cm.
CUT = ClothPanels(
    Cloth("serge", 100 * CM), (rectangle(50 * CM, 50 * CM, name="plate", item="seat"),)
)


def at(length, step=0, seconds=1.0, *, waiting=False):
    return Progress(length * CM, 25 * CM, step, seconds, waiting)


def not_asked():
    return False


def test_a_line_shows_length_efficiency_bound_and_time_left(capsys):
    with LineMonitor("cm", Limits(seconds=20), not_asked) as shown:
        shown.observe(CUT, at(50))
    # 50 x 50 of 50 x 100 cm is half.
    expected = "serge: 50.0 cm long, fabric utilisation 50.0 %, minimum 25.0 cm, 19 s left\n"
    assert capsys.readouterr() == ("", expected)


def test_with_steps_a_line_shows_the_step(capsys):
    with LineMonitor("in", Limits(seconds=None, steps=9), not_asked) as shown:
        shown.observe(CUT, at(50, step=4))
    # 50 cm are 19.685 in, nearest 19 11/16.
    assert "19 11/16 in long" in capsys.readouterr().err


def test_lines_come_when_a_lay_gets_shorter_but_not_too_often_and_the_last_always_comes(capsys):
    with LineMonitor("cm", Limits(seconds=20), not_asked) as shown:
        for length in (60, 60, 59, 58, 57):
            shown.observe(CUT, at(length))
    lines = capsys.readouterr().err.splitlines()
    assert [line.split()[1] for line in lines] == ["60.0", "57.0"]


def test_a_long_wait_for_the_first_lay_is_explained(capsys, monkeypatch):
    monkeypatch.setattr(monitors, "_PATIENCE", 0.0)
    with LineMonitor("cm", Limits(), not_asked) as shown:
        shown.timer.join()
    assert capsys.readouterr().err.startswith("preparing: ")


def test_a_lay_that_is_there_at_once_needs_no_explanation(capsys):
    with LineMonitor("cm", Limits(), not_asked) as shown:
        shown.observe(CUT, at(50))
        shown.timer.join()
    assert "preparing" not in capsys.readouterr().err


def test_a_long_wait_for_the_search_is_explained_after_the_first_lay(capsys, monkeypatch):
    monkeypatch.setattr(monitors, "_PATIENCE", 0.0)
    with LineMonitor("cm", Limits(), not_asked) as shown:
        shown.timer.join()
        shown.observe(CUT, at(50, waiting=True))
        shown.timer.join()
        shown.observe(CUT, at(50))
    loading, lay, compiling = capsys.readouterr().err.splitlines()
    assert loading.startswith("preparing: ")
    assert lay.startswith("serge: 50.0 cm long")
    assert compiling.startswith("compiling the search")


def test_a_search_that_begins_at_once_needs_no_explanation(capsys):
    with LineMonitor("cm", Limits(), not_asked) as shown:
        shown.observe(CUT, at(50, waiting=True))
        shown.observe(CUT, at(50))
        shown.timer.join()
    assert "compiling" not in capsys.readouterr().err


@pytest.mark.parametrize(("waiting", "left"), [(True, 19), (False, 9)])
def test_time_passes_on_a_terminal_but_not_while_the_search_waits(
    capsys, monkeypatch, waiting, left
):
    now = [100.0]
    monkeypatch.setattr(monitors.time, "monotonic", lambda: now[0])
    with LiveMonitor("cm", Limits(seconds=20), not_asked) as shown:
        shown.observe(CUT, at(50, waiting=waiting))
        now[0] += 10.0
    shown = capsys.readouterr().err
    assert f", {left} s left" in shown
    assert ("compiling the search" in shown) == waiting


@pytest.mark.parametrize("kind", [Monitor, LineMonitor, LiveMonitor])
def test_an_interruption_is_passed_on_and_shown_once(capsys, kind):
    asked = iter([False, True, True])
    with kind("cm", Limits(), lambda: next(asked)) as shown:
        answers = [shown.interrupted() for _ in range(3)]
    assert answers == [False, True, True]
    shown = capsys.readouterr().err.count("keeping the best lay")
    assert shown == (0 if kind is Monitor else 1)


def test_a_terminal_gets_lines_that_are_redrawn(capsys, monkeypatch):
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    shown = monitor(quiet=False, units="cm", limits=Limits(), asked=not_asked)
    assert isinstance(shown, LiveMonitor)
    with shown:
        shown.observe(CUT, at(50))
    assert "serge: 50.0 cm long" in capsys.readouterr().err


def test_quiet_shows_nothing(capsys):
    with monitor(quiet=True, units="cm", limits=Limits(), asked=not_asked) as shown:
        shown.observe(CUT, at(50))
    assert capsys.readouterr() == ("", "")
