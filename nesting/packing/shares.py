"""Whose turn it is among several ways, by what each of them gained for its work."""

from collections.abc import Sequence

import numpy as np

#: Least share of turns that each way gets.
LEAST = 0.15

#: What is remembered of earlier turns at each new one.
MEMORY = 0.95


class Shares:
    """Ways to do a thing; those that gained more for their work are chosen more often.

    ``credit`` is what each way is thought to gain for so much ``work``;
    without any success turns follow it.
    """

    def __init__(self, credit: Sequence[float], work: float, random: np.random.Generator) -> None:
        self.credit, self.work, self.random = np.array(credit), work, random
        self.gained, self.worked = np.zeros(len(credit)), np.zeros(len(credit))
        self.chosen = 0

    def choose(self) -> int:
        """Number of the way whose turn it is."""
        rate = (self.credit + self.gained) / (self.work + self.worked)
        share = LEAST + (1 - LEAST * len(rate)) * rate / rate.sum()
        self.chosen = int(self.random.choice(len(rate), p=share))
        return self.chosen

    def note(self, gain: float, work: float) -> None:
        """Remember what the way chosen last came to, and forget a little of earlier turns."""
        self.gained *= MEMORY
        self.worked *= MEMORY
        self.gained[self.chosen] += gain
        self.worked[self.chosen] += work
