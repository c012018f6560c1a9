"""Ctrl-C and the processes of a search.

A terminal sends Ctrl-C to every process; only the one that the user started
may react. A new process inherits which signals are held back, so one that is
started while they are is safe even before its first line has run.
"""

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing import resource_tracker


@contextmanager
def held_back_interrupts() -> Iterator[None]:
    """Hold back Ctrl-C in this thread and in processes it starts; what came comes afterwards.

    The standard library's tracker of resources, which comes with the first
    process, lets signals through again when it has started: it must run before.
    """
    if sys.platform == "win32":
        yield
        return
    resource_tracker.ensure_running()
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
