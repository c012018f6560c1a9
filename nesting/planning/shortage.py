"""Panels do not fit on the pieces of a cloth that are there: by how much, and what would help."""

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece
from nesting.errors import Fault, NotEnoughClothError
from nesting.layouts.measures import area2_for_panels
from nesting.packing.running import NoLayoutError
from nesting.planning.lots import PanelLots
from nesting.planning.piece_answer import Answer
from nesting.sentences import Sentence, Wording, at_least
from nesting.units import to_mm

_RULE = "all panels must lie on the pieces that are there, since no more may be bought"
_REMEDY = (
    "add a piece to its stock, set may_buy = true, or make fewer items: "
    "--partial lays as many whole items as fit"
)


def too_little(lots: PanelLots) -> NotEnoughClothError:
    """It is proved that panels do not fit: by their area, or by shades and what fits where."""
    cloth = lots.cut.cloth
    short2 = max(0.0, lots.cut.area2 - sum(_area2(cloth, piece) for piece in cloth.pieces))
    if short2:
        value: Wording = Sentence(
            "it is proved by area that they do not: at least {} more of it is needed",
            (_length(short2, cloth),),
        )
    else:
        value = (
            "it is proved that they do not: there is no way to cut each item from pieces that "
            "are long, wide and many enough, and of one shade"
        )
    return NotEnoughClothError((_fault(cloth, value),), {cloth.name: short2})


def no_answer(cloth: Cloth, best: Answer) -> NotEnoughClothError:
    """No lay was found on the pieces that are there."""
    value = Sentence(
        "the best lay plan found needs {} more; it is not proved that none fits",
        (at_least(to_mm(best.lacking)),),
    )
    short2 = 2.0 * best.lacking * max(part.strip.width for part in best.parts)
    return NotEnoughClothError((_fault(cloth, value),), {cloth.name: short2})


def no_room_again(cloth: Cloth, best: NoLayoutError | None) -> NotEnoughClothError:
    """Panels that must be cut again fit on nothing that is there, and no more may be bought."""
    value: Wording = "no piece of it has area enough, or is long and wide enough"
    if best is not None:
        lacking = at_least(to_mm(best.layout.used_length - best.length))
        value = Sentence("the best lay plan found needs {} more", (lacking,))
    rule = "what was spoiled must be cut again from cloth of the same shade that is there"
    remedy = (
        "add a piece of that shade (--stock, or [[cloth.stock]] in the order), or set "
        "may_buy = true"
    )
    return NotEnoughClothError((Fault(f'cloth "{cloth.name}"', rule, value, remedy),), {})


def _fault(cloth: Cloth, value: Wording) -> Fault:
    return Fault(f'cloth "{cloth.name}"', _RULE, value, _REMEDY)


def _area2(cloth: Cloth, piece: ClothPiece) -> float:
    """Twice the area that panels may have of a piece, without end for a roll that is bought."""
    if piece.length is None:
        return float("inf")
    own = cloth.on(piece)
    return area2_for_panels(own, piece, piece.length - 2 * own.end_allowance)


def _length(area2: float, cloth: Cloth) -> Wording:
    """An area as a length of the cloth."""
    return at_least(to_mm(area2 / (2 * cloth.usable_width)))
