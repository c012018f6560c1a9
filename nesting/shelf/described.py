"""Pieces as people describe them: every value is text, and all faults are told at once."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Final

from nesting.cloth.stock import Flaw
from nesting.drawings.drawing_units import UNITS_MM
from nesting.errors import Fault, OrderError, written
from nesting.geometry.outline import Outline
from nesting.orders.lengths import parse_length
from nesting.orders.values import CURRENCY, NAME, Reading
from nesting.sentences import Sentence
from nesting.shelf.journal import today
from nesting.shelf.piece import Piece
from nesting.units import M, format_length, to_grid

#: What can be said of a piece. `flaw` may hold several with semicolons between them.
KEYS: Final = (
    "cloth", "length", "width", "selvedge", "shade", "place", "price", "currency", "outline",
    "drawing-unit", "flaw", "since",
)  # fmt: skip

_WIDEST: Final = 10 * M
_DEAREST: Final = 1_000_000
_CHECK: Final = "check the number and its unit"
_FLAW: Final = 'write it like "120 cm, 30 cm, 4 cm, 6 cm": place along and across, then size'


@dataclass
class Description:
    """What is said of one piece, by `KEYS`; values that are absent or blank say nothing.

    A number without a unit is in ``unit``; drawings are found from ``folder``.
    ``call`` makes the place of a fault from a key. Faults are collected.
    """

    said: Mapping[str, str]
    unit: str
    call: Callable[[str], str]
    folder: Path = Path()
    line: int | None = None
    faults: list[Fault] = field(default_factory=list)

    def piece(self) -> Piece | None:
        """The piece; None if there are faults."""
        cloth = self._name("cloth", required=True)
        outline, holes = self._outline()
        length, width = self._size(outline)
        selvedge = self._selvedge(width)
        price, currency = self._price()
        piece = Piece(
            cloth, length, width, selvedge, outline, holes,
            self._flaws(length, width), self._name("shade"), self._name("place"), price, currency,
            self._since(),
        )  # fmt: skip
        return None if self.faults else piece

    def _text(self, key: str) -> str:
        return self.said.get(key, "").strip()

    def _fault(self, key: str, rule: str, value: str = "", remedy: str = "") -> None:
        self.faults.append(Fault(self.call(key), rule, value, remedy, self.line))

    def _name(self, key: str, *, required: bool = False) -> str:
        text = self._text(key)
        if not text:
            if required:
                self._fault(key, "is missing", "", "give the name that orders use for the cloth")
            return ""
        return str(self._judged(key, text, NAME.read) or "")

    def _judged(self, key: str, text: str, read: Callable[[object, Reading], object]) -> object:
        try:
            return read(text, Reading(self.unit))
        except OrderError as error:
            self.faults += [
                replace(each, place=self.call(key), line=self.line) for each in error.faults
            ]
            return None

    def _length(self, key: str, text: str) -> int | None:
        bare = text.isascii() and text.replace(".", "", 1).isdecimal()
        value = Decimal(text) if bare else text
        found = self._judged(key, text, lambda _, reading: parse_length(value, self.unit))
        return None if found is None else to_grid(float(str(found)))

    def _size(self, outline: Outline | None) -> tuple[int, int]:
        if outline:
            for key in ("length", "width"):
                if self._text(key):
                    rule, remedy = "does not go with an outline, which has its own", "leave it out"
                    self._fault(key, rule, self._text(key), remedy)
            return outline.length, outline.height
        return self._extent("length"), self._extent("width")

    def _extent(self, key: str) -> int:
        text = self._text(key)
        if not text:
            if not self._text("outline"):
                self._fault(
                    key, "is missing", "", f"measure the piece, or give its outline ({key})"
                )
            return 0
        found = self._length(key, text)
        if found == 0:
            self._fault(key, "must be longer than nothing", text, _CHECK)
        elif found and key == "width" and found > _WIDEST:
            self._fault(key, f"must not be more than {_WIDEST // M} m", text, _CHECK)
        return found or 0

    def _selvedge(self, width: int) -> int | None:
        text = self._text("selvedge")
        found = self._length("selvedge", text) if text else None
        if found and width and 2 * found >= width:
            wide = format_length(width, self.unit)
            rule = f"must leave some cloth between both edges of a piece {wide} wide"
            self._fault("selvedge", rule, text, _CHECK)
        return found

    def _outline(self) -> tuple[Outline | None, tuple[Outline, ...]]:
        name, unit = self._text("outline"), self._text("drawing-unit")
        if unit and (unit not in UNITS_MM or not name):
            rule = "must be mm, cm, m or in" if name else "has no effect without a drawing"
            self._fault("drawing-unit", rule, written(unit), "leave it out, or check it")
        if not name or (unit and unit not in UNITS_MM):
            return None, ()
        from nesting.shelf.drawn_edge import read_edge  # noqa: PLC0415 - most pieces have none

        try:
            return read_edge(self.folder / name, unit or None)
        except OrderError as error:
            self.faults += [self._in_drawing(name, fault) for fault in error.faults]
            return None, ()

    def _in_drawing(self, name: str, fault: Fault) -> Fault:
        """A fault of a drawing; where only its unit is not known, the remedy is ours."""
        place = Sentence("{}, {}", (f"{self.call('outline')} {name}", fault.place))
        unknown = "how long one unit is" in str(fault.rule)
        remedy = f"add {self.call('drawing-unit')} mm (or cm, m, in)" if unknown else fault.remedy
        return replace(fault, place=place, remedy=remedy, line=self.line)

    def _flaws(self, length: int, width: int) -> tuple[Flaw, ...]:
        texts = [text.strip() for text in self._text("flaw").split(";") if text.strip()]
        found = (self._flaw(text, length, width) for text in texts)
        return tuple(flaw for flaw in found if flaw)

    def _flaw(self, text: str, length: int, width: int) -> Flaw | None:
        parts = [part.strip() for part in text.split(",")]
        if len(parts) != 4:
            self._fault("flaw", "must be four lengths", written(text), _FLAW)
            return None
        numbers = [self._length("flaw", part) for part in parts]
        if None in numbers:
            return None
        along, across, long, wide = (number or 0 for number in numbers)
        if not long or not wide:
            self._fault("flaw", "must have a length and a width", written(text), _FLAW)
        elif length and width and (along + long > length or across + wide > width):
            rule = "must lie on the piece"
            self._fault("flaw", rule, written(text), "measure from its cut end and lower edge")
        else:
            top = across + wide
            corners = ((along, across), (along + long, across), (along + long, top), (along, top))
            return Flaw(Outline(corners))
        return None

    def _price(self) -> tuple[int | None, str | None]:
        text, code = self._text("price"), self._text("currency")
        currency = code or None
        if code:
            self._judged("currency", code, CURRENCY.read)
        if not text:
            return None, currency
        try:
            price = Decimal(text) if text.isascii() else Decimal("nan")
        except InvalidOperation:
            price = Decimal("nan")
        if not (price.is_finite() and 0 <= price <= _DEAREST and price * 100 % 1 == 0):
            rule = f"must be an amount from 0 to {_DEAREST} with at most two decimals"
            self._fault("price", rule, written(text), "write the price of the whole piece: 18.50")
            return None, None
        if price and not code:
            remedy = 'write it like "EUR", "GBP" or "USD"'
            self._fault("currency", "is missing beside a price", "", remedy)
        return int(price * 100), currency

    def _since(self) -> str:
        text = self._text("since")
        if not text:
            return today()
        try:
            return date.fromisoformat(text).isoformat()
        except ValueError:
            self._fault("since", "must be a day", written(text), "write it like 2026-11-30")
            return ""
