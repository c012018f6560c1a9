"""Ctrl-C: the first ends the search, the second ends everything."""

import signal
from types import FrameType, TracebackType
from typing import Any, Self

from cli.screen import remark


class Interruption:
    """A context that notes the first Ctrl-C and raises at the second.

    Raises
    ------
    KeyboardInterrupt
        At the second Ctrl-C, wherever the main thread is.
    """

    def __init__(self) -> None:
        self.asked = False
        self._before: Any = None

    def __enter__(self) -> Self:
        self._before = signal.signal(signal.SIGINT, self._note)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        signal.signal(signal.SIGINT, self._before)
        if kind is KeyboardInterrupt:
            remark("stopped at once; nothing was written")

    def _note(self, _signal: int, _frame: FrameType | None) -> None:
        if self.asked:
            raise KeyboardInterrupt
        self.asked = True
