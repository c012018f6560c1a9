"""Makes the compiled loops ready before a search; the user may interrupt meanwhile.

On a machine's first search the loops are compiled, which takes many seconds;
numba caches the result, and later searches only load it. Both happen here
and not in the middle of a search: a strategy's own engines lay a few pieces,
so the loops are called with the same types as in a search.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait

from nesting.packing.strategy import OUTLINES, RECTANGLES, Strategy

#: Seconds between two checks for an interruption.
_POLL = 0.02


def prepare(strategy: Strategy, interrupted: Callable[[], bool]) -> None:
    """Wait until the loops that a strategy's search calls are ready, or the user interrupts.

    The compiler cannot be interrupted, so it runs in a thread of its own.
    Errors raised there are raised here again.
    """
    thread = ThreadPoolExecutor(1)
    ready = thread.submit(strategy.call_loops)
    thread.shutdown(wait=False)
    while not ready.done() and not interrupted():
        wait([ready], _POLL)
    if ready.done():
        ready.result()  # raises any error of the thread


def prepare_all() -> None:
    """Make the loops of all strategies ready, and wait until they are."""
    OUTLINES.call_loops()
    RECTANGLES.call_loops()
