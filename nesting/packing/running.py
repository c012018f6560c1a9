"""How long a search runs, who watches it, and what it returns."""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from nesting.layouts.layout import Layout


@dataclass(frozen=True, slots=True)
class Limits:
    """When a search ends: after ``seconds``, or after ``steps`` of fixed work.

    Steps make a run repeatable: with a limit in steps the clock is not used.
    """

    seconds: float | None = 20.0
    steps: int | None = None


@dataclass(frozen=True, slots=True)
class Progress:
    """What an observer receives: figures of the best lay so far, in grid units.

    ``seconds`` does not advance while a search is ``waiting`` to begin.
    """

    used_length: int
    lower_bound: int
    step: int
    seconds: float
    waiting: bool = False


@dataclass(frozen=True)
class Solution:
    """The best layout found and what is proved about it.

    ``seconds`` is the wall time of the search, without the wait for its
    compiled loops; ``first_seconds`` is when the first valid layout was found;
    ``interrupted`` says whether the search was stopped early.
    """

    layout: Layout
    lower_bound: int
    proved_optimal: bool
    steps: int
    seconds: float
    first_seconds: float
    interrupted: bool = False


def ignore_progress(_: Progress) -> None:
    """Do nothing: the default for searches that nobody watches."""


def uninterrupted() -> bool:
    """Never interrupt: the default for searches that nobody stops."""
    return False


class NoLayoutError(ValueError):
    """No layout was found that fits the length of the strip.

    ``length`` is the length of the strip, ``layout`` the shortest lay found on a
    longer strip, ``lower_bound`` a proven lower bound on the used length of any
    lay; lengths are grid units.
    """

    def __init__(self, length: int, layout: Layout, lower_bound: int) -> None:
        super().__init__(length, layout, lower_bound)
        self.length, self.layout, self.lower_bound = length, layout, lower_bound

    @property
    def proved(self) -> bool:
        """Whether it is proved that there is none, not only that none was found."""
        return self.lower_bound > self.length

    def __str__(self) -> str:
        found = "there is no layout" if self.proved else "no layout was found"
        return (
            f"{found} on a strip {self.length} long: the shortest one known is "
            f"{self.layout.used_length} long, none is shorter than {self.lower_bound}"
        )


@dataclass
class Watch:
    """The clock and step counter of a search.

    ``interrupted`` is called often, so it must be quick.
    """

    limits: Limits
    observe: Callable[[Progress], None] = ignore_progress
    interrupted: Callable[[], bool] = uninterrupted
    step: int = 0
    started: float = field(default_factory=time.perf_counter)

    @property
    def seconds(self) -> float:
        """Wall time since the start, without the time for which the watch was held."""
        return time.perf_counter() - self.started

    @contextmanager
    def held(self) -> Iterator[None]:
        """Stop the clock while the body of the ``with`` statement runs."""
        since = time.perf_counter()
        yield
        self.started += time.perf_counter() - since

    @property
    def seconds_left(self) -> float:
        """Wall time left; infinite when the limit is in steps."""
        if self.limits.seconds is None or self.limits.steps is not None:
            return float("inf")
        return max(0.0, self.limits.seconds - self.seconds)

    def over(self) -> bool:
        """Tell whether the search must end now."""
        out_of_steps = self.limits.steps is not None and self.step >= self.limits.steps
        return out_of_steps or self.seconds_left <= 0 or self.interrupted()

    def report(self, used_length: int, lower_bound: int, *, waiting: bool = False) -> None:
        """Report the present figures to the observer."""
        self.observe(Progress(used_length, lower_bound, self.step, self.seconds, waiting))
