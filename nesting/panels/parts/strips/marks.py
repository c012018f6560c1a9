"""Where the seam between a strip and a rim is marked.

Corners and joins always, bends where a notch there can be distinguished from others;
quarters or middles, and again where a stretch is long.
"""

import math
from collections.abc import Sequence
from itertools import accumulate
from typing import Final

from nesting.panels.drafting.draft import Mark, marks_along, marks_over
from nesting.panels.parts.strips.strip import Side

#: Millimetres below which two marks are one.
_SAME_MM: Final = 1e-3

#: Millimetres that a notch at a bend keeps from others: two of them nearer to each
#: other would be read as a double one (common practice).
_APART_MM: Final = 12.0


def rim_marks(
    along: Sequence[Side], pieces: Sequence[float], doubled: int | None, *, whole: bool
) -> tuple[Mark, ...]:
    """Marks of a seam: corners, bends, quarters or middles, long stretches, joins within it.

    Pieces of one side are marked alike.
    """
    spans = tuple(side.length_mm for side in along)
    total = sum(spans)
    joins = list(accumulate(pieces[:-1]))
    if whole:
        parts = len(pieces) * math.ceil(4 / len(pieces))
        marks = [Mark(0.0, double=True), *marks_along(total, parts)]
    elif len(spans) == 1:
        marks = [*marks_along(total, parts=2 * len(pieces))]
    else:
        marks = [*marks_over(spans, doubled)]
    fixed = [*accumulate(spans), *joins]
    bends = _bends(along, (0.0, *fixed))
    kept = [
        mark
        for mark, at in ((mark, mark.fraction * total) for mark in marks)
        if mark.double or _near(at, fixed) or _clear(at, bends)
    ]
    near = [mark.fraction * total for mark in kept]
    further = [at for at in (*bends, *joins) if not _near(at, near)]
    return (*kept, *(Mark(at / total) for at in further))


def _bends(along: Sequence[Side], others: Sequence[float]) -> list[float]:
    """Bends, as distances from the start of a run, without those too near another notch.

    Two that are too near to each other are both left out, so that the marks of
    a symmetrical plate are symmetrical.
    """
    starts = accumulate((side.length_mm for side in along[:-1]), initial=0.0)
    every = [
        start + bend for side, start in zip(along, starts, strict=True) for bend in side.bends_mm
    ]
    return [
        bend for i, bend in enumerate(every) if _clear(bend, (*others, *every[:i], *every[i + 1 :]))
    ]


def _near(at: float, others: Sequence[float]) -> bool:
    return any(abs(at - other) < _SAME_MM for other in others)


def _clear(at: float, others: Sequence[float]) -> bool:
    return all(abs(at - other) > _APART_MM - _SAME_MM for other in others)
