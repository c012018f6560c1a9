"""Other processes that search the same problem from other seeds.

Each begins when it receives a first layout; loading its modules takes longer
than finding that layout. A process that finds a shorter layout sends it to this
one, which passes it on to the others. The processes are started afresh
(``spawn``), since a process that has run a multi-threaded solver cannot be
forked safely. They ignore Ctrl-C and end with this process.
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
    """One process, the connection to it, and the length of the best layout it knows."""

    process: BaseProcess
    line: Connection
    length: float = math.inf

    def receive(self) -> Arrangement | None:
        """The latest layout it has sent since the last call, if any."""
        latest = None
        try:
            while self.line.poll():
                latest = self.line.recv()
        except (EOFError, OSError):  # the process has died: the search goes on without it
            return None
        return latest

    def send(self, best: Arrangement) -> None:
        """Send it a layout."""
        try:
            self.line.send(best)
        except OSError:
            self.length = 0.0


class Crew:
    """``workers`` - 1 processes that search at the same time; none for one worker."""

    def __init__(self, stage: Stage, seed: int, workers: int) -> None:
        self.stage = stage
        spawn = multiprocessing.get_context("spawn")
        ended, self.end = spawn.Pipe(duplex=False)  # closing self.end tells members to end
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
        self.end.close()  # without waiting: an interpreter takes a while to exit

    def exchange(self, best: Arrangement) -> Arrangement:
        """Receive what the others have found, send them the best layout, and return it."""
        length = self.stage.used_length
        for member in self.members:
            found = member.receive()
            if found is not None:
                member.length = length(found)
                best = min(best, found, key=length)
        for member in self.members:
            if length(best) < member.length:
                member.length = length(best)
                member.send(best)
        return best


def _search(problem: Problem, seed: int, line: Connection, ended: Connection) -> None:
    """Main function of a member: search until it is told to end or its parent is gone."""
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
