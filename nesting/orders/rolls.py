"""A list of rolls that could be bought: an order file without items.

Its head and its ``[[cloth]]`` tables are the same as in an order; each roll
has its own width, price and rules.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from nesting.cloth.cloth import Cloth
from nesting.orders import rules
from nesting.orders.entries import Entry, read_entry
from nesting.orders.places import KeyPath, find_lines
from nesting.orders.reader import cloth_of, must_be_sound, read_cloths
from nesting.orders.schema import Head
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
    return judge_rolls(parse_toml(text), find_lines(text), path.parent)


def judge_rolls(
    document: Mapping[str, Any], lines: Mapping[KeyPath, int], folder: Path
) -> tuple[Cloth, ...]:
    """The rolls in the tables of a document; an `OrderError` with every fault of them.

    Paths of drawings are relative to ``folder``.
    """
    head = Entry("", (), lines, {k: v for k, v in document.items() if k != "cloth"})
    faults = read_entry(head, Head, None)
    stocks, cloth_faults = read_cloths(document, lines, head.sound.get("units"), folder)
    faults += [*cloth_faults, *rules.order_faults([stock.cloth for stock in stocks], ())]
    must_be_sound(faults)
    return tuple(map(cloth_of, stocks))
