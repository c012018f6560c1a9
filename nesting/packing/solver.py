"""solve(): the whole method on one page.

1. Prepare poses and contacts (`stage`, `geometry.contact`).
2. Lay the pieces bottom-left (`construction`), rectangles by `skyline`: from
   here on a valid layout is always at hand.
3. Bound the length from below (`bounds`), ever better while the search goes on.
4. Wait until the compiled loops are ready (`readiness`), with the clock held.
5. Until the time or the steps are over, or length and bound meet, let the
   engines try to shorten the lay in turns: guided search with overlaps
   (`search`, `kernels`, `tables`), made exact by `compaction` and begun
   afresh where it is stalled (`restarts`), or for rectangles the skyline with
   a local search (`skyline`); CP-SAT on windows of rectangles, and of outlines
   where the lay is close to the bound (`windows`); CP-SAT on the whole order,
   with proof (`exact`).
   Worker processes do the same from other seeds and exchange what they find
   (`crew`).
"""

from collections.abc import Callable

from nesting.layouts.problem import Problem
from nesting.packing.bounds import improving_bounds
from nesting.packing.construction import BottomLeft
from nesting.packing.engines import Engines
from nesting.packing.processes.crew import Crew
from nesting.packing.readiness import prepare
from nesting.packing.running import (
    Limits,
    Progress,
    Solution,
    Watch,
    ignore_progress,
    uninterrupted,
)
from nesting.packing.skyline.search import Skyline
from nesting.packing.stage import Arrangement, Stage


def solve(
    problem: Problem,
    limits: Limits,
    *,
    seed: int = 0,
    workers: int = 1,
    observe: Callable[[Progress], None] = ignore_progress,
    interrupted: Callable[[], bool] = uninterrupted,
) -> Solution:
    """Lay all pieces of a problem on as short a strip as can be found.

    With one worker and ``limits`` in steps the result depends on the problem
    and the seed alone.

    Raises
    ------
    ValueError
        When a piece is wider than the strip in every allowed turn.
    """
    watch = Watch(limits, observe, interrupted)
    stage = Stage(problem)
    best, first_seconds = first_layout(stage), watch.seconds
    with Crew(stage, seed, workers) as crew:
        bounds = improving_bounds(problem, stop=watch.over)
        bound = next(bounds)

        def goes_on() -> bool:
            return bound < stage.used_length(best) and not watch.over()

        if goes_on():
            watch.report(stage.used_length(best), bound, waiting=True)
            with watch.held():
                prepare(stage, watch.interrupted)
        watch.report(stage.used_length(best), bound)
        if goes_on():
            best = crew.exchange(best)
            engines = Engines(stage, seed, watch.over)
            while goes_on():
                best, proved = engines.turn(best, bound, watch.seconds_left)
                best = crew.exchange(best)
                bound = max(bound, next(bounds, bound), min(proved, stage.used_length(best)))
                watch.step += 1
                watch.report(stage.used_length(best), bound)
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
    """Rectangles by skyline, others bottom-left by falling area."""
    if stage.is_rectangular:
        return Skyline(stage).first()
    pieces = range(len(stage.choices))
    by_area = sorted(pieces, key=lambda i: -int(stage.area2[stage.choices[i][0]]))
    return BottomLeft(stage).fill(by_area)
