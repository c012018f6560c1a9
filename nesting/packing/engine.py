"""The interface of an engine, which tries to shorten a lay and says which turns it wants."""

from typing import NamedTuple, Protocol

from nesting.packing.stage import Arrangement


class Attempt(NamedTuple):
    """The result of an attempt.

    ``arrangement`` keeps every rule and may be shorter than the best one
    (None: nothing found); ``bound`` is a proven lower bound on the used length
    of any arrangement (0: nothing proved).
    """

    arrangement: Arrangement | None
    bound: int = 0


class Share(NamedTuple):
    """The least and greatest share of turns that an engine wants; its success decides between."""

    least: float
    most: float


#: The share of an engine that does not want a turn, and of one that wants it in any case.
NO_TURN, THIS_TURN = Share(0.0, 0.0), Share(1.0, 1.0)


class Engine(Protocol):
    """Something that tries to shorten a lay."""

    def share(self, turn: int, used_length: int, bound: int) -> Share:
        """The share that the engine wants of turns like this one.

        Turns count from 1; ``used_length`` is that of the best lay, ``bound``
        a lower bound on it.
        """

    def attempt(self, best: Arrangement, bound: int, seconds: float) -> Attempt:
        """Try to find something shorter than ``best``, or to prove that there is nothing.

        ``seconds`` is the time left for the search.
        """
