"""Guided search: shorten the strip, let pieces overlap, separate them again.

The best layout is closed up by a small step at one line, which makes pieces
overlap. Passes of guided local search then move one overlapping piece at a time
to its cheapest position within reach, and raise the price of pairs that stay
stuck (guided local search: Voudouris and Tsang 1999; for strip packing:
Egeblad, Nielsen and Odgaard 2007; from memory). A lay with little overlap left
goes to compaction, which makes it exact. `prices` decides what a depth costs.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from nesting.packing.compaction import compact
from nesting.packing.engine import Attempt
from nesting.packing.guided import kernels
from nesting.packing.guided.prices import Prices
from nesting.packing.guided.tables import Tables
from nesting.packing.stage import Arrangement, Integers, Stage

#: An attempt is given up after this many passes without a gain of 2 per cent.
PATIENCE = 120

#: Compaction is tried when the total depth per piece, in cells, is no more than this.
NEARLY_FREE = 0.2

#: It is tried again when the depth is no more than this share of that at the last compaction.
AGAIN = 0.7

#: How far compaction may move a piece in one round, in cells; pairs that overlap more deeply
#: are rarely separated by it.
TRUST = 3

#: First (and greatest) step by which the strip is shortened, and the least, as shares.
STEP, LEAST_STEP = 0.03, 0.0008

#: Failed attempts before the step becomes smaller, by what factor, and the factor by which it
#: becomes larger after a success.
TRIES, SMALLER, LARGER = 4, 0.7, 1.5

#: Each attempt draws one of these shares of the step: few attempts can gain a whole step.
SHARES = (1.0, 0.5, 0.25)

#: With bodies: share of the new starts in which only the end of the strip is cut off.
ONLY_THE_END = 0.5

#: Share of the attempts that aim at once at the length of a strip that is too short so far.
AT_ONCE = 0.3

#: Number of failed attempts that are kept as new starts.
MEMORY = 8

#: After this many failed attempts, an attempt that comes back to the lay it began from is
#: given up: earlier attempts may still lead elsewhere from there, later ones rarely do.
PERSISTENT = 20

#: A lay counts as the one it began from if it is longer by no more than this share.
SAME = 2e-5


@dataclass(frozen=True)
class _Trial:
    """A start or an outcome on the grid: total depth, and pose and place of every piece."""

    depth: float
    pose: Integers
    x: Integers
    y: Integers


class GuidedSearch:
    """Guided search; keeps its step, memory and random state from attempt to attempt.

    ``over`` is asked between passes and may end an attempt early.
    """

    def __init__(self, stage: Stage, seed: int, over: Callable[[], bool]) -> None:
        self.stage, self.over = stage, over
        self.tables = Tables(stage)
        self.unit = self.tables.pitch / kernels.Q
        self.random = np.random.default_rng(seed)
        self.prices = Prices(self.tables, self.random)
        self.state = np.array([self.random.integers(1, 2**62)], dtype=np.uint64)
        self.begin()
        n, most = len(stage.choices), max(map(len, stage.choices))
        self.choices = np.full((n, most), -1, dtype=np.int64)
        for i, poses in enumerate(stage.choices):
            self.choices[i, : len(poses)] = poses
        self.points = np.array([[way in pose.ways() for way in (0, 1)] for pose in stage.poses])
        self.tied = [bundle for bundle in stage.bundles if self._is_tied(bundle)]
        self.longest = max(self._longest_at_least(i) for i in range(n))
        self.area = stage.area2[self.choices[:, 0]].astype(np.float64)
        size = np.sqrt(self.area / self.area.max())
        size = np.concatenate([size, np.ones(len(stage.still.pose))])  # bodies give way to none
        self.floor = np.minimum(size[:, None], size[None, :])

    def begin(self) -> None:
        """Forget earlier attempts, since the search goes on from another lay."""
        self.step = STEP
        self.failures = 0
        self.memory: list[_Trial] = []

    def attempt(self, best: Arrangement, _bound: int, _seconds: float) -> Attempt:
        """Try once to find a shorter arrangement than ``best``; nothing is proved."""
        length = self.stage.used_length(best)
        # Closing up at one line only disturbs its surroundings, however long the strip is.
        step = max(LEAST_STEP, self.step * self.random.choice(SHARES))
        target = max(length - int(step * min(length, 2 * self.stage.width)), self.longest)
        target = self._aimed(target)
        outcome, shorter, passes = self._separate(self._start(best, length, target), target, length)
        gain = 0 if shorter is None else length - self.stage.used_length(shorter)
        self.prices.note(gain, passes)
        if shorter is None:
            self._note_failure(outcome)
        else:
            self.step = min(STEP, self.step * LARGER)
            self.failures, self.memory = 0, []
        return Attempt(shorter)

    def _aimed(self, target: int) -> int:
        """The target, or sometimes the length of the strip if that is still to be reached."""
        end = self.stage.problem.length
        if end is None or target <= end or self.random.random() >= AT_ONCE:
            return target
        return max(end, self.longest)

    def _note_failure(self, outcome: _Trial) -> None:
        self.failures += 1
        self.memory = sorted([*self.memory, outcome], key=lambda t: t.depth)[:MEMORY]
        if self.failures % TRIES == 0:
            self.step = max(LEAST_STEP, self.step * SMALLER)

    def _start(self, best: Arrangement, length: int, target: int) -> _Trial:
        if self.memory and self.failures % TRIES:
            return self._disturbed(self.memory[self.random.integers(len(self.memory))])
        return self._closed_up(best, length - target)

    def separated(self, crowded: Arrangement, length: int) -> Arrangement | None:
        """An arrangement with overlaps made valid on a strip of about ``length``, if possible."""
        _, exact, _ = self._separate(self._on_grid(crowded), length, 2 * length)
        return exact

    def _closed_up(self, best: Arrangement, step: int) -> _Trial:
        """The best arrangement, cut at a random line and pushed together there.

        Bodies stay where they are. Pieces pushed into them may have nowhere to
        go, so sometimes only the pieces at the end have to find another place.
        """
        middle = best.x + self.stage.length[best.pose] // 2
        cut = self.random.uniform(0, middle.max())
        if self.stage.bodies and self.random.random() < ONLY_THE_END:
            cut = np.inf
        return self._on_grid(
            Arrangement(best.pose, np.where(middle > cut, best.x - step, best.x), best.y)
        )

    def _on_grid(self, lay: Arrangement) -> _Trial:
        """An arrangement, with or without overlaps, as a start on the grid."""
        x, y = (np.rint(at / self.unit).astype(np.int64) for at in (lay.x, lay.y))
        return _Trial(np.inf, lay.pose.copy(), x, y)

    def _disturbed(self, trial: _Trial) -> _Trial:
        """A failed attempt with two pieces of different shapes exchanged."""
        pose, x, y = trial.pose.copy(), trial.x.copy(), trial.y.copy()
        i = int(self.random.integers(len(pose)))
        shapes = np.array([self.stage.poses[p].shape for p in pose])
        ratio = self.area / self.area[i]
        others = np.flatnonzero((shapes != shapes[i]) & (ratio > 0.25) & (ratio < 4))
        if len(others):
            j = int(self.random.choice(others))
            x[i], x[j], y[i], y[j] = x[j], x[i], y[j], y[i]
        if self.tied and self.random.random() < 0.5:
            self._turn_end_for_end(pose, self.tied[self.random.integers(len(self.tied))])
        return _Trial(np.inf, pose, x, y)

    def _is_tied(self, bundle: int) -> bool:
        """Whether some pose of the pieces of a bundle points one way only."""
        choices = [self.stage.choices[i] for i in self.stage.bundles[bundle]]
        return any(not self.points[pose].all() for choice in choices for pose in choice)

    def _longest_at_least(self, i: int) -> int:
        """Length of strip that is enough for a piece, whichever way its bundle points."""
        choice, bundle = list(self.stage.choices[i]), self.stage.problem.pieces[i].bundle
        lengths, points = self.stage.length[choice], self.points[choice]
        if bundle is None:
            return int(lengths.min())
        return max(int(lengths[points[:, way]].min()) for way in self.stage.ways[bundle])

    def _way_of(self, bundle: int, pose: Integers) -> int:
        """The way that a bundle points; the first possible way if its poses allow both."""
        members, ways = self.stage.bundles[bundle], self.stage.ways[bundle]
        return next((w for w in sorted(ways) if self.points[pose[members], w].all()), min(ways))

    def _turn_end_for_end(self, pose: Integers, bundle: int) -> None:
        """Turn all pieces of a bundle to point the other way, if they can."""
        way = 1 - self._way_of(bundle, pose)
        if way in self.stage.ways[bundle]:
            for i in self.stage.bundles[bundle]:
                if not self.points[pose[i], way]:
                    pose[i] = next(p for p in self.stage.choices[i] if self.points[p, way])

    def _choices_within(self, pose: Integers, most: Integers) -> Integers:
        """Poses that each piece may take now: those that fit and point as its bundle does.

        A ``pose`` that is not among them is changed to one that is.
        """
        choices = np.where(most[self.choices, 0] >= 0, self.choices, -1)
        for bundle in self.tied:
            members, way = self.stage.bundles[bundle], self._way_of(bundle, pose)
            choices[members] = np.where(self.points[choices[members], way], choices[members], -1)
        for i in np.flatnonzero((choices != pose[:, None]).all(axis=1)):
            pose[i] = choices[i].max()
        return choices

    def _separate(
        self, start: _Trial, target: int, length: int
    ) -> tuple[_Trial, Arrangement | None, int]:
        """Run passes of guided local search on a strip of the target length.

        Returns the best outcome on the grid, an arrangement shorter than
        ``length`` (None if not found), and the number of passes.
        """
        n = len(start.pose)
        most = self.tables.positions(target)
        choices = self._choices_within(start.pose, most)
        x = np.clip(start.x, 0, most[start.pose, 0])
        y = np.clip(start.y, 0, most[start.pose, 1])
        crowd = self._crowd(start.pose, x, y)
        room = self._room(most, len(crowd.pose))
        order, depth, depths = np.arange(n), np.zeros_like(crowd.weight), self.prices.choose()
        total = kernels.overlaps(depth, crowd, depths)
        best = _snapshot(total, crowd, n)
        tried, stale, passes = NEARLY_FREE * n, 0, 1
        while stale < PATIENCE and not self.over():
            if total <= tried and depth.max() <= TRUST:
                tried = total * AGAIN
                exact = self._made_exact(_snapshot(total, crowd, n))
                after = np.inf if exact is None else self.stage.used_length(exact)
                if after < length:
                    return best, exact, passes
                back = after <= (1 + SAME) * length and self.failures > PERSISTENT
                if back or total == 0:
                    return best, None, passes
            kernels.reweigh(crowd.weight, self.floor, depth)
            total = kernels.sweep(order, choices, most, depth, crowd, depths, room)
            stale = 0 if total < 0.98 * best.depth else stale + 1
            passes += 1
            if total < best.depth:
                best = _snapshot(total, crowd, n)
        return best, None, passes

    def _crowd(self, pose: Integers, x: Integers, y: Integers) -> kernels.Crowd:
        """The pieces, then the bodies, with all weights at their least."""
        still = self._on_grid(self.stage.still)
        return kernels.Crowd(
            np.concatenate([pose, still.pose]),
            np.concatenate([x, still.x]),
            np.concatenate([y, still.y]),
            self.floor.copy(),
        )

    def _room(self, most: Integers, lying: int) -> kernels.Room:
        """Working arrays for the kernels."""
        coarse = most.max(axis=0) // (kernels.S * kernels.Q) + 2
        return kernels.Room(
            map=np.zeros(coarse.prod(), dtype=np.float32),
            near=np.zeros((lying, 6), dtype=np.int64),
            found=np.zeros(kernels.KEEP),
            at=np.zeros((kernels.KEEP, 3), dtype=np.int64),
            patch=np.zeros((2 * kernels.AROUND + 1) ** 2),
            random=self.state,
        )

    def _made_exact(self, trial: _Trial) -> Arrangement | None:
        """A trial with little overlap made valid and compact, if possible."""
        x, y = (np.rint(at * self.unit).astype(np.int64) for at in (trial.x, trial.y))
        near_free, trust = Arrangement(trial.pose, x, y), TRUST * self.tables.pitch
        return compact(self.stage, near_free, trust, self.over)


def _snapshot(depth: float, crowd: kernels.Crowd, pieces: int) -> _Trial:
    return _Trial(depth, *(each[:pieces].copy() for each in crowd[:3]))
