"""Checks a drawing for a knife again from the order.

Such a file has no labels and no grain lines. Which panel an outline is, and how
it is turned, follows from the outline and from the marks in it: of the panels
and turns that fit, the one with the fewest marks out of place is taken. What
looks the same cannot be told apart: which copy a panel belongs to, and which
way a panel points that is its own image after half a turn. They are taken as
the order and the nap want them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely

from nesting.cloth.cloth import Cloth, Nap
from nesting.cloth.stock import ClothPiece
from nesting.drawings.drawing import Drawing, Pen
from nesting.drawings.tool import FOLLOWED, Tool
from nesting.panels.panel import Panel
from nesting.tolerances import DEPTH_MM, FLOAT_MM
from nesting.verification.checker import check_claim
from nesting.verification.claims import Claim, Key, Laid, Ring, Wanted, at, is_simple, turned
from nesting.verification.congruence import mirrored, mismatch
from nesting.verification.curves import as_curves, middles, run_of
from nesting.verification.drawn import check_closed, claim_of, wanted_of
from nesting.verification.drawn_panels import is_cut_line, key_of
from nesting.verification.findings import Finding, Rule, finding
from nesting.verification.marks import Outline, check_marks, marks_out_of_place
from nesting.verification.places import turns_allowed
from nesting.verification.plotted import check_known

_QUARTERS: Final = (0, 90, 180, 270)

#: The name of an outline that no panel has; no order has an item without a name.
_UNKNOWN: Final = "no panel of the order"


@dataclass
class _Known:
    """An outline with the panel it is taken for, and the turns that fit equally well."""

    ring: Ring
    key: Key
    turns: tuple[int, ...]

    @property
    def way(self) -> int:
        """0 if it points forward, 2 backward, 1 if that cannot be told."""
        if len({turn >= 180 for turn in self.turns}) > 1:
            return 1
        return 2 * (self.turns[0] >= 180)


def check_knife_drawing(
    drawing: Drawing,
    lay_cloth: Cloth,
    panels: Sequence[Panel],
    piece: ClothPiece | None = None,
    *,
    complete: bool = True,
) -> tuple[Finding, ...]:
    """Every breach of a rule that a lay drawing for a knife shows.

    ``panels`` are those that the order cuts from this cloth; ``piece`` is what
    of it the drawing shows, None for a roll that is bought. Unless the drawing is
    to be ``complete``, panels may lie on another piece. Besides the rules
    of outlines and marks, it may hold nothing that a knife must not follow.
    """
    by_key = {key_of(panel): panel for panel in panels}
    claim = claim_of(drawing, lay_cloth, piece, complete=complete)
    claim = replace(claim, wanted={key: wanted_of(panel) for key, panel in by_key.items()})
    rings = [np.array(path.points) for path in drawing.paths if is_cut_line(path)]
    known = _recognised(claim, rings, drawing, by_key)
    laid = tuple(_with_copies(claim, known))
    claim = replace(claim, laid=laid)
    outlines = [Outline(one.ring, one if one.key in by_key else None) for one in laid]
    return (
        *check_known(drawing, claim.cloth),
        *_check_kinds(claim, drawing),
        *check_closed(claim, drawing),
        *_check_mirrored(claim),
        *check_claim(claim),
        *check_marks(claim, drawing, outlines, by_key, Tool.KNIFE),
    )


def _check_kinds(claim: Claim, drawing: Drawing) -> Iterator[Finding]:
    """Findings about lines and texts that a knife would follow by mistake."""
    lines = [(path.pen, path.points[0]) for path in drawing.paths if path.points]
    texts = [(text.pen, text.at) for text in drawing.texts]
    for what, drawn in (("line", lines), ("text", texts)):
        wrong = [(pen, place) for pen, place in drawn if pen not in FOLLOWED or what == "text"]
        for pen in dict.fromkeys(pen for pen, _ in wrong):
            places = [place for each, place in wrong if each is pen]
            many = f", and {len(places) - 1} more" if len(places) > 1 else ""
            detail = f"a {what} of the kind {pen} {at(places[0])}{many}"
            yield finding(Rule.KNIFE, claim.cloth, detail)


def _check_mirrored(claim: Claim) -> Iterator[Finding]:
    allowed = _allowed(claim)
    for one in claim.laid:
        if one.key not in claim.wanted and any(
            _fitting(one.ring, mirrored(wanted.ring), allowed) for wanted in claim.wanted.values()
        ):
            detail = f"a mirror image lies {at(one.ring.min(axis=0))}"
            yield finding(Rule.NOT_MIRRORED, claim.cloth, detail)


def _allowed(claim: Claim) -> float:
    return DEPTH_MM + FLOAT_MM + 2 * claim.within


def _recognised(
    claim: Claim, rings: Sequence[Ring], drawing: Drawing, panels: dict[Key, Panel]
) -> list[_Known]:
    """Each outline with its panel; those that fit the fewest panels choose first."""
    allowed = _allowed(claim)
    fits = []
    for ring in rings:
        fitting = {k: _fitting(ring, w.ring, allowed) for k, w in claim.wanted.items()}
        fits.append({key: turns for key, turns in fitting.items() if turns})
    taken = dict.fromkeys(claim.wanted, 0)
    known: dict[int, _Known] = {}
    parts = _parts_inside(drawing, rings)
    best = [
        _best(claim, ring, each, part, panels)
        for ring, each, part in zip(rings, fits, parts, strict=True)
    ]
    for index in sorted(range(len(rings)), key=lambda i: (len(best[i]), i)):
        free = [key for key in best[index] if taken[key] < claim.wanted[key].quantity]
        key = next(iter(free or best[index]), None)
        if key is None:
            place = f"the outline with its least corner {at(rings[index].min(axis=0))}"
            known[index] = _Known(rings[index], (_UNKNOWN, place), (0,))
        else:
            taken[key] += 1
            known[index] = _Known(rings[index], key, best[index][key])
    return [known[index] for index in range(len(rings))]


def _parts_inside(drawing: Drawing, rings: Sequence[Ring]) -> Iterator[Drawing]:
    """For each outline the drawing with only the marks whose middles lie in its box."""
    marks = [path for path in drawing.paths if path.pen is not Pen.CUT and path.points]
    tree = shapely.STRtree(shapely.points(middles(as_curves([run_of(path) for path in marks]))))
    for ring in rings:
        inside = tree.query(shapely.box(*ring.min(axis=0), *ring.max(axis=0)))
        yield replace(drawing, paths=tuple(marks[index] for index in sorted(inside)))


def _fitting(ring: Ring, own: Ring, allowed: float) -> tuple[int, ...]:
    """The quarter turns in which an outline is that of a panel."""
    return tuple(
        turn
        for turn in _QUARTERS
        if _same_box(ring, posed := turned(own, turn), allowed)
        and mismatch(ring, posed)[0] <= allowed
    )


def _same_box(ring: Ring, other: Ring, allowed: float) -> bool:
    """Whether two outlines are as long and as high, which is quick to see."""
    return bool((np.abs(np.ptp(ring, axis=0) - np.ptp(other, axis=0)) <= 2 * allowed).all())


def _best(
    claim: Claim,
    ring: Ring,
    fits: dict[Key, tuple[int, ...]],
    drawing: Drawing,
    panels: dict[Key, Panel],
) -> dict[Key, tuple[int, ...]]:
    """The panels and turns with the fewest marks out of place; allowed turns if there are any."""
    poses = [(key, turn) for key, turns in fits.items() for turn in turns]
    if not poses or not is_simple(shapely.Polygon(ring)):
        return {}
    laid = {pose: Laid(pose[0], 1, 1, pose[1], ring) for pose in poses}
    wrong = {
        pose: marks_out_of_place(claim, drawing, one, panels[pose[0]]) for pose, one in laid.items()
    }
    least = min(wrong.values())
    sound = [pose for pose in poses if wrong[pose] == least]
    allowed = [pose for pose in sound if pose[1] in _turns(claim, pose[0])]
    kept = allowed or sound
    return {key: tuple(t for k, t in kept if k == key) for key in dict.fromkeys(k for k, _ in kept)}


def _turns(claim: Claim, key: Key) -> tuple[int, ...]:
    return turns_allowed(claim.rules, any_grain=claim.wanted[key].any_grain)


def _with_copies(claim: Claim, known: Sequence[_Known]) -> Iterator[Laid]:
    """The outlines as panels of copies: those that point forward first, then the others.

    Where all panels of one item must point the same way, as many copies point
    forward as the panels that show it say.
    """
    forward: dict[str, int] = {}
    for key, wanted in claim.wanted.items():
        parts = _parts(wanted)
        firm = sum(one.key == key and one.way == 0 for one in known)
        forward[key[0]] = max(forward.get(key[0], 0), -(-firm // parts))
    count: dict[Key, int] = {}
    for one in sorted(known, key=lambda each: each.way):
        number = count[one.key] = count.get(one.key, -1) + 1
        parts = _parts(claim.wanted[one.key]) if one.key in claim.wanted else 1
        copy, part = number // parts + 1, number % parts + 1
        turn = one.turns[0]
        if claim.rules.nap is Nap.UP_AND_DOWN and one.way == 1:
            back = copy > forward[one.key[0]]
            turn = next(each for each in one.turns if (each >= 180) == back)
        yield Laid(one.key, copy, part, turn, one.ring)


def _parts(wanted: Wanted) -> int:
    return max(1, wanted.quantity // wanted.items)
