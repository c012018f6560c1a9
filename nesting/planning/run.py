"""How the searches of a plan are run, and what each of them took."""

from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from nesting.packing.running import Limits, Progress
from nesting.planning.cloth_panels import ClothPanels


@dataclass(frozen=True)
class Run:
    """Limits for each cloth, and the rest: see `nesting.planning.plan.plan_order`."""

    limits: Limits
    seed: int
    workers: int
    observe: Callable[[ClothPanels, Progress], None]
    interrupted: Callable[[], bool]
    executor: Executor | None = None

    def part(self, share: float, after: float) -> "Run":
        """A part that has a share of the time, or of the steps, ``after`` other shares."""
        seconds, steps = self.limits.seconds, self.limits.steps
        spent = seconds * after if seconds else 0.0, round(steps * after) if steps else 0

        def observe(cut: ClothPanels, progress: Progress) -> None:
            since, step = progress.seconds + spent[0], progress.step + spent[1]
            self.observe(cut, replace(progress, seconds=since, step=step))

        limits = Limits(
            None if seconds is None else seconds * share,
            None if steps is None else max(1, round(steps * share)),
        )
        return replace(self, limits=limits, observe=observe)


@dataclass(frozen=True, slots=True)
class Search:
    """The effort of the search for the lays of one cloth."""

    cloth: str
    steps: int
    seconds: float
    interrupted: bool
