"""Progress of a search on standard error: length, efficiency, bound, time left.

On a terminal the lines are redrawn in place. Elsewhere (a log, a pipe) a new
line is written when a lay becomes shorter, but not too often.
"""

import sys
import threading
import time
from collections.abc import Callable
from types import TracebackType
from typing import TYPE_CHECKING, Any, Final, Self

from cli.screen import remark
from nesting.units import format_length

if TYPE_CHECKING:
    from nesting.packing.running import Limits, Progress
    from nesting.planning.cloth_panels import ClothPanels

#: Seconds without a lay, or without search, after which a line says why.
_PATIENCE: Final = 1.0
#: Least seconds between two lines about one cloth where lines cannot be redrawn.
_PACE: Final = 2.0

_LOADING: Final = "preparing: loading the search (quicker next time)"
_COMPILING: Final = "compiling the search (quicker next time; not counted as search time)"
_ENDING: Final = "ending the search, keeping the best lay (Ctrl-C again stops at once)"


class Monitor:
    """Keeps the latest progress of every search but shows nothing, for ``--quiet``.

    The search calls ``interrupted``, not ``asked`` itself, so that the monitor
    can show that the user asked for the end.
    """

    def __init__(self, units: str, limits: "Limits", asked: Callable[[], bool]) -> None:
        self._units = units
        self._limits = limits
        self._asked = asked
        self._ending = False
        self._latest: dict[str, tuple[ClothPanels, Progress, float]] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        pass

    def observe(self, cut: "ClothPanels", progress: "Progress") -> None:
        """Note a better lay or bound for one cloth."""
        self._latest[cut.cloth.name] = (cut, progress, time.monotonic())

    def interrupted(self) -> bool:
        """Whether the search must end."""
        if self._asked() and not self._ending:
            self._ending = True
            self._show_ending()
        return self._ending

    def _show_ending(self) -> None:
        pass

    def _line(self, cloth: str) -> str:
        """The progress of the search for one cloth, in words."""
        cut, progress, then = self._latest[cloth]
        left = self._left(progress, time.monotonic() - then)
        if cut.cloth.stock:
            return f"{cloth}: trying the pieces that are there, {left}"
        length = format_length(progress.used_length, self._units)
        bound = format_length(progress.lower_bound, self._units)
        efficiency = cut.area2 / (2 * progress.used_length * cut.cloth.usable_width)
        figures = f"{cloth}: {length} long, efficiency {100 * efficiency:.1f} %, not below {bound}"
        return f"{figures}, {left}"

    def _left(self, progress: "Progress", since: float) -> str:
        if self._limits.seconds is None:
            return f"step {progress.step} of {self._limits.steps}"
        passed = progress.seconds + (0.0 if progress.waiting else since)
        left = max(0.0, self._limits.seconds - passed)
        return f"{left:.0f} s left"


class LineMonitor(Monitor):
    """Writes lines, for logs and pipes."""

    def __init__(self, units: str, limits: "Limits", asked: Callable[[], bool]) -> None:
        super().__init__(units, limits, asked)
        self._shown: dict[str, tuple[int, float]] = {}
        self.timer = _remark_later(_LOADING)

    def __enter__(self) -> Self:
        self.timer.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.timer.cancel()
        for cloth, (_cut, progress, _then) in self._latest.items():
            if self._shown[cloth][0] != progress.used_length:
                remark(self._line(cloth))

    def observe(self, cut: "ClothPanels", progress: "Progress") -> None:
        """Write a line when a lay becomes shorter, unless the last line is too recent."""
        super().observe(cut, progress)
        self.timer.cancel()
        cloth, now = cut.cloth.name, time.monotonic()
        length, then = self._shown.get(cloth, (0, 0.0))
        if length == 0 or (progress.used_length != length and now - then >= _PACE):
            self._shown[cloth] = (progress.used_length, now)
            remark(self._line(cloth))
        if progress.waiting:
            self.timer = _remark_later(_COMPILING)
            self.timer.start()

    def _show_ending(self) -> None:
        remark(_ENDING)


def _remark_later(text: str) -> threading.Timer:
    """A timer, not yet started, that writes a line unless it is cancelled in time."""
    timer = threading.Timer(_PATIENCE, remark, (text,))
    timer.daemon = True
    return timer


class LiveMonitor(Monitor):
    """Redraws its lines in place, for terminals."""

    def __enter__(self) -> Self:
        from rich.console import Console
        from rich.live import Live

        self._begun = time.monotonic()
        console = Console(stderr=True, highlight=False)
        self._live: Any = Live(get_renderable=self._picture, console=console, refresh_per_second=4)
        self._live.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._live.stop()

    def _show_ending(self) -> None:
        self._live.refresh()

    def _picture(self) -> Any:
        from rich.text import Text

        lines = [self._line(cloth) for cloth in list(self._latest)]
        lately = time.monotonic() - _PATIENCE
        if not lines and self._begun < lately:
            lines = [_LOADING]
        if any(at.waiting and then < lately for _, at, then in list(self._latest.values())):
            lines.append(_COMPILING)
        return Text("\n".join([*lines, _ENDING] if self._ending else lines))


def monitor(quiet: bool, units: str, limits: "Limits", asked: Callable[[], bool]) -> Monitor:
    """The monitor that suits standard error."""
    if quiet:
        return Monitor(units, limits, asked)
    kind = LiveMonitor if sys.stderr.isatty() else LineMonitor
    return kind(units, limits, asked)
