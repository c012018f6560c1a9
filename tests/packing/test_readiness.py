"""All compiled loops are made ready before a search, and an interruption need not wait."""

import json
import os
import subprocess
import sys
import threading
from dataclasses import replace

import pytest
from strategies import box

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Body, Piece, Problem, Shape
from nesting.packing import construction_kernels, contact_kernels, random_kernels, readiness
from nesting.packing.guided import kernels as guided_kernels
from nesting.packing.readiness import prepare
from nesting.packing.running import Limits
from nesting.packing.skyline import kernels as skyline_kernels
from nesting.packing.solver import solve
from nesting.packing.stage import Stage
from nesting.packing.strategy import OUTLINES, Outlines, Rectangles, strategy_for
from nesting.units import CM

ARROW = Outline(
    ((0, 0), (25 * CM, 0), (40 * CM, 10 * CM), (25 * CM, 20 * CM), (0, 20 * CM), (15 * CM, 10 * CM))
)
HALF = Outline(((0, 0), (40 * CM, 0), (0, 30 * CM)))

#: Every module of compiled loops.
KERNELS = (construction_kernels, contact_kernels, random_kernels, guided_kernels, skyline_kernels)

#: Outlines, outlines few enough to be proved, rectangles.
ARROWS = Problem(
    71 * CM,
    (Shape(ARROW, (0, 180)), Shape(HALF, (0, 180)), Shape(box(23 * CM, 17 * CM), (0, 180))),
    tuple(Piece(k // 4, 1 if k % 4 else None) for k in range(12)),
    300,
)
THREE = Problem(45 * CM, (Shape(HALF, (0, 180)),), (Piece(0),) * 3)
SQUARES = Problem(
    97 * CM,
    tuple(Shape(box(s * CM, s * CM), (0,)) for s in range(11, 45, 2)),
    tuple(map(Piece, range(17))),
)


#: Outlines and rectangles on cloth with an end and a spot.
SPOTTED = [
    replace(problem, bodies=(Body(box(3 * CM, 4 * CM), 200),), length=900 * CM)
    for problem in (ARROWS, SQUARES)
]


def versions():
    """How many versions of each loop this process has, compiled for different types."""
    return {
        f"{loop.py_func.__module__}.{name}": len(loop.signatures)
        for kernels in KERNELS
        for name, loop in vars(kernels).items()
        if hasattr(loop, "signatures")
    }


def versions_before_and_after_searches():
    readiness.prepare_all()
    before = versions()
    for problem, steps in ((ARROWS, 12), (THREE, 3), (SQUARES, 6), *((p, 4) for p in SPOTTED)):
        solve(problem, Limits(seconds=None, steps=steps))
    return before, versions()


def test_each_loop_is_compiled_once_and_no_search_compiles_any():
    # In a process of its own, since loops that other tests have called are ready in this one.
    script = """
import json, test_readiness
print(json.dumps(test_readiness.versions_before_and_after_searches()))"""
    answer = subprocess.run(
        [sys.executable, "-c", script],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        check=True,
        capture_output=True,
        text=True,
    )
    before, after = json.loads(answer.stdout)
    assert after == before
    assert set(after.values()) == {0, 1}  # 0: called by other loops alone
    called = [name for name, count in after.items() if count]
    assert {name.rpartition(".")[2] for name in called} > {
        "forbid",
        "sweep",
        "clearest",
        "all_free",
        "exchange",
    }


@pytest.mark.parametrize(("problem", "kind"), [(ARROWS, Outlines), (SQUARES, Rectangles)])
def test_a_search_waits_for_the_loops_that_it_calls(monkeypatch, problem, kind):
    done = []
    monkeypatch.setattr(kind, "call_loops", lambda _: done.append(kind))
    prepare(strategy_for(Stage(problem)), lambda: False)
    assert done == [kind]


def test_whoever_interrupts_does_not_wait_for_the_compiler(monkeypatch):
    """The compiler is still at work when `prepare` returns: only then is it let go."""
    begun, let_go, ended = threading.Event(), threading.Event(), threading.Event()

    def compile_slowly(_):
        begun.set()
        let_go.wait(60)
        ended.set()

    monkeypatch.setattr(Outlines, "call_loops", compile_slowly)
    try:
        prepare(OUTLINES, begun.is_set)
        assert begun.is_set()
        assert not ended.is_set()
    finally:
        let_go.set()
    assert ended.wait(60)


def test_what_goes_wrong_in_the_compiler_is_told(monkeypatch):
    def wrong(_):
        raise RuntimeError("no room on the disk")

    monkeypatch.setattr(Outlines, "call_loops", wrong)
    with pytest.raises(RuntimeError, match="no room on the disk"):
        prepare(OUTLINES, lambda: False)
