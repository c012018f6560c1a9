"""Shelves and lays on them that several tests share. Lengths are grid units."""

import json
import sqlite3
from contextlib import closing

from nesting.shelf.booking import rectangle
from nesting.shelf.lay_record import LayRecord, UsedPiece
from nesting.shelf.piece import Piece
from nesting.units import CM

DAY = "2026-11-30"


def roll(length=1000 * CM, width=140 * CM, cloth="linen", **more):
    return Piece(cloth, length, width, since=DAY, **more)


def lay_on(*pieces, folder, taken=100 * CM, end=0, digest="one"):
    """A lay with one panel, ``taken`` long, on each of some pieces of the shelf."""
    used = tuple(
        UsedPiece(
            piece.piece.cloth, piece.name, piece.piece.length, piece.piece.width, 0, end,
            (rectangle(taken, 20 * CM),), piece.piece.outline, shade=piece.piece.shade,
        )
        for piece in pieces
    )  # fmt: skip
    return LayRecord(folder, digest, used)


def dump(path):
    """Everything in the tables of a shelf."""
    with closing(sqlite3.connect(path)) as shelf:
        return list(shelf.iterdump())


def ask(path, question):
    """The rows that answer a question to the tables."""
    with closing(sqlite3.connect(path)) as shelf:
        return shelf.execute(question).fetchall()


def record(pieces, placements, **more):
    """A layout record of one cloth, version 2, with what booking looks at."""
    cloth = {
        "name": "linen", "width_mm": 1400.0, "selvedge_mm": 10.0, "end_allowance_mm": 20.0,
        "buy_length_mm": 0.0, "currency": "EUR", "pieces": pieces, "placements": placements,
    }  # fmt: skip
    return {"schema": "clothwright/layout/2", "cloths": [{**cloth, **more}]}


def on_piece(name, x, y, length, width):
    """A placed rectangle (mm)."""
    right, top = x + length, y + width
    ring = [[x, y], [right, y], [right, top], [x, top]]
    return {"piece": name, "outline_mm": ring}


def write_record(folder, contents):
    """The folder of a lay with its record."""
    folder.mkdir(exist_ok=True)
    (folder / "layout.json").write_text(json.dumps(contents))
    return folder
