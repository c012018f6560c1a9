"""A cloth of which three pieces are used, with everything that a piece can have, by hand."""

import math
from dataclasses import replace
from decimal import Decimal

import worked_lays

from nesting.cloth.stock import ClothPiece, Flaw
from nesting.geometry.outline import Outline
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.units import CM, MM


def ring(*corners_cm):
    return Outline(tuple((round(x * CM), round(y * CM)) for x, y in corners_cm))


def spot(x, y, length, width, **more):
    """A rectangular flaw; centimetres."""
    corners = ((x, y), (x + length, y), (x + length, y + width), (x, y + width))
    return Flaw(ring(*corners), **more)


def star_hide(radii, hole):
    """A hide with its edge at equal angles about a square hole; lengths are grid units."""
    steps = [(radius, math.tau * i / len(radii)) for i, radius in enumerate(radii)]
    points = [(round(r * math.cos(t)), round(r * math.sin(t))) for r, t in steps]
    x, y = (-min(values) for values in zip(*points, strict=True))
    edge = Outline(tuple((x + dx, y + dy) for dx, dy in points))
    square = ((x, y), (x + hole, y), (x + hole, y + hole), (x, y + hole))
    return ClothPiece(
        "hide", edge.height, edge.length, outline=edge, holes=(Outline(square),)
    )  # fmt: skip


#: Laid from 2 cm to its splice, and behind it up to 66 cm: 64 cm. It is 55 cm wide
#: between 0 and 50 cm, the narrower of two measured widths, and behind that too.
REMNANT = ClothPiece(
    "remnant",
    width=60 * CM,
    length=100 * CM,
    selvedge=15 * MM,
    widths=((0, 60 * CM), (50 * CM, 55 * CM)),
    splices=(45 * CM,),
    shade="A",
    price=Decimal(4),
    flaws=(spot(70, 20, 5, 5, what="oil"),),
)

#: Used up to 25 cm; 60 cm at 18.50 a metre are 11.10.
HIDE = ClothPiece(
    "hide",
    width=50 * CM,
    length=60 * CM,
    outline=ring((0, 0), (50, 0), (60, 10), (60, 40), (50, 50), (10, 50), (0, 40)),
    holes=(ring((40, 20), (45, 20), (45, 25), (40, 25)),),
    shade="A",
)

CLOTH = replace(
    worked_lays.TWILL,
    flaws=(
        spot(50, 5, 2, 2, what="slub", minor=True),
        spot(10, 100, 5, 5, what="hole"),
    ),
    stock=(REMNANT, HIDE),
)

PLATE = worked_lays.rectangle(40 * CM, 30 * CM, name="plate", item="stool", quantity=2)
BASE = worked_lays.rectangle(
    20 * CM, 20 * CM, name="base", item="stool", quantity=2, hidden=True
)  # fmt: skip
STRAP = worked_lays.rectangle(20 * CM, 10 * CM, name="strap", item="strap", one_shade=False)
PANELS = (PLATE, BASE, STRAP)


def _on(piece, bound, *placed):
    lays = ClothLay(CLOTH.on(piece or CLOTH.roll), PANELS, placed, bound, True, piece)
    return replace(lays, proved_optimal=lays.used_length == bound)


def lays():
    """Two stools and a strap on a remnant, a hide and the roll.

    By hand: used 64 + 25 + 60.3 = 149.3 cm; the roll needs 60.3 + 2 x 2 = 64.3 cm
    and is bought by 70 cm for 12.95; all cost 4 + 11.10 + 12.95 = 28.05. Usable in
    use: 64 x (55 - 3) = 3328 cm² of the remnant, whose flaw lies farther on;
    25 x 50 - 50 = 1200 cm² of the hide, one corner of which is cut off; 60.3 x 137
    - 25 = 8236.1 cm² of the roll, whose minor flaw does not count.
    """
    low = CLOTH.selvedge
    return (
        _on(
            REMNANT,
            60 * CM,
            PlacedPanel(PLATE, 1, 1, 0, 2 * CM, low),
            PlacedPanel(STRAP, 1, 1, 0, 46 * CM, low),
        ),
        _on(HIDE, 20 * CM, PlacedPanel(BASE, 1, 1, 0, 5 * CM, 5 * CM)),
        _on(
            None,
            603 * MM,
            PlacedPanel(PLATE, 2, 1, 0, 2 * CM, low),
            PlacedPanel(BASE, 2, 1, 0, 423 * MM, low),
        ),
    )
