"""What a layout record says of the cloth that was used: pieces, and panels on them."""

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, Final

from nesting.cloth.stock import ROLL, Flaw
from nesting.errors import AccessError, Fault, OrderError
from nesting.geometry.outline import Outline
from nesting.shelf.piece import number_and_revision
from nesting.units import CM, to_grid

RECORD: Final = "layout.json"

_SCHEMAS: Final = ("clothwright/layout/1", "clothwright/layout/2")

#: The rest of a roll stays on the shelf if it is at least this long; shorter ones are no use.
LEAST_REST: Final = 10 * CM

Ring = Sequence[Sequence[float]]


@dataclass(frozen=True)
class UsedPiece:
    """A piece of cloth with the panels that are cut from it; lengths are grid units.

    ``length`` is that of the whole piece, or what is bought of a roll.
    """

    cloth: str
    name: str
    length: int
    width: int
    selvedge: int
    end_allowance: int
    panels: tuple[Outline, ...]
    outline: Outline | None = None
    holes: tuple[Outline, ...] = ()
    flaws: tuple[Flaw, ...] = ()
    shade: str = ""
    currency: str | None = None

    @property
    def on_shelf(self) -> tuple[int, int] | None:
        """Its number and revision if it comes from a shelf."""
        return number_and_revision(self.name)

    @cached_property
    def cut_off(self) -> int:
        """Where the cloth is cut through behind the last panel and its end allowance.

        It is the whole length of a piece that does not stay on the shelf: one
        with an outline, one that was not there, and one with too short a rest.
        """
        cut = max(panel.bounds[2] for panel in self.panels) + self.end_allowance
        stays = self.on_shelf and not self.outline and self.length - cut >= LEAST_REST
        return cut if stays else self.length


@dataclass(frozen=True)
class LayRecord:
    """The lay of a folder: where it is, what tells it from any other, and the cloth it takes."""

    folder: Path
    digest: str
    pieces: tuple[UsedPiece, ...]


def read_lay(folder: Path) -> LayRecord:
    """Read the layout record of a folder.

    Raises
    ------
    AccessError
        When there is none, or it cannot be read.
    OrderError
        When it is not a layout record, or is damaged.
    """
    path = folder / RECORD
    try:
        data = path.read_bytes()
    except OSError as error:
        msg = f"{path}: cannot be read: {error.strerror or error}; name a folder that lay wrote"
        raise AccessError(msg) from error
    try:
        record = json.loads(data)
        pieces = tuple(_pieces(record))
    except (ValueError, TypeError, LookupError, AttributeError, RecursionError) as error:
        raise _damaged(path) from error
    if len({(piece.cloth, piece.name) for piece in pieces}) < len(pieces):
        raise _damaged(path)
    return LayRecord(folder.resolve(), hashlib.sha256(data).hexdigest(), pieces)


def _damaged(path: Path) -> OrderError:
    rule = "must be a layout record of version 1 or 2, as lay writes it"
    return OrderError([Fault(str(path), rule, "", "lay the order again")])


def _pieces(record: dict[str, Any]) -> Iterator[UsedPiece]:
    """The pieces of all cloths that panels lie on."""
    if record["schema"] not in _SCHEMAS:
        raise ValueError(record["schema"])
    for cloth in record["cloths"]:
        for piece in cloth.get("pieces") or [{"name": ROLL}]:
            panels = tuple(
                _outline(placed["outline_mm"])
                for placed in cloth["placements"]
                if placed.get("piece", ROLL) == piece["name"]
            )
            if panels:
                yield _piece(cloth, piece, panels)


def _piece(cloth: dict[str, Any], piece: dict[str, Any], panels: tuple[Outline, ...]) -> UsedPiece:
    both = {**cloth, **piece}
    length = piece.get("length_mm")
    shape = piece.get("outline_mm")
    return UsedPiece(
        str(cloth["name"]),
        str(piece["name"]),
        to_grid(both["buy_length_mm"] if length is None else length),
        to_grid(both["width_mm"]),
        to_grid(piece.get("selvedge_mm", 0) if shape else both["selvedge_mm"]),
        0 if shape else to_grid(cloth["end_allowance_mm"]),
        panels,
        _outline(shape) if shape else None,
        tuple(map(_outline, piece.get("holes_mm") or ())),
        tuple(
            Flaw(_outline(flaw["outline_mm"]), flaw.get("what", ""), flaw.get("minor", False))
            for flaw in piece.get("flaws") or ()
        ),
        str(piece.get("shade") or ""),
        cloth.get("currency"),
    )


def _outline(ring_mm: Ring) -> Outline:
    return Outline(tuple((to_grid(x), to_grid(y)) for x, y in ring_mm))
