"""A list of rolls that could be bought: an order file without items.

Its head and its ``[[cloth]]`` tables are the same as in an order; each roll
has its own width, price and rules.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from nesting.cloth.cloth import Cloth
from nesting.errors import OrderError
from nesting.orders import rules
from nesting.orders.entries import Entry, read_entry, read_list
from nesting.orders.places import KeyPath, find_lines
from nesting.orders.reader import cloth_of
from nesting.orders.schema import ClothTable, Head
from nesting.orders.source import parse_toml, read_text


def read_rolls(path: Path) -> tuple[Cloth, ...]:
    """Read the rolls that a file lists.

    Raises
    ------
    OrderError
        With all faults of the file.
    AccessError
        When the file does not exist, is a folder, or may not be read.
    """
    text = read_text(path)
    return judge_rolls(parse_toml(text), find_lines(text))


def judge_rolls(document: Mapping[str, Any], lines: Mapping[KeyPath, int]) -> tuple[Cloth, ...]:
    """The rolls in the tables of a document; an `OrderError` with every fault of them."""
    head = Entry("", (), lines, {k: v for k, v in document.items() if k != "cloth"})
    faults = read_entry(head, Head, None)
    cloths, cloth_faults = read_list("cloth", document, lines)
    faults += cloth_faults
    for cloth in cloths:
        faults += read_entry(cloth, ClothTable, head.sound.get("units"))
        faults += rules.cloth_faults(cloth)
    faults += rules.order_faults(cloths, ())
    if faults:
        raise OrderError(sorted(faults, key=lambda fault: fault.line or 0))
    return tuple(cloth_of(cloth.sound) for cloth in cloths)
