"""solve(): the whole method on one page.

1. Prepare poses and contacts (`stage`, `geometry.contact`).
2. Lay the pieces bottom-left (`construction`), or by `skyline` if they are
   rectangles: from here on there is always a valid layout.
3. Bound the length from below (`bounds`); the bound improves during the search.
4. Wait until the compiled loops are ready (`readiness`), with the clock held.
5. Until the time or the steps run out, or length and bound meet, let the
   engines take turns to shorten the lay: guided search with overlaps
   (`guided`), made exact by `compaction` and restarted when it stalls, or for
   rectangles the skyline with a local search (`skyline`); CP-SAT on windows of
   rectangles, on windows of outlines when the lay is close to the bound, and
   on whole orders, with proof (`cpsat`). The `strategy` chooses the engines
   for a problem, and `engines` decides which of them has the next turn.
   Worker processes do the same from other seeds and exchange what they find
   (`processes.crew`).
"""

from collections.abc import Callable

from nesting.layouts.layout import Layout
from nesting.layouts.problem import Problem
from nesting.packing.bounds import improving_bounds
from nesting.packing.processes.crew import Crew
from nesting.packing.readiness import prepare
from nesting.packing.running import (
    Limits,
    NoLayoutError,
    Progress,
    Solution,
    Watch,
    ignore_progress,
    uninterrupted,
)
from nesting.packing.stage import Arrangement, Stage
from nesting.packing.strategy import engines_for, strategy_for


def solve(
    problem: Problem,
    limits: Limits,
    *,
    seed: int = 0,
    workers: int = 1,
    start: Layout | None = None,
    observe: Callable[[Progress], None] = ignore_progress,
    interrupted: Callable[[], bool] = uninterrupted,
) -> Solution:
    """Lay all pieces of a problem on as short a strip as can be found.

    With one worker and ``limits`` in steps the result depends on the problem
    and the seed alone. The search begins from ``start``, a valid layout of the
    problem but for its length, or makes a first layout of its own.

    Raises
    ------
    ValueError
        When a piece is wider than the strip in every allowed turn, or pieces
        of a bundle cannot all point the same way.
    NoLayoutError
        When the strip has a length and no layout fits it, or none was found
        within the limits. Until one is found, progress reports lays that are
        longer than the strip.
    """
    watch = Watch(limits, observe, interrupted)
    stage = Stage(problem)
    strategy = strategy_for(stage)
    best = strategy.first_layout(stage) if start is None else stage.arrangement(start)
    first_seconds = watch.seconds
    with Crew(stage, seed, workers) as crew:
        bounds = improving_bounds(problem, stop=watch.over)
        bound = next(bounds)

        def goes_on() -> bool:
            possible = problem.length is None or bound <= problem.length
            return possible and bound < stage.used_length(best) and not watch.over()

        if goes_on():
            watch.report(stage.used_length(best), bound, waiting=True)
            with watch.held():
                prepare(strategy, watch.interrupted)
        watch.report(stage.used_length(best), bound)
        if goes_on():
            best = crew.exchange(best)
            engines = engines_for(stage, seed, watch.over)
            while goes_on():
                best, proved = engines.turn(best, bound, watch.seconds_left)
                best = crew.exchange(best)
                bound = max(bound, next(bounds, bound), min(proved, stage.used_length(best)))
                watch.step += 1
                watch.report(stage.used_length(best), bound)
    if problem.length is not None and not stage.is_short_enough(best):
        raise NoLayoutError(problem.length, stage.layout(best), bound)
    return Solution(
        layout=stage.layout(best),
        lower_bound=bound,
        proved_optimal=bound >= stage.used_length(best),
        steps=watch.step,
        seconds=watch.seconds,
        first_seconds=first_seconds,
        interrupted=interrupted(),
    )


def first_layout(stage: Stage) -> Arrangement:
    """The layout that every search begins with: by skyline for rectangles, else bottom-left."""
    return strategy_for(stage).first_layout(stage)
