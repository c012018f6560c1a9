"""Closures: a zip or a slit, only if the order asks for one.

A product that can be closed adds `closure_measurements` to its own, asks
`closing` what the order wants, and applies it to the panels it concerns:
`halved` for two half panels with a zip between them (lengthways: a zip
strip), `slit` for a line that is cut open, `left_open` for an opening in a seam.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from typing import Final

from nesting.errors import Fault
from nesting.geometry.curves import Curve, Point, joined, line
from nesting.panels.drafting.draft import EdgeUse, Mark, Seam, SeamRole
from nesting.panels.drafting.finished import Drill, EdgeSort, FinishedPanel
from nesting.panels.drafting.sewing import Notion, NotionKind, zip_fastener
from nesting.panels.measurements import Measurement, MeasurementKind, Values, length, word
from nesting.sentences import Length, Sentence, at_least, at_most

#: Least distance in millimetres between a zip's opening and each end of its seam
#: (common practice: room to turn the corner).
LEAST_BESIDE_MM: Final = 10.0

#: Shortest opening in millimetres that a hand fits through.
_LEAST_OPENING_MM: Final = 50.0


#: Millimetres within which a point lies on the dividing line.
_ON_LINE: Final = 1e-6


class ClosureKind(StrEnum):
    """What closes a cover."""

    NONE = "none"
    ZIP = "zip"
    SLIT = "slit"


@dataclass(frozen=True, slots=True)
class Closing:
    """The closure that an order asks for: its kind, and the place and length of the opening.

    A ``locking`` zip keeps children out.
    """

    kind: ClosureKind
    place: str
    length_mm: float
    locking: bool = False

    @property
    def zip(self) -> bool:
        """Whether a zip is sewn in."""
        return self.kind is ClosureKind.ZIP

    @property
    def notions(self) -> tuple[Notion, ...]:
        """The supplies that the closure needs."""
        if self.zip:
            return (zip_fastener(self.length_mm, locking=self.locking),)
        words = "tape or hooks for a slit of {}, or thread to close it by hand"
        return (Notion(NotionKind.OTHER, words, (self.length_mm,)),)


def closure_measurements(
    *places: str, kinds: tuple[str, ...] = ("none", "zip", "slit")
) -> tuple[Measurement, ...]:
    """The keys by which an order asks for a closure in one of the places of a product."""
    return (
        Measurement(
            "closure",
            MeasurementKind.CHOICE,
            f"closure: {', '.join(kinds[:-1])} or {kinds[-1]}",
            default=ClosureKind.NONE.value,
            choices=kinds,
            outside=True,
        ),
        Measurement(
            "closure_place",
            MeasurementKind.CHOICE,
            f"where the closure is; default: {places[0]}",
            choices=places,
            outside=True,
        ),
        Measurement(
            "closure_length",
            MeasurementKind.LENGTH,
            "length of the opening; default: as long as its place allows",
            least=_LEAST_OPENING_MM,
            greatest=10_000.0,
            outside=True,
        ),
        Measurement(
            "zip_allowance",
            MeasurementKind.LENGTH,
            "allowance of the edges that a zip is sewn to; default: the seam allowance",
            least=0.0,
            greatest=100.0,
            outside=True,
        ),
    )


def closing(values: Values, room_mm: Mapping[str, float]) -> Closing | None:
    """The closure that is asked for, or None.

    ``room_mm`` holds, for each place (the first is the default), the length of
    the seam or panel that the opening lies in.
    """
    kind = ClosureKind(word(values, "closure"))
    if kind is ClosureKind.NONE:
        return None
    place = values["closure_place"]
    where = place if isinstance(place, str) else next(iter(room_mm))
    most = room_mm[where] - 2 * LEAST_BESIDE_MM
    given = values["closure_length"]
    opening = most if given is None else length(values, "closure_length")
    return Closing(kind, where, opening, locking=values.get("fill") == "beads")


def zip_allowances(values: Values) -> dict[EdgeSort, float]:
    """The entry of ``Draft.allowances_mm`` for zips, if the order gives one."""
    if values["zip_allowance"] is None:
        return {}
    return {EdgeSort.ZIP: length(values, "zip_allowance")}


def closure_faults(values: Values, room_mm: Mapping[str, float]) -> tuple[Fault, ...]:
    """Openings longer than their place, and keys that have no effect without a closure."""
    wanted = closing(values, room_mm)
    useless = {
        None: ("closure_place", "closure_length", "zip_allowance"),
        ClosureKind.SLIT: ("zip_allowance",),
        ClosureKind.ZIP: (),
    }
    needs = "a zip" if wanted else "a closure"
    faults = [
        Fault(key, f"has no effect without {needs}", f"{values[key]}", 'add closure = "zip"')
        for key in useless[wanted.kind if wanted else None]
        if values[key] is not None
    ]
    if wanted and not _LEAST_OPENING_MM <= wanted.length_mm <= _most(wanted, room_mm):
        most = _most(wanted, room_mm)
        faults.append(_too_long(wanted, most, _without_room(values, room_mm)))
    return tuple(faults)


def _most(wanted: Closing, room_mm: Mapping[str, float]) -> float:
    return room_mm[wanted.place] - 2 * LEAST_BESIDE_MM + 1e-6


def _without_room(values: Values, room_mm: Mapping[str, float]) -> str:
    """What helps where a closure has no room: a place that has it, or none of the keys for it."""
    keys = ("closure", "closure_place", "closure_length", "zip_allowance", "zip_side")
    given = [key for key in keys if values.get(key) is not None]
    out = " and ".join(filter(None, (", ".join(given[:-1]), given[-1])))
    roomy = [
        f'write closure_place = "{place}"'
        for place in room_mm
        if (other := closing({**values, "closure_place": place}, room_mm))
        and _LEAST_OPENING_MM <= other.length_mm <= _most(other, room_mm)
    ]
    return ", or ".join((*roomy, f"remove {out}"))


def _too_long(wanted: Closing, most: float, without_room: str) -> Fault:
    if most < _LEAST_OPENING_MM:
        words = f"an opening of at least {{}} does not fit in the {wanted.place}"
        rule = Sentence(words, (at_least(_LEAST_OPENING_MM),))
        return Fault("closure", rule, wanted.kind.value, without_room)
    rule = Sentence(f"must not be more than {{}} in the {wanted.place}", (at_most(most),))
    return Fault("closure_length", rule, Length(wanted.length_mm), "make the opening shorter")


def left_open(seam: Seam, seam_mm: float, opening_mm: float, middle: float = 0.5) -> Seam:
    """The seam with a marked opening for a zip, centred at ``middle`` (a fraction)."""
    half = opening_mm / seam_mm / 2
    ends = (Mark(middle - half), Mark(middle + half))
    return replace(seam, marks=(*seam.marks, *ends), opening_mm=opening_mm, zipped=True)


def zip_seam(name: str, one: str, other: str, seam_mm: float, opening_mm: float) -> Seam:
    """The seam between two halves with a zip: sewn at both ends, open between them."""
    seam = Seam(name, (EdgeUse(one, "zip"),), (EdgeUse(other, "zip"),), role=SeamRole.ZIP)
    return left_open(seam, seam_mm, opening_mm)


def slit(panel: FinishedPanel, start: Point, end: Point) -> FinishedPanel:
    """The panel with a slit cut in it, and a drill mark at each end."""
    drills = (Drill(start, "slit"), Drill(end, "slit"))
    inner_cuts = (*panel.inner_cuts, (start, end))
    return replace(panel, inner_cuts=inner_cuts, drills=(*panel.drills, *drills))


def halved(
    panel: FinishedPanel, names: tuple[str, str], *, across: bool = False
) -> tuple[FinishedPanel, FinishedPanel]:
    """Two half panels, each with an edge ``zip`` along the dividing line.

    The panel is divided along x half-way up (the first half is the lower one),
    or ``across`` half-way along (the first is that of lesser x). Edges keep
    their names in both halves. Drill marks stay where they are, each in its half;
    lines inside the panel are left out.

    Raises
    ------
    ValueError
        When the dividing line does not meet the outline exactly twice, when an edge
        would fall into two stretches of one half, or when a drill mark lies on it.
    """
    turned = panel.turned(90) if across else panel
    ys = [y for _, y in turned.ring]
    middle = (min(ys) + max(ys)) / 2
    if any(abs(drill.at[1] - middle) < _ON_LINE for drill in turned.drills):
        msg = f"{panel.name!r} cannot be halved: a drill mark lies on its middle line"
        raise ValueError(msg)
    lower = _half(turned, names[0], middle, above=False)
    upper = _half(turned, names[1], middle, above=True)
    return (lower.turned(270), upper.turned(270)) if across else (lower, upper)


def _half(panel: FinishedPanel, name: str, middle: float, *, above: bool) -> FinishedPanel:
    """The part of the panel on one side of a horizontal line, closed by the edge ``zip``."""
    pieces = [
        (edge, part)
        for edge, curve in panel.edges.items()
        for part in _cut_at(curve, middle)
        if (_highest_from(part, middle) > middle) == above
    ]
    starts = [
        i
        for i, (_, part) in enumerate(pieces)
        if abs(part.points[0][1] - middle) < _ON_LINE and not _follows(pieces[i - 1][1], part)
    ]
    if len(starts) != 1:
        msg = f"{panel.name!r} cannot be halved: the middle line meets it other than twice"
        raise ValueError(msg)
    pieces = pieces[starts[0] :] + pieces[: starts[0]]
    edges: dict[str, Curve] = {}
    last = ""
    for edge, part in pieces:
        if edge in edges and edge != last:
            msg = f"{panel.name!r} cannot be halved: {edge!r} falls into two stretches"
            raise ValueError(msg)
        edges[edge] = joined(edges[edge], part) if edge in edges else part
        last = edge
    first, end = pieces[0][1].points[0], pieces[-1][1].points[-1]
    sorts = {edge: sort for edge, sort in panel.sorts.items() if edge in edges}
    return replace(
        panel,
        name=name,
        per_item=1,
        edges={**edges, "zip": line(end, first)},
        sorts={**sorts, "zip": EdgeSort.ZIP},
        drills=tuple(d for d in panel.drills if (d.at[1] > middle) == above),
        lines=(),
        inner_cuts=(),
        parts=(),
    )


def _follows(one: Curve, other: Curve) -> bool:
    return one is not other and math.dist(one.points[-1], other.points[0]) < _ON_LINE


def _highest_from(curve: Curve, middle: float) -> float:
    """The y of the point of a curve that is farthest from a horizontal line."""
    return max((y for _, y in curve.points), key=lambda y: abs(y - middle))


def _cut_at(curve: Curve, middle: float) -> Sequence[Curve]:
    """The parts of an edge between its crossings of a horizontal line."""
    chords = list(pairwise(curve.points))
    total = sum(math.dist(*chord) for chord in chords)
    met, cuts = 0.0, [0.0]
    for start, end in chords:
        one, other = start[1] - middle, end[1] - middle
        length = math.dist(start, end)
        if one * other < 0 and min(abs(one), abs(other)) > _ON_LINE:
            cuts.append((met + length * one / (one - other)) / total)
        met += length
        if abs(other) <= _ON_LINE:
            cuts.append(met / total)
    kept = [a for a, b in pairwise([*cuts, 1.0]) if b - a > _ON_LINE] + [1.0]
    return [curve.part(a, b) for a, b in pairwise(kept)]
