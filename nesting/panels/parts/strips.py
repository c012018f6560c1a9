"""Long strips in one piece or in several: boxing round plates, welt along a seam.

A strip meets the *sides* of a plate one after another. With ``pieces`` of it
the joins fall at corners where they can: so many corners as there are pieces
are chosen that the longest piece is as short as can be; beyond that, sides are
divided into equal parts. Each join costs two seam allowances of cloth. Pieces
of equal length with corners and bends at the same places are one panel. Where a
plate has rounds for corners, one piece alone is joined in the middle of the back.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, combinations, pairwise
from typing import Final

from nesting.panels.drafting.draft import (
    EdgeUse,
    Joining,
    Mark,
    Seam,
    SeamRole,
    marks_along,
    marks_over,
)
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.parts.boxing import strip
from nesting.panels.parts.sewing import Stitch
from nesting.panels.product import Measurement, MeasurementKind
from nesting.units import to_grid

#: Corners of a plate beyond which the first ones alone are tried for joins.
_MOST_CORNERS: Final = 14

#: Where a strip round a disc is joined: single notches belong to the front, double ones behind.
_BEHIND: Final = "the double notch, in the middle of the back"

#: Millimetres below which two marks are one.
_SAME_MM: Final = 1e-3

#: Millimetres that a notch at a bend keeps from others: two of them nearer to each
#: other would be read as a double one (common practice).
_APART_MM: Final = 12.0


def strips_measurement(
    default: int | str,
    name: str = "strips",
    what: str = "boxing",
    joined: str = "where its sides meet if they can be",
) -> Measurement:
    """The measurement that asks how many pieces a long strip is cut in."""
    meaning = f'pieces of {what}, joined {joined}; "auto": what saves most cloth'
    return Measurement(
        name, MeasurementKind.COUNT_OR_AUTO, meaning, default=default, least=1, greatest=48
    )


@dataclass(frozen=True)
class Side:
    """One side along which a strip runs: its name for people and its length.

    ``bends_mm`` are the places within it where a straight line meets a round.
    """

    name: str
    length_mm: float
    bends_mm: tuple[float, ...] = ()


@dataclass(frozen=True)
class Rim:
    """One plate, and which of its edges each side of the strip's way is.

    ``uses`` are in the order of the sides, for each side the edges that make
    it (two where the plate is halved there). ``edge`` is the strip's: along
    ``upper`` it meets a plate that runs with the sides, along ``lower`` one
    that lies face down and runs against them.
    """

    place: str
    uses: tuple[tuple[EdgeUse, ...], ...]
    edge: str


def rim_of(place: str, panel: str, edges: Sequence[str], edge: str, part: str = "") -> Rim:
    """The rim of one panel, by its edges in the order of the sides.

    ``part`` names the one that it is where several are alike.
    """
    return Rim(place, tuple((EdgeUse(panel, each, part=part),) for each in edges), edge)


@dataclass(frozen=True)
class Strip:
    """A long strip as panels, with all seams of it and how it is joined.

    ``ends`` names its first and its last piece; ``joins_mm`` are the places of
    its joins, from the start of the first side.
    """

    panels: tuple[FinishedPanel, ...]
    seams: tuple[Seam, ...]
    joining: Joining
    ends: tuple[str, str] = ("", "")
    joins_mm: tuple[float, ...] = ()


@dataclass(frozen=True)
class _Cutting:
    """Pieces of a strip: the sides, or the parts of a side, that each one covers."""

    pieces: tuple[tuple[int, ...], ...]
    parts: tuple[int, ...]


def long_strip(
    name: str,
    sides: Sequence[Side],
    depth_mm: float,
    pieces: int,
    grain: object,
    rims: Sequence[Rim],
    *,
    measurement: str = "strips",
    closed: bool = True,
    doubled: int | None = None,
    stitch: Stitch = Stitch.LOCKSTITCH,
) -> Strip:
    """A strip of ``depth_mm`` along the sides, sewn to each rim, cut in so many pieces.

    Parameters
    ----------
    name
        Of its panels: alone, ``-long`` and ``-short`` for two of unlike length,
        numbered by falling length else.
    sides
        From the strip's start to its end. One side alone is a closed rim (a
        disc); its seam begins at a double mark.
    grain
        As `nesting.panels.parts.boxing.strip` takes it.
    rims
        The plates that it is sewn to; empty for a strip that is sewn later.
    measurement
        The key by which the order asks for ``pieces``.
    closed
        Whether its end is sewn to its start.
    doubled
        Index of the side whose middle is the back: a double mark, unless the
        piece there is like others. Round bends a closed strip in one piece is
        joined there.
    """
    cutting = _cut(sides, pieces)
    lengths = [_length(piece, sides, cutting) for piece in cutting.pieces]
    names = _names(name, [_likeness(placed, sides, cutting) for placed in _placed(cutting)])
    panels = tuple(
        strip(each, names.count(each), lengths[names.index(each)], depth_mm, grain)
        for each in sorted(dict.fromkeys(names))
    )
    behind = _behind(sides, doubled) if closed and pieces == 1 else None
    seams = [
        _begun_behind(seam, rim, behind, sum(lengths)) if behind else seam
        for rim in rims
        for seam in _rim_seams(rim, name, sides, cutting, names, lengths, doubled, stitch)
    ]
    joins = _join_seams(names, name, closed=closed)
    told = (_BEHIND,) if behind else tuple(_joins(sides, cutting, closed=closed))
    joining = Joining(measurement, name, pieces, len(sides), told)
    met = accumulate(lengths[:-1], initial=0.0)
    joins_mm = (behind,) if behind else tuple(met)[0 if closed else 1 :]
    return Strip(panels, (*seams, *joins), joining, (names[0], names[-1]), joins_mm)


def _behind(sides: Sequence[Side], doubled: int | None) -> float | None:
    """The middle of the back, from the start of the first side, of a plate without corners."""
    if doubled is None or not any(side.bends_mm for side in sides):
        return None
    lengths = [side.length_mm for side in sides]
    return sum(lengths[:doubled]) + lengths[doubled] / 2


def _begun_behind(seam: Seam, rim: Rim, behind: float, around: float) -> Seam:
    """A seam all round as it is when the strip begins behind; where it began a round ends."""
    from_mm = around - behind if rim.edge == "lower" else behind
    marks = tuple(
        Mark((mark.fraction - from_mm / around) % 1, mark.double)
        for mark in (Mark(0.0), *seam.marks)
    )
    return replace(seam, marks=marks, from_mm=from_mm)


def _cut(sides: Sequence[Side], pieces: int) -> _Cutting:
    """Which sides, or parts of sides, each piece covers."""
    count = len(sides)
    if pieces >= count:
        parts = _shared_out(sides, pieces)
        return _Cutting(tuple((i,) for i in range(count) for _ in range(parts[i])), parts)
    corners = range(1, max(min(count, _MOST_CORNERS), pieces))
    inner = combinations(corners, pieces - 1)
    best = min(inner, key=lambda cuts: _longest(sides, (0, *cuts, count)))
    ends = (0, *best, count)
    return _Cutting(tuple(tuple(range(a, b)) for a, b in pairwise(ends)), (1,) * count)


def _longest(sides: Sequence[Side], ends: tuple[int, ...]) -> float:
    return max(sum(side.length_mm for side in sides[a:b]) for a, b in pairwise(ends))


def _shared_out(sides: Sequence[Side], pieces: int) -> tuple[int, ...]:
    """Equal parts of each side, so that the longest part is as short as can be."""
    parts = [1] * len(sides)
    for _ in range(pieces - len(sides)):
        longest = max(range(len(sides)), key=lambda i: round(sides[i].length_mm / parts[i], 6))
        parts[longest] += 1
    return tuple(parts)


def _length(piece: tuple[int, ...], sides: Sequence[Side], cutting: _Cutting) -> float:
    return sum(sides[i].length_mm / cutting.parts[i] for i in piece)


def _placed(cutting: _Cutting) -> Iterator[tuple[tuple[int, ...], int]]:
    """Each piece with how many before it lie on the same side."""
    within = 0
    for before, piece in pairwise(((), *cutting.pieces)):
        within = within + 1 if before == piece else 0
        yield piece, within


def _likeness(
    placed: tuple[tuple[int, ...], int], sides: Sequence[Side], cutting: _Cutting
) -> tuple[int, ...]:
    """Length of a piece and where its corners and bends are: what makes it one with others."""
    piece, within = placed
    length = _length(piece, sides, cutting)
    starts = list(accumulate((sides[i].length_mm for i in piece), initial=-within * length))
    bends = [
        start + bend
        for i, start in zip(piece, starts, strict=False)
        for bend in sides[i].bends_mm
        if _SAME_MM < start + bend < length - _SAME_MM
    ]
    return (to_grid(length), *(to_grid(at) for at in (*starts[1:-1], *bends)))


def _names(name: str, likeness: Sequence[tuple[int, ...]]) -> list[str]:
    """A name for every piece; those that are alike share theirs."""
    known = sorted(dict.fromkeys(likeness), key=lambda each: -each[0])
    if len(known) == 1:
        return [name] * len(likeness)
    unlike = len(known) == 2 and known[0][0] > known[1][0]
    endings = ("long", "short") if unlike else range(1, len(known) + 1)
    ending = dict(zip(known, endings, strict=True))
    return [f"{name}-{ending[each]}" for each in likeness]


def _rim_seams(
    rim: Rim,
    name: str,
    sides: Sequence[Side],
    cutting: _Cutting,
    names: Sequence[str],
    lengths: Sequence[float],
    doubled: int | None,
    stitch: Stitch,
) -> list[Seam]:
    """The seams along one plate: a new one wherever a join falls on a corner."""
    seams = []
    for covered, indices in _groups(cutting):
        run = [use for i in covered for use in rim.uses[i]]
        pieces = [EdgeUse(names[i], rim.edge) for i in indices]
        along = [sides[i] for i in covered]
        alone = len(covered) > 1 and names.count(names[indices[0]]) == 1
        inside = doubled - covered[0] if alone and doubled in covered else None
        marks = _marks(along, [lengths[i] for i in indices], inside, whole=len(sides) == 1)
        if rim.edge == "lower":
            run.reverse()
            pieces.reverse()
            marks = tuple(
                Mark(1 - mark.fraction if mark.fraction else 0.0, mark.double) for mark in marks
            )
        seam = f"{name} to {rim.place}"
        if len(covered) < len(sides):
            seam += ", " + " and ".join(sides[i].name for i in covered)
        seams.append(
            Seam(
                seam,
                tuple(run),
                tuple(pieces),
                marks,
                stitch=stitch,
                role=SeamRole.RIM,
                rim=rim.place,
            )
        )
    return seams


def _groups(cutting: _Cutting) -> list[tuple[tuple[int, ...], list[int]]]:
    """Sides with the pieces along them, between joins that fall on corners."""
    groups: list[tuple[tuple[int, ...], list[int]]] = []
    for index, piece in enumerate(cutting.pieces):
        if groups and groups[-1][0] == piece:
            groups[-1][1].append(index)
        else:
            groups.append((piece, [index]))
    return groups


def _marks(
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
    told = [*accumulate(spans), *joins]
    bends = _bends(along, (0.0, *told))
    kept = [
        mark
        for mark in marks
        if mark.double or _near(mark.fraction * total, told) or _clear(mark.fraction * total, bends)
    ]
    near = [mark.fraction * total for mark in kept]
    further = [at for at in (*bends, *joins) if not _near(at, near)]
    return (*kept, *(Mark(at / total) for at in further))


def _bends(along: Sequence[Side], others: Sequence[float]) -> list[float]:
    """Bends from the start of a run, but none so near to another notch that both seem one.

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


def _join_seams(names: Sequence[str], name: str, *, closed: bool) -> list[Seam]:
    """The joins, equal ones as one seam that is sewn so many times."""
    pairs = [*pairwise(names), *([(names[-1], names[0])] if closed else [])]
    times: dict[tuple[str, str], int] = {}
    for pair in pairs:
        times[pair] = times.get(pair, 0) + 1
    return [
        Seam(
            f"{name} join" if one == other == name else f"{one} to {other}",
            (EdgeUse(one, "end"),),
            (EdgeUse(other, "start"),),
            times=count,
            role=SeamRole.JOIN,
        )
        for (one, other), count in times.items()
    ]


def _joins(sides: Sequence[Side], cutting: _Cutting, *, closed: bool) -> list[str]:
    """Where the joins fall, in words, from the strip's start."""
    told = []
    if closed:
        told.append(_corner(sides[-1], sides[0]) if len(sides) > 1 else _BEHIND)
    within = 0
    for before, after in pairwise(cutting.pieces):
        if before == after:
            within += 1
            parts = cutting.parts[after[0]]
            told.append(f"{within}/{parts} of {sides[after[0]].name}")
        else:
            within = 0
            told.append(_corner(sides[before[-1]], sides[after[0]]))
    return told


def _corner(one: Side, other: Side) -> str:
    return f"the corner between {one.name} and {other.name}"
