"""Other processes that search the same problem from other seeds.

Each begins when it is told a first layout; until then it loads, which takes
longer than that layout does. Whoever finds a shorter one tells this process,
and this process tells the others. Members are started afresh (``spawn``): a
process that has run a multi-threaded solver cannot be forked safely. They do
not react to Ctrl-C and end with this process.
"""

import math
import multiprocessing
import signal
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from types import TracebackType

from nesting.layouts.problem import Problem
from nesting.packing.bounds import improving_bounds
from nesting.packing.processes.interrupts import held_back_interrupts
from nesting.packing.stage import Arrangement, Stage
from nesting.packing.strategy import engines_for


@dataclass
class _Member:
    """One process, the line to it, and the length of the best layout it knows."""

    process: BaseProcess
    line: Connection
    length: float = math.inf

    def heard(self) -> Arrangement | None:
        """The latest layout it found, if it told any since it was last asked."""
        latest = None
        try:
            while self.line.poll():
                latest = self.line.recv()
        except (EOFError, OSError):  # it has died: the search goes on without it
            return None
        return latest

    def tell(self, best: Arrangement) -> None:
        """Send it a layout."""
        try:
            self.line.send(best)
        except OSError:
            self.length = 0.0


class Crew:
    """``workers`` - 1 processes that search along; none for one worker."""

    def __init__(self, stage: Stage, seed: int, workers: int) -> None:
        self.stage = stage
        spawn = multiprocessing.get_context("spawn")
        ended, self.end = spawn.Pipe(duplex=False)  # closing it calls the end
        self.members: list[_Member] = []
        for number in range(1, workers):
            here, there = spawn.Pipe()
            arguments = (stage.problem, seed + 1000 * number, there, ended)
            process = spawn.Process(target=_search, args=arguments, daemon=True)
            with held_back_interrupts():
                process.start()
            there.close()
            self.members.append(_Member(process, here))

    def __enter__(self) -> "Crew":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        self.end.close()  # nobody waits: an interpreter takes its time to end

    def exchange(self, best: Arrangement) -> Arrangement:
        """Hear what the others found, tell them what is best; returns the best."""
        length = self.stage.used_length
        for member in self.members:
            found = member.heard()
            if found is not None:
                member.length = length(found)
                best = min(best, found, key=length)
        for member in self.members:
            if length(best) < member.length:
                member.length = length(best)
                member.tell(best)
        return best


def _search(problem: Problem, seed: int, line: Connection, ended: Connection) -> None:
    """Life of a member: search in turns until the end is called or its parent is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    stage = Stage(problem)
    bound = next(improving_bounds(problem))
    if ended in wait((line, ended)):
        return
    try:
        best: Arrangement = line.recv()
        engines = engines_for(stage, seed, ended.poll)
        while stage.used_length(best) > bound and not ended.poll():
            before = stage.used_length(best)
            best, _ = engines.turn(best, bound, math.inf)
            if stage.used_length(best) < before:
                line.send(best)
            while line.poll():
                best = min(best, line.recv(), key=stage.used_length)
    except (EOFError, OSError):
        return
