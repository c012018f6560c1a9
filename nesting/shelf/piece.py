"""Pieces of cloth on the shelf. Lengths are grid units, money is whole cents."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from nesting.cloth.stock import ClothPiece, Flaw
from nesting.geometry.outline import Outline
from nesting.units import points_to_mm, to_mm

#: How the names of pieces from a shelf begin.
FROM_SHELF: Final = "shelf "

_NAME: Final = re.compile(FROM_SHELF + r"([1-9][0-9]{0,11})\.([1-9][0-9]{0,11})")


@dataclass(frozen=True, slots=True)
class Piece:
    """A roll or a remnant: a rectangle, or an outline with holes in the box of its size.

    ``selvedge`` is None if it has that of its cloth. ``price`` is that of the
    whole piece in cents, None if it is not known and 0 for what is paid already.
    ``since`` is the day it came to the shelf, as ``2026-11-30``.
    """

    cloth: str
    length: int
    width: int
    selvedge: int | None = None
    outline: Outline | None = None
    holes: tuple[Outline, ...] = ()
    flaws: tuple[Flaw, ...] = ()
    shade: str = ""
    place: str = ""
    price: int | None = None
    currency: str | None = None
    since: str = ""


@dataclass(frozen=True, slots=True)
class ShelfPiece:
    """A piece with its number, which no other piece ever gets, and its revision.

    The revision begins at 1 and rises with every change of the piece, so that
    a label or a lay that tells an older one is known to be out of date.
    """

    number: int
    revision: int
    piece: Piece

    @property
    def label(self) -> str:
        """Number and revision as on its label: ``17.2``."""
        return f"{self.number}.{self.revision}"

    @property
    def name(self) -> str:
        """What lays call it: ``shelf 17.2``."""
        return f"shelf {self.label}"

    def cloth_piece(self, selvedge: int) -> ClothPiece:
        """The piece as lays use it; ``selvedge`` is that of its cloth."""
        piece = self.piece
        usual = 0 if piece.outline else selvedge
        return ClothPiece(
            self.name,
            piece.width,
            piece.length,
            usual if piece.selvedge is None else piece.selvedge,
            piece.outline,
            piece.holes,
            shade=piece.shade,
            price=in_money(piece.price),
            flaws=piece.flaws,
        )

    def record(self) -> dict[str, Any]:
        """The piece for other programs."""
        piece = self.piece
        return {
            "number": self.number,
            "cloth": piece.cloth,
            "name": self.name,
            "length_mm": to_mm(piece.length),
            "width_mm": to_mm(piece.width),
            "outline_mm": piece.outline and points_to_mm(piece.outline.points),
            "shade": piece.shade,
            "place": piece.place,
            "worth": None if piece.price is None else piece.price / 100,
            "currency": piece.currency,
            "since": piece.since,
        }


def number_and_revision(name: str) -> tuple[int, int] | None:
    """The piece of the shelf that a lay calls by this name; None if it is none."""
    found = _NAME.fullmatch(name)
    return (int(found[1]), int(found[2])) if found else None


def in_money(cents: int | None) -> Decimal | None:
    """Cents as units of their currency."""
    return None if cents is None else Decimal(cents).scaleb(-2)
