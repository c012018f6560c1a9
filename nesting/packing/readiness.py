"""Compiled loops made ready, while somebody may still ask for the end.

On a machine's first search they are compiled, which takes many seconds;
numba keeps the result, and later searches only load it. Both happen here
and not in the midst of a search: a strategy's own engines lay a problem of a
few pieces, so the loops meet the very types that a search gives them.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait

from nesting.packing.strategy import OUTLINES, RECTANGLES, Strategy

#: Seconds between two questions whether the end was asked for.
_GLANCE = 0.02


def prepare(strategy: Strategy, interrupted: Callable[[], bool]) -> None:
    """Wait until the loops that a search by a strategy calls are ready, or somebody interrupts.

    A compiler cannot be interrupted: it goes on in a thread of its own. What goes wrong there
    is raised here.
    """
    thread = ThreadPoolExecutor(1)
    ready = thread.submit(strategy.call_loops)
    thread.shutdown(wait=False)
    while not ready.done() and not interrupted():
        wait([ready], _GLANCE)
    if ready.done():
        ready.result()  # raises what went wrong


def prepare_all() -> None:
    """Make all loops ready and wait for it."""
    OUTLINES.call_loops()
    RECTANGLES.call_loops()
