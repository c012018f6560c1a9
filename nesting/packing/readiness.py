"""Compiled loops made ready, while somebody may still ask for the end.

On a machine's first search they are compiled, which takes many seconds;
numba keeps the result, and later searches only load it. Both happen here
and not in the midst of a search: the engines themselves lay a problem of a
few pieces, so the loops meet the very types that a search gives them.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait

import numpy as np

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.construction import BottomLeft
from nesting.packing.guided.search import GuidedSearch
from nesting.packing.skyline.search import SkylineSearch
from nesting.packing.stage import Arrangement, Stage

#: Seconds between two questions whether the end was asked for.
_GLANCE = 0.02

_NOTCHED = Outline(((0, 0), (300, 0), (150, 140), (300, 300), (0, 300)))
_OBLONG = Outline(((0, 0), (300, 0), (300, 370), (0, 370)))


def prepare(stage: Stage, interrupted: Callable[[], bool]) -> None:
    """Wait until the loops that a search on this stage calls are ready, or somebody interrupts.

    A compiler cannot be interrupted: it goes on in a thread of its own. What goes wrong there
    is raised here.
    """
    work = _prepare_rectangles if stage.is_rectangular else _prepare_outlines
    thread = ThreadPoolExecutor(1)
    ready = thread.submit(work)
    thread.shutdown(wait=False)
    while not ready.done() and not interrupted():
        wait([ready], _GLANCE)
    if ready.done():
        ready.result()  # raises what went wrong


def prepare_all() -> None:
    """Make all loops ready and wait for it."""
    _prepare_outlines()
    _prepare_rectangles()


def _prepare_outlines() -> None:
    stage = _few(_NOTCHED)
    lay = BottomLeft(stage).fill(range(len(stage.choices)))
    heap = Arrangement(lay.pose, np.zeros_like(lay.x), np.zeros_like(lay.y))
    GuidedSearch(stage, 0, over=lambda: False).separated(heap, stage.used_length(lay))


def _prepare_rectangles() -> None:
    stage = _few(_OBLONG)
    search = SkylineSearch(stage, 0)
    lay = search.skyline.first()
    row = Arrangement(lay.pose, np.arange(len(lay.x)) * _OBLONG.length, np.zeros_like(lay.y))
    search.attempt(row, stage.used_length(lay), 0.0)
    stage.is_valid(lay)


def _few(outline: Outline) -> Stage:
    """A stage with three pieces of one shape: two lie beside each other."""
    return Stage(Problem(1000, (Shape(outline, (0, 180)),), (Piece(0),) * 3))
