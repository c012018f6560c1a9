"""One table of the file, checked against its model: its valid values and every fault."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from nesting.errors import Fault, written
from nesting.orders.cloth_tables import LATER, ClothTable, FlawTable, StockTable, Table
from nesting.orders.places import KeyPath, line_of
from nesting.orders.schema import MOST_TABLES, NESTED, Head, ItemTable
from nesting.orders.values import Reading, nearest

#: A key that needs no quotation marks and is short enough to repeat in a message.
_BARE: Final = re.compile(r"[A-Za-z0-9_-]{1,40}")

#: Where a key of each table belongs, for keys written in the wrong one.
_HOMES: Final[tuple[tuple[type[Table], str], ...]] = (
    (Head, "at the top of the file, above the first [[cloth]]"),
    (ClothTable, "under [[cloth]]"),
    (ItemTable, "under [[item]]"),
)

#: The same for keys in a table of a cloth.
_HOMES_IN_A_CLOTH: Final[tuple[tuple[type[Table], str], ...]] = (
    (StockTable, "under [[cloth.stock]]"),
    (FlawTable, "under [[cloth.flaw]] or [[cloth.stock.flaw]]"),
)

#: How tables within tables are written, for those written in the wrong place.
_HEADERS: Final = {
    "flaw": "[[cloth.flaw]] or [[cloth.stock.flaw]]",
    "stock": "[[cloth.stock]]",
}


@dataclass(frozen=True)
class Entry:
    """One table of the file.

    ``title`` names it for the user (``cloth 1 "teal twill"``; empty for the top
    of the file), ``table`` is what the file says, and ``sound`` holds the values
    that are valid on their own, including defaults.
    """

    title: str
    path: KeyPath
    lines: Mapping[KeyPath, int]
    table: Mapping[str, object]
    sound: dict[str, Any] = field(default_factory=dict)

    def fault(self, key: str, rule: str, remedy: str, value: str | None = None) -> Fault:
        """A fault in one of the table's keys, with the value from the file."""
        if value is None:
            value = written(self.table[key]) if key in self.table else ""
        return self.fault_within((key,), rule, remedy, value)

    def fault_within(self, keys: tuple[str, ...], rule: str, remedy: str, value: str) -> Fault:
        """A fault in a key of a table within the table."""
        shown = [key if _BARE.fullmatch(key) else written(key) for key in keys]
        place = ", ".join([self.title, *shown] if self.title else shown)
        return Fault(place, rule, value, remedy, line_of(self.lines, (*self.path, *keys)))


def read_entry(
    entry: Entry, model: type[Table], units: str | None, folder: Path = Path()
) -> list[Fault]:
    """Check a table against its model: fill ``entry.sound`` and return every fault.

    Paths in the table are relative to ``folder``. Tables within the table are read apart.
    """
    own = {key: each for key, each in entry.table.items() if key not in NESTED.get(model, ())}
    for key, declared in model.model_fields.items():
        if key not in entry.table and not declared.is_required():
            entry.sound[key] = declared.default
    try:
        model.model_validate(own, context=Reading(units, entry.sound, folder))
    except ValidationError as error:
        return list(_faults(entry, model, error.errors(include_url=False)))
    return []


def read_list(
    key: str, document: Mapping[str, object], lines: Mapping[KeyPath, int]
) -> tuple[list[Entry], list[Fault]]:
    """The ``[[key]]`` tables of a document, and any fault in their list."""
    found = document.get(key, [])
    tables = [each for each in found if isinstance(each, dict)] if isinstance(found, list) else []
    wrong = ""
    if not isinstance(found, list) or len(tables) < len(found):
        wrong = "must be a table of its own, in double brackets"
    elif not tables:
        wrong = "must be there at least once"
    elif len(tables) > MOST_TABLES:
        wrong = f"must not be there more than {MOST_TABLES} times"
    if wrong:
        remedy = f"write [[{key}]] on a line of its own, and its keys below"
        line = line_of(lines, (key,))
        return [], [Fault(f"[[{key}]]", wrong, written(found) if found else "", remedy, line)]
    return [
        Entry(f"{key} {n + 1}{_quoted_name(table)}", (key, n), lines, table)
        for n, table in enumerate(tables)
    ], []


def read_nested(entry: Entry, key: str, most: int) -> tuple[list[Entry], list[Fault]]:
    """The ``[[table.key]]`` tables of a table, at most so many, and any fault in their list."""
    found = entry.table.get(key, [])
    tables = [each for each in found if isinstance(each, dict)] if isinstance(found, list) else []
    header = ".".join([*(str(each) for each in entry.path if isinstance(each, str)), key])
    wrong = ""
    if not isinstance(found, list) or len(tables) < len(found):
        wrong = "must be a table of its own, in double brackets"
    elif len(tables) > most:
        wrong = f"must not be there more than {most} times"
    if wrong:
        remedy = f"write [[{header}]] on a line of its own, and its keys below"
        return [], [entry.fault(key, wrong, remedy)]
    return [
        Entry(
            f"{entry.title}, {key} {n + 1}{_quoted_name(table)}",
            (*entry.path, key, n),
            entry.lines,
            table,
        )
        for n, table in enumerate(tables)
    ], []


def is_misspelt(entry: Entry, model: type[Table], key: str) -> bool:
    """Whether a key that the table lacks is there in another spelling, which is reported."""
    keys = _keys(model)
    return any(nearest(other, keys) == nearest(key, [key]) for other in {*entry.table} - {*keys})


def _quoted_name(table: Mapping[str, object]) -> str:
    name = table.get("name")
    return f" {written(name)}" if isinstance(name, str) else ""


def _faults(entry: Entry, model: type[Table], errors: list[ErrorDetails]) -> Iterator[Fault]:
    """What pydantic found, in our words; a misspelt key is not also reported as missing."""
    keys = _keys(model)
    unknown = [str(e["loc"][0]) for e in errors if e["type"] == "extra_forbidden"]
    guesses = {key: nearest(key, keys) for key in unknown}
    for error in errors:
        key = str(error["loc"][0])
        if key in guesses:
            yield _unknown(entry, model, key, guesses[key])
        elif error["type"] != "missing":
            (refusal,) = error["ctx"]["error"].faults
            yield entry.fault(key, refusal.rule, refusal.remedy)
        elif nearest(key, [key]) not in guesses.values():
            yield entry.fault(key, "is missing", _how_to_add(model, key))


def _keys(model: type[Table]) -> list[str]:
    nested = ("cloth", "item") if model is Head else NESTED.get(model, ())
    return [*model.model_fields, *nested]


def _how_to_add(model: type[Table], key: str) -> str:
    declared = model.model_fields[key]
    example = f" = {written(declared.examples[0])}" if declared.examples else ""
    return f"add {key}{example}: {declared.description}"


def _unknown(entry: Entry, model: type[Table], key: str, guess: str) -> Fault:
    if model is ClothTable and key in LATER:
        remedy = "take it out only if the cloth can be cut without this rule"
        return entry.fault(key, "is a rule that this version cannot honour yet", remedy)
    if key in _HEADERS:
        return entry.fault(key, "does not belong here", f"write it as {_HEADERS[key]}")
    known = _HOMES + (_HOMES_IN_A_CLOTH if model in (ClothTable, StockTable, FlawTable) else ())
    homes = [home for other, home in known if key in other.model_fields]
    if homes:
        return entry.fault(key, "does not belong here", f"write it {' or '.join(homes)}")
    remedy = guess or f"known here are {', '.join(_keys(model))}"
    return entry.fault(key, "is not a key that is known here", remedy)
