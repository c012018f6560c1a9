"""Panels as stacks: lines that take into account how panels lie on each other.

A line across the strip cuts convex panels one above the other. Suppose it cuts
panel i at distance u from the start of i, and panel j, above it, at distance v
from the start of j. Then j lies u - v further along the strip than i, and that
alone determines how much higher it must lie: by the boundary of the
half-planes of the two (``geometry.contact``), which avoids collisions
*anywhere*, not only on the line. The lowest and the highest panel must lie
within the strip with their whole height.

So a pattern is a path from the lower edge over parts of panels to the upper
edge, in which each step is the least that any u and v within the two parts
allow. (Over these offsets the boundary of the half-planes is a concave
function, so its least value is at an end.) Panels that are not neighbours on
the line are at least the distance of a step apart too, so a part may be left
out of all patterns by giving it no worth. A bound that holds for the largest
convex part of a panel also holds for the panel.

Applied along the roll instead of across it, the same lines show how wide a
strip of a given length must be; this is strong when the lay is only a few
panels long.
"""

from collections.abc import Sequence

import numpy as np

from nesting.geometry.contact import Parts, contact
from nesting.geometry.decomposition import Ring
from nesting.geometry.outline import twice_area
from nesting.packing.bounds.figures import Figure
from nesting.packing.bounds.lines import Demand, Floats, Integers, Scale
from nesting.packing.bounds.paths import Paths

#: Number of parts of all figures together, and the least of one curved figure.
_PARTS, _FEWEST = 64, 8

#: Number of levels of a line.
_LEVELS = 200


class StackedPanels:
    """All panels as parts of bodies, for lines of about a given width."""

    def __init__(self, figures: Sequence[Figure], copies: Integers, width: int) -> None:
        self._width = width
        cuts = [_cuts(figure, len(figures)) for figure in figures]
        self._of = np.repeat(np.arange(len(figures)), [len(c) - 1 for c in cuts])
        self._left = np.concatenate([c[:-1] for c in cuts])
        self._right = np.concatenate([c[1:] for c in cuts])
        self.extent = np.array([figure.height for figure in figures])
        self._height = self.extent[self._of]
        edges = [_edges(f, c) for f, c in zip(figures, cuts, strict=True)]
        self._chord = np.concatenate([upper - lower for lower, upper in edges])
        base = np.concatenate([lower for lower, _ in edges])
        self._base = np.clip(base, 0, self._height).astype(np.int64)
        self._step = self._steps(figures)
        thickness = np.where(
            self._of == np.arange(len(figures))[:, None], self._right - self._left, 0
        )
        kind = np.array([figure.kind for figure in figures])
        self.demand = Demand(thickness, kind, copies)

    def _steps(self, figures: Sequence[Figure]) -> Integers:
        """Least rise from the base of each part (row) to that of each part above it."""
        rise = np.zeros((len(self._of), len(self._of)), dtype=np.int64)
        for i, below in enumerate(figures):
            for j, above in enumerate(figures):
                rows, columns = np.ix_(self._of == i, self._of == j)
                least = self._left[rows] - self._right[columns]
                most = self._right[rows] - self._left[columns]
                rise[rows, columns] = _least_rise(below, above, least, most)
        return np.asarray(rise - self._base[:, None] + self._base)

    def first_worth(self) -> Floats:
        """The worths that give the area bound."""
        return np.asarray(np.minimum(self._chord / self._width, 1))

    def unit(self) -> int:
        """The length of one level on lines of about the width."""
        return -(-self._width // _LEVELS)

    def scale(self) -> Scale:
        """The best levels for lines of exactly the width, as for slices."""
        return Scale(_LEVELS, self._width + 1, _LEVELS - 1)

    def strip(self, scale: Scale) -> Paths:
        """The patterns on a line."""
        lead, step, trail = self._base, self._step, self._height - self._base
        return Paths(scale(lead), scale(step), scale(trail), scale.whole)


def are_worth_stacking(figures: Sequence[Figure]) -> bool:
    """Tell whether stacks can prove more than slices with reasonable effort."""
    curved = [figure for figure in figures if not figure.is_box]
    whole = sum(twice_area(figure.ring) for figure in figures)
    convex = sum(twice_area(figure.ring) for figure in figures if figure.convex)
    return 0 < len(curved) * _FEWEST <= _PARTS and convex > 0.9 * whole


def _least_rise(below: Figure, above: Figure, least: Integers, most: Integers) -> Integers:
    """Least rise of one body above another, over offsets along the strip from least to most."""
    sides = contact(Parts([below.body]), Parts([above.body]))
    upward = sides.normals[:, 1] > 0
    along, up = sides.normals[upward].T[:, :, None, None]
    offset = sides.offsets[upward][:, None, None]
    at_ends = [((offset - along * at) // up).min(axis=0) for at in (least, most)]
    return np.asarray(np.minimum(*at_ends))


def _cuts(figure: Figure, figures: int) -> Integers:
    """Where a body is cut into parts: a rectangle is one part, with its grown rims separate."""
    xs = [x for x, _ in figure.body]
    first, last = min(xs), max(xs)
    if figure.is_box:
        return np.unique([first, first + figure.growth, last - figure.growth, last])
    parts = max(_FEWEST, _PARTS // figures)
    return np.unique(np.linspace(first, last, parts + 1).astype(np.int64))


def _edges(figure: Figure, cuts: Integers) -> tuple[Floats, Floats]:
    """Approximate heights of the lower and the upper edge of a body, at the middle of each part."""
    ring = figure.body
    first, last = min(ring), max(ring)
    i, j = ring.index(first), ring.index(last)
    around = (*ring, *ring)
    lower = around[i : j + 1] if i < j else around[i : j + len(ring) + 1]
    upper = around[j : i + 1] if j < i else around[j : i + len(ring) + 1]
    middles = (cuts[:-1] + cuts[1:]) / 2
    return _level(lower, middles), _level(upper, middles)


def _level(edge: Ring, at: Floats) -> Floats:
    """Height of an edge at positions along it."""
    xs, ys = np.array(sorted(edge), dtype=float).T
    return np.asarray(np.interp(at, xs, ys))
