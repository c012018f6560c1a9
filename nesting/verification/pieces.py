"""Whether pattern pieces that were read back are the panels of an order."""

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from nesting.drawings.ascii_names import ascii_names
from nesting.drawings.pieces.reader import ReadPiece
from nesting.panels.panel import Panel
from nesting.tolerances import DEPTH_MM
from nesting.units import GRID_PER_MM
from nesting.verification.claims import Ring, at
from nesting.verification.curves import Curves, as_curves, match, match_joined, middles
from nesting.verification.findings import Finding, Rule, finding

#: A piece has its panel's lines where the panel has them: both count from one corner.
_ALLOWED_MM: Final = DEPTH_MM


def check_pieces(
    pieces: Sequence[ReadPiece], panels: Sequence[Panel], within: float = 0.0
) -> tuple[Finding, ...]:
    """Every way in which pieces differ from the panels, which come in the same order.

    Names may be spelled in plain letters, and have a number where two are the same.
    ``within`` is how far (mm) the marks of a half may be from the image of those on
    its other side.
    """
    if len(pieces) != len(panels):
        detail = f"{len(pieces)} pieces for {len(panels)} panels"
        return (finding(Rule.PIECE_THERE, "pieces", detail),)
    items = ascii_names(panel.item for panel in panels)
    names = ascii_names(panel.name for panel in panels)
    cloths = ascii_names(panel.cloth for panel in panels)
    found: list[Finding] = []
    for piece, panel in zip(pieces, panels, strict=True):
        name = f"{items[panel.item]} / {names[panel.name]}"
        wrong = (*_words(piece, panel, name, cloths[panel.cloth]), *_lines(piece, panel, within))
        found += (finding(Rule.PIECE, name, detail) for detail in wrong)
    return tuple(found)


def _words(piece: ReadPiece, panel: Panel, name: str, material: str) -> Iterator[str]:
    """What is wrong with the texts of a piece."""
    if piece.name != name and not piece.name.removeprefix(f"{name} ").isdigit():
        yield f'its name is "{piece.name}"'
    if piece.quantity != panel.copies:
        yield f"its quantity is {piece.quantity}, not {panel.copies}"
    if piece.material != material:
        yield f'its material is "{piece.material}", not "{material}"'


def _lines(piece: ReadPiece, panel: Panel, within: float) -> Iterator[str]:
    """What is wrong with the lines and marks of a piece."""
    sew = [(*panel.stitch.points, panel.stitch.points[0])] if panel.stitch else []
    drawn_sew = [(*piece.sew, piece.sew[0])] if piece.sew else []
    kinds = (
        ("boundary", [(*panel.cut.points, panel.cut.points[0])], _ring(piece.boundary)),
        ("sew line", sew, drawn_sew),
        ("notch", [(notch.foot, notch.tip) for notch in panel.notches], piece.notches),
        ("drill mark", [(drill.at,) for drill in panel.drills], [(to,) for to in piece.drills]),
        ("internal line", panel.lines, piece.internal),
        ("inner cut", panel.inner_cuts, piece.inner_cuts),
    )
    for name, own, drawn in kinds:
        meant = as_curves([np.array(run, dtype=float) / GRID_PER_MM for run in own])
        found = as_curves([np.array(run, dtype=float) for run in drawn])
        for word, place in _unpaired(meant, found, _ALLOWED_MM + within):
            yield f"{word} {name} {at(place)}"
    yield from _grain(piece, panel)


def _ring(points: Sequence[tuple[float, float]]) -> list[tuple[tuple[float, float], ...]]:
    return [(*points, points[0])]


def _unpaired(meant: Curves, found: Curves, allowed: float) -> Iterator[tuple[str, Ring]]:
    """The lines of a panel that a piece has not, and those that it has besides.

    The halves of a line across a fold are two lines in the file.
    """
    pairs = match(meant, found, allowed)
    meant = np.delete(meant, [one for one, _, _ in pairs])
    found = np.delete(found, [other for _, other, _ in pairs])
    joined = match_joined(found, meant, allowed)
    found = np.delete(found, [one for one, _, _ in joined])
    meant = np.delete(meant, list({other for _, other, _ in joined}))
    yield from (("no", place) for place in middles(meant))
    yield from (("one too many:", place) for place in middles(found))


def _grain(piece: ReadPiece, panel: Panel) -> Iterator[str]:
    """The grain line has the length and direction of the panel's; a half has it elsewhere."""
    if piece.grain is None:
        yield "no grain line"
        return
    (own_tail, own_head), (tail, head) = np.array(panel.grain) / GRID_PER_MM, np.array(piece.grain)
    off = np.hypot(*((head - tail) - (own_head - own_tail)))
    if off > _ALLOWED_MM:
        yield f"its grain line {at(tail)} is off by {off:.2f} mm at its head"
