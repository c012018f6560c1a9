"""Checks a lay again from its exported drawing and the order.

The label in an outline says which panel lies there, and the grain line shows
how it is turned. From that follows the place of every mark of the panel.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece
from nesting.drawings.drawing import Drawing, Pen
from nesting.panels.panel import GrainRule, Panel
from nesting.tolerances import DEPTH_MM
from nesting.units import GRID_PER_MM
from nesting.verification.checker import check_claim
from nesting.verification.claims import Claim, Key, Laid, Rules, Wanted, at, where
from nesting.verification.cloth_piece import piece_of
from nesting.verification.drawn_cloth import check_cloth
from nesting.verification.drawn_panels import (
    DrawnPanel,
    Head,
    Shaft,
    Vector,
    is_cut_line,
    key_of,
    read_panels,
    spellings,
    vector,
)
from nesting.verification.findings import Finding, Rule, finding
from nesting.verification.marks import Outline, check_marks
from nesting.verification.plotted import check_known

#: The marks in an outline that breaks one of these rules cannot be checked.
_UNSOUND: Final = (Rule.SIMPLE.number, Rule.CONGRUENT.number)

#: Grain of a panel that the order does not know.
_ALONG: Final = (1.0, 0.0)


def check_drawing(
    drawing: Drawing,
    lay_cloth: Cloth,
    panels: tuple[Panel, ...],
    piece: ClothPiece | None = None,
    *,
    complete: bool = True,
) -> tuple[Finding, ...]:
    """Every breach of a rule that an exported lay drawing shows.

    ``panels`` are those that the order cuts from this cloth; ``piece`` is what
    of it the drawing shows, None for a roll that is bought. Unless the drawing is
    to be ``complete``, panels may lie on another piece. The rules have
    the same numbers as for a record; the length to buy is worked out from the
    outlines. Names may be spelled in plain letters. Lines may be off by the
    usual rounding and by what the format adds (``within``). Kinds that are left
    out are not checked.
    """
    wanted = {one.key: one for one in map(wanted_of, panels)}
    grains = {key_of(panel): vector(*panel.grain) for panel in panels}
    cuts, strays = read_panels(drawing)
    known = spellings(wanted)
    named = {cut: _laid_panel(cut, grains, known) for cut in cuts if cut.labels}
    laid = tuple(named.values())
    claim = claim_of(drawing, lay_cloth, piece, complete=complete)
    claim = replace(claim, wanted=wanted, laid=laid)
    found = check_claim(claim)
    broken = {each.where for each in found if each.number in _UNSOUND}
    sound = {
        cut: one
        for cut, one in named.items()
        if one.key in wanted and len(cut.grains) == 1 and where(claim, one) not in broken
    }
    outlines = [Outline(cut.ring, sound.get(cut)) for cut in cuts]
    return (
        *check_known(drawing, claim.cloth),
        *check_closed(claim, drawing),
        *_check_labels(claim, cuts, strays),
        *_check_grain_lines(claim, cuts, grains, known),
        *found,
        *check_marks(claim, drawing, outlines, {key_of(panel): panel for panel in panels}),
        *check_cloth(claim.parts[0], drawing),
    )


def claim_of(
    drawing: Drawing, lay_cloth: Cloth, piece: ClothPiece | None, *, complete: bool
) -> Claim:
    """The claim of a drawing of one piece of a cloth, before its panels are known."""
    shown = piece_of(piece or lay_cloth.roll)
    return Claim(
        lay_cloth.name, rules_of(lay_cloth), {}, (), drawing.within, (shown,), complete=complete
    )


def _laid_panel(cut: DrawnPanel, grains: Mapping[Key, Vector], known: Mapping[Key, Key]) -> Laid:
    label, key = cut.labels[0], cut.key(known)
    turn, _ = _turn(cut, grains.get(key, _ALONG))
    return Laid(key, int(label["copy"]), int(label["part"]), turn, cut.ring)


def _turn(cut: DrawnPanel, own: Vector) -> tuple[int, float]:
    """Quarter turn nearest to the drawn grain line, and how far the line is off it (mm)."""
    if not cut.grains:
        return 0, 0.0
    drawn = cut.grains[0]
    cross = own[0] * drawn[1] - own[1] * drawn[0]
    dot = own[0] * drawn[0] + own[1] * drawn[1]
    angle = math.degrees(math.atan2(cross, dot))
    quarters = round(angle / 90)
    off = math.hypot(*drawn) * abs(math.sin(math.radians(angle - 90 * quarters)))
    return quarters * 90 % 360, off


def check_closed(claim: Claim, drawing: Drawing) -> Iterator[Finding]:
    """Findings about cut lines that enclose nothing."""
    for path in drawing.paths:
        if path.pen is Pen.CUT and not is_cut_line(path):
            start = at(path.points[0]) if path.points else "nowhere"
            detail = f"the line of {len(path.points)} points that begins {start}"
            yield finding(Rule.CLOSED, claim.cloth, detail)


def _check_labels(
    claim: Claim, cuts: Sequence[DrawnPanel], strays: Sequence[str]
) -> Iterator[Finding]:
    for cut in cuts:
        if len(cut.labels) != 1:
            names = ", ".join(label[0] for label in cut.labels) or "no label"
            yield finding(Rule.LABEL, claim.cloth, f"{cut.place} has {names}")
    for stray in strays:
        yield finding(Rule.LABEL, claim.cloth, stray)


def _check_grain_lines(
    claim: Claim,
    cuts: Sequence[DrawnPanel],
    grains: Mapping[Key, Vector],
    known: Mapping[Key, Key],
) -> Iterator[Finding]:
    for cut in cuts:
        name = f"{claim.cloth}: {cut.labels[0][0] if cut.labels else 'no label'}"
        if len(cut.grains) != 1:
            yield finding(Rule.GRAIN_LINE, name, f"{cut.place} has {len(cut.grains)}")
        elif cut.labels:
            _, off = _turn(cut, grains.get(cut.key(known), _ALONG))
            if off > DEPTH_MM + 2 * claim.within:
                detail = f"{off:.2f} mm off the grain in {cut.place}"
                yield finding(Rule.GRAIN_LINE, name, detail)
            else:
                yield from _check_head(claim, cut, name)


def _check_head(claim: Claim, cut: DrawnPanel, name: str) -> Iterator[Finding]:
    """Findings about the head of a grain arrow: people see it, not which end is drawn first."""
    if len(cut.heads) != 1:
        yield finding(Rule.GRAIN_HEAD, name, f"{cut.place} has {len(cut.heads)} heads")
    elif not _points_on(cut.heads[0], cut.shafts[0], DEPTH_MM + 2 * claim.within):
        detail = f"the line that ends {at(cut.shafts[0][1])} has its head {at(cut.heads[0][1])}"
        yield finding(Rule.GRAIN_HEAD, name, f"{detail}, or that points another way")


def _points_on(head: Head, shaft: Shaft, allowed: float) -> bool:
    """Whether a head has its tip at the end of its line, and one barb behind it on either side."""
    left, tip, right = head
    along = np.array(vector(*shaft)) / math.dist(*shaft)
    barbs = np.array([vector(tip, left), vector(tip, right)])
    back, aside = barbs @ along, barbs @ (-along[1], along[0])
    even = abs(back[0] - back[1]) <= 2 * allowed and abs(aside.sum()) <= 2 * allowed
    return math.dist(tip, shaft[1]) <= allowed and bool((back < 0).all()) and bool(even)


def wanted_of(panel: Panel) -> Wanted:
    """A panel as the order needs it."""
    return Wanted(
        key=key_of(panel),
        ring=np.array(panel.cut.points) / GRID_PER_MM,
        quantity=panel.quantity * panel.per_item,
        items=panel.quantity,
        any_grain=panel.grain_rule is GrainRule.ANY,
        hidden=panel.hidden,
        one_shade=panel.one_shade,
    )


def rules_of(cloth: Cloth) -> Rules:
    """The rules of a cloth, in millimetres."""
    return Rules(
        width=cloth.width / GRID_PER_MM,
        selvedge=cloth.selvedge / GRID_PER_MM,
        nap=cloth.nap,
        cross_grain=cloth.cross_grain,
        gap=cloth.gap / GRID_PER_MM,
        end_allowance=cloth.end_allowance / GRID_PER_MM,
        buy_step=cloth.buy_step / GRID_PER_MM,
    )
