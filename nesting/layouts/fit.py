"""Whether a panel can lie on a cloth at all."""

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece
from nesting.layouts.cutting_list import allowed_turns
from nesting.panels.drafting.quarter_turn import turned_quarter
from nesting.panels.panel import GrainRule, Panel


def least_height(panel: Panel, cloth: Cloth) -> int:
    """Width of cloth that a panel needs in the allowed turn that needs least."""
    turns = allowed_turns(panel, cloth)
    return min(panel.cut.length if turn % 180 else panel.cut.height for turn in turns)


def fits(panel: Panel, cloth: Cloth) -> bool:
    """Tell whether some allowed turn keeps the panel between the selvedges of a piece."""
    return any(fits_piece(panel, cloth, piece) for piece in cloth.pieces)


def fits_piece(panel: Panel, cloth: Cloth, piece: ClothPiece) -> bool:
    """Tell whether some allowed turn keeps the panel within the length and width of a piece.

    What else is wrong with the piece is not looked at: its outline, holes and flaws.
    """
    own, box = cloth.on(piece), (panel.cut.length, panel.cut.height)
    return any(
        height <= own.usable_width
        and (piece.length is None or length <= piece.length - 2 * own.end_allowance)
        for turn in allowed_turns(panel, cloth)
        for length, height in (box[::-1] if turn % 180 else box,)
    )


def redrawn_to_fit(panel: Panel, cloth: Cloth) -> Panel:
    """The panel, drawn a quarter turn round if that is the only way it fits a one-way cloth.

    A panel whose grain is free may be *drawn* either way, but on a one-way
    cloth it may not be *turned*, so the drawing itself has to change.
    """
    if panel.grain_rule is not GrainRule.ANY or fits(panel, cloth):
        return panel
    other = turned_quarter(panel)
    return other if fits(other, cloth) else panel
