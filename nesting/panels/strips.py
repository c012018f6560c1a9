"""Long strips in one piece or in several: boxing round plates, welt along a seam.

A strip meets the *sides* of a plate one after another. With ``pieces`` of it
the joins fall at corners where they can: so many corners as there are pieces
are chosen that the longest piece is as short as can be; beyond that, sides are
divided into equal parts. Each join costs two seam allowances of cloth. Pieces
of equal length are one panel.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, combinations, pairwise
from typing import Final

from nesting.panels.boxing import strip
from nesting.panels.draft import EdgeUse, Joining, Mark, Seam, marks_along, marks_over
from nesting.panels.finished import FinishedPanel
from nesting.panels.product import Measurement, MeasurementKind
from nesting.panels.sewing import Stitch
from nesting.units import to_grid

#: Corners of a plate beyond which the first ones alone are tried for joins.
_MOST_CORNERS: Final = 14

#: Where a strip round a disc is joined: single notches belong to the front, double ones behind.
_BEHIND: Final = "the double notch, in the middle of the back"


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
    """One side along which a strip runs: its name for people and its length."""

    name: str
    length_mm: float


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


def rim_of(place: str, panel: str, edges: Sequence[str], edge: str) -> Rim:
    """The rim of one panel, by its edges in the order of the sides."""
    return Rim(place, tuple((EdgeUse(panel, each),) for each in edges), edge)


@dataclass(frozen=True)
class Strip:
    """A long strip as panels, with all seams of it and how it is joined.

    ``ends`` names its first and its last piece.
    """

    panels: tuple[FinishedPanel, ...]
    seams: tuple[Seam, ...]
    joining: Joining
    ends: tuple[str, str] = ("", "")


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
        Of its panels: alone, ``-long`` and ``-short`` for two lengths,
        numbered by falling length for more.
    sides
        From the strip's start to its end. One side alone is a closed rim (a
        disc); its seam begins at a double mark.
    grain
        As `nesting.panels.boxing.strip` takes it.
    rims
        The plates that it is sewn to; empty for a strip that is sewn later.
    measurement
        The key by which the order asks for ``pieces``.
    closed
        Whether its end is sewn to its start.
    doubled
        Index of the side whose middle is the back: a double mark.
    """
    cutting = _cut(sides, pieces)
    lengths = [_length(piece, sides, cutting) for piece in cutting.pieces]
    names = _names(name, lengths)
    panels = tuple(
        strip(each, names.count(each), lengths[names.index(each)], depth_mm, grain)
        for each in sorted(dict.fromkeys(names))
    )
    seams = [
        seam
        for rim in rims
        for seam in _rim_seams(rim, name, sides, cutting, names, lengths, doubled, stitch)
    ]
    joins = _join_seams(names, name, closed=closed)
    told = tuple(_joins(sides, cutting, closed=closed))
    joining = Joining(measurement, name, pieces, len(sides), told)
    return Strip(panels, (*seams, *joins), joining, (names[0], names[-1]))


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


def _names(name: str, lengths: Sequence[float]) -> list[str]:
    """A name for every piece; equal ones share theirs."""
    known = sorted({to_grid(each) for each in lengths}, reverse=True)
    if len(known) == 1:
        return [name] * len(lengths)
    endings = ("long", "short") if len(known) == 2 else range(1, len(known) + 1)
    ending = dict(zip(known, endings, strict=True))
    return [f"{name}-{ending[to_grid(each)]}" for each in lengths]


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
        spans = tuple(sides[i].length_mm for i in covered)
        inside = doubled - covered[0] if doubled in covered and len(covered) > 1 else None
        marks = _marks(spans, [lengths[i] for i in indices], inside, whole=len(sides) == 1)
        if rim.edge == "lower":
            run.reverse()
            pieces.reverse()
            marks = tuple(
                Mark(1 - mark.fraction if mark.fraction else 0.0, mark.double) for mark in marks
            )
        seam = f"{name} to {rim.place}"
        if len(covered) < len(sides):
            seam += ", " + " and ".join(sides[i].name for i in covered)
        seams.append(Seam(seam, tuple(run), tuple(pieces), marks, stitch=stitch))
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
    spans: tuple[float, ...], pieces: Sequence[float], doubled: int | None, *, whole: bool
) -> tuple[Mark, ...]:
    """Marks of a seam: corners, quarters or middles, long stretches, and joins within it."""
    total = sum(spans)
    joins = [Mark(end / total) for end in accumulate(pieces[:-1])]
    if whole:
        marks = [Mark(0.0, double=True), *marks_along(total, parts=4)]
    else:
        marks = [*marks_over(spans, doubled)]
    near = [mark.fraction for mark in marks]
    return (*marks, *(j for j in joins if all(abs(j.fraction - at) > 1e-6 for at in near)))


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
    return f"corner {one.name}/{other.name}"
