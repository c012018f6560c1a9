"""Keeps Ctrl-C away from the processes of a search.

A terminal sends Ctrl-C to every process, but only the one that the user started
should react. A new process inherits the signals that are blocked, so a process
started while Ctrl-C is blocked is safe even before its first line has run. On
Windows it inherits whether its parent ignores Ctrl-C.
"""

import ctypes
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing import resource_tracker


@contextmanager
def held_back_interrupts() -> Iterator[None]:
    """Block Ctrl-C in this thread and the processes it starts; deliver it afterwards.

    The standard library's resource tracker, which is started with the first
    process, unblocks signals when it starts, so it must be running before. On
    Windows nothing is delivered afterwards: Ctrl-C must be pressed again.
    """
    if sys.platform == "win32":
        ignore_interrupts = ctypes.windll.kernel32.SetConsoleCtrlHandler
        ignore_interrupts(None, True)
        try:
            yield
        finally:
            ignore_interrupts(None, False)
        return
    resource_tracker.ensure_running()
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
