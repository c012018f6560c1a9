"""What every engine is: something that tries to shorten a lay, and says when it wants to."""

from typing import NamedTuple, Protocol

from nesting.packing.stage import Arrangement


class Attempt(NamedTuple):
    """What an attempt came to.

    ``arrangement`` keeps every rule and may be shorter than the best one
    (None: nothing found); ``bound`` is a proven lower bound on the used length
    of any (0: nothing proved).
    """

    arrangement: Arrangement | None
    bound: int = 0


class Share(NamedTuple):
    """The least and the most share of turns that an engine wants; between them success decides."""

    least: float
    most: float


#: The share of an engine that does not want the turn, and of one that wants it whatever happens.
NO_TURN, THIS_TURN = Share(0.0, 0.0), Share(1.0, 1.0)


class Engine(Protocol):
    """Something that tries to shorten a lay."""

    def share(self, turn: int, used_length: int, bound: int) -> Share:
        """The share it wants of turns like this one.

        Turns count from 1; ``used_length`` is that of the best lay, ``bound``
        a lower bound on it.
        """

    def attempt(self, best: Arrangement, bound: int, seconds: float) -> Attempt:
        """Try to find something shorter than ``best``, or to prove that there is nothing.

        ``seconds`` are what is left of the search.
        """
