"""Long strips in one piece or in several: boxing round plates, welt along a seam.

A strip meets the *sides* of a plate one after another. Its joins fall at corners
where they can; each costs two seam allowances of cloth. Where a plate has rounds
for corners, one piece alone is joined in the middle of the back.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate, pairwise
from typing import Final

from nesting.panels.drafting.draft import EdgeUse, Joining, Mark, Seam, SeamRole
from nesting.panels.parts.strips.marks import rim_marks
from nesting.panels.parts.strips.pieces import Pieces, corner, cut_in_pieces
from nesting.panels.parts.strips.strip import Rim, Side, Strip, strip_panel

#: Where a strip round a disc is joined: single notches belong to the front, double ones behind.
_BEHIND: Final = "the double notch, in the middle of the back"


def long_strip(  # noqa: PLR0913 - a strip is that many things
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
) -> Strip:
    """A strip of ``depth_mm`` along the sides, sewn to each rim and cut in ``pieces``.

    Parameters
    ----------
    name
        Of its panels: alone, ``-long`` and ``-short`` for two of unlike length,
        numbered by falling length else.
    sides
        From the strip's start to its end. One side alone is a closed rim (a
        disc); its seam begins at a double mark.
    grain
        As `nesting.panels.parts.strips.strip.strip_panel` takes it.
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
    cut = cut_in_pieces(sides, pieces)
    lengths, names = cut.lengths_mm, cut.names(name)
    panels = tuple(
        strip_panel(each, names.count(each), lengths[names.index(each)], depth_mm, grain)
        for each in sorted(dict.fromkeys(names))
    )
    behind = _behind(sides, doubled) if closed and pieces == 1 else None
    seams = [
        _begun_behind(seam, rim, behind, sum(lengths)) if behind else seam
        for rim in rims
        for seam in _rim_seams(rim, name, cut, doubled)
    ]
    joins = _join_seams(names, name, closed=closed)
    places = (_BEHIND,) if behind else tuple(cut.joins(_first_join(sides) if closed else ""))
    joining = Joining(measurement, name, pieces, len(sides), places)
    met = accumulate(lengths[:-1], initial=0.0)
    joins_mm = (behind,) if behind else tuple(met)[0 if closed else 1 :]
    return Strip(panels, (*seams, *joins), joining, (names[0], names[-1]), joins_mm)


def _first_join(sides: Sequence[Side]) -> str:
    """Describes where a closed strip's end is sewn to its start."""
    return corner(sides[-1], sides[0]) if len(sides) > 1 else _BEHIND


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


def _rim_seams(rim: Rim, name: str, cut: Pieces, doubled: int | None) -> list[Seam]:
    """The seams along one plate; each join on a corner starts a new seam."""
    sides, lengths, names = cut.sides, cut.lengths_mm, cut.names(name)
    seams = []
    for covered, indices in cut.runs():
        run = [use for i in covered for use in rim.uses[i]]
        pieces = [EdgeUse(names[i], rim.edge) for i in indices]
        along = [sides[i] for i in covered]
        alone = len(covered) > 1 and names.count(names[indices[0]]) == 1
        inside = doubled - covered[0] if alone and doubled in covered else None
        marks = rim_marks(along, [lengths[i] for i in indices], inside, whole=len(sides) == 1)
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
                role=SeamRole.RIM,
                rim=rim.place,
            )
        )
    return seams


def _join_seams(names: Sequence[str], name: str, *, closed: bool) -> list[Seam]:
    """The joins; equal joins are one seam that is sewn several times."""
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
