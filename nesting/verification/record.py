"""Reads the claims of a layout record, one for each cloth."""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any, Final

import numpy as np

from nesting.cloth.cloth import Nap
from nesting.cloth.stock import ROLL
from nesting.errors import Fault, OrderError
from nesting.verification.claims import Claim, Key, Laid, Ring, Rules, Wanted
from nesting.verification.form import RECORDS, faults_in
from nesting.verification.record_pieces import piece_faults, pieces_of
from nesting.verification.roll_call import Pair, count_items

#: The newest record that this checker understands, by name and version.
SCHEMA: Final = max(RECORDS)

Json = Mapping[str, Any]


def claims_of(record: Any) -> tuple[tuple[Claim, Json], ...]:
    """The claims of a record, each with the entry of its cloth, which states the figures.

    Raises
    ------
    OrderError
        When it is not a layout record of a known version, or any part of it is
        missing, of a wrong type or not finite; all faults together.
    """
    form = RECORDS.get(_schema(record))
    if form is None:
        raise OrderError([_foreign(record)])
    if faults := [*faults_in(record, form)]:
        raise OrderError(faults)
    if faults := [*_contradictions(record)]:
        raise OrderError(faults)
    items = _items(record)
    return tuple((_claim(cloth, items), cloth) for cloth in record["cloths"])


def _schema(record: object) -> str:
    """Name and version of a record; empty text if it has none."""
    found = record.get("schema") if isinstance(record, dict) else None
    return found if isinstance(found, str) else ""


def _foreign(record: object) -> Fault:
    found = _schema(record)
    if found.startswith("clothwright/layout/"):
        known = " or ".join(f'"{name}"' for name in RECORDS)
        return Fault("schema", f"must be {known}", ascii(found), "use the version that wrote it")
    return Fault("the file", f'must be a layout record, with "schema": "{SCHEMA}"')


def _contradictions(record: Json) -> Iterator[Fault]:
    """Faults that no key shows alone: empty lists, names used twice, selvedges too wide."""
    if not record["cloths"]:
        yield Fault("cloths", "must have at least one cloth")
    for name in _duplicates(cloth["name"] for cloth in record["cloths"]):
        yield Fault("cloths", "must not give two cloths the same name", ascii(name))
    chosen = ((each["item"], each["measurement"]) for each in record.get("choices", ()))
    for key in _duplicates(chosen):
        yield Fault("choices", "must not choose one number twice", " / ".join(key))
    for index, cloth in enumerate(record["cloths"]):
        place = f"cloths[{index}]"
        if not cloth["panels"]:
            yield Fault(f"{place}.panels", "must have at least one panel")
        for key in _duplicates((entry["item"], entry["panel"]) for entry in cloth["panels"]):
            yield Fault(f"{place}.panels", "must not list a panel twice", " / ".join(key))
        if 2 * cloth["selvedge_mm"] >= cloth["width_mm"]:
            found = str(cloth["selvedge_mm"])
            yield Fault(f"{place}.selvedge_mm", "must leave usable cloth between them", found)
        if cloth["nap"] == Nap.ONE_WAY and cloth["cross_grain"]:
            yield Fault(f"{place}.cross_grain", "must be false on one-way cloth", "true")
        if "pieces" in cloth:
            yield from piece_faults(cloth, place)


def _duplicates(names: Any) -> list[Any]:
    return [name for name, count in Counter(names).items() if count > 1]


def _items(record: Json) -> dict[str, int]:
    """How many of each item are cut, over all cloths."""
    quantities: dict[str, dict[Key, int]] = {}
    pairs: dict[str, dict[Key, set[Pair]]] = {}
    for cloth in record["cloths"]:
        for entry in cloth["panels"]:
            key = (entry["item"], entry["panel"])
            quantities.setdefault(entry["item"], {})[key] = entry["quantity"]
        for entry in cloth["placements"]:
            key = (entry["item"], entry["panel"])
            if key in quantities.get(entry["item"], {}):
                found = pairs.setdefault(entry["item"], {}).setdefault(key, set())
                found.add((entry["copy"], entry["part"]))
    return {item: count_items(needed, pairs.get(item, {})) for item, needed in quantities.items()}


def _claim(cloth: Json, items: Mapping[str, int]) -> Claim:
    rules = Rules(
        width=cloth["width_mm"],
        selvedge=cloth["selvedge_mm"],
        nap=Nap(cloth["nap"]),
        cross_grain=cloth["cross_grain"],
        gap=cloth["gap_mm"],
        end_allowance=cloth["end_allowance_mm"],
        buy_step=cloth["buy_step_mm"],
    )
    wanted = [_wanted(entry, items[entry["item"]]) for entry in cloth["panels"]]
    laid = tuple(_laid(entry) for entry in cloth["placements"])
    by_key = {one.key: one for one in wanted}
    return Claim(cloth["name"], rules, by_key, laid, pieces=pieces_of(cloth))


def _wanted(entry: Json, items: int) -> Wanted:
    return Wanted(
        key=(entry["item"], entry["panel"]),
        ring=_ring(entry),
        quantity=entry["quantity"],
        items=items,
        any_grain=bool(entry.get("any_grain")),
        hidden=bool(entry.get("hidden")),
        one_shade=entry.get("one_shade") is not False,
    )


def _laid(entry: Json) -> Laid:
    return Laid(
        key=(entry["item"], entry["panel"]),
        copy=entry["copy"],
        part=entry["part"],
        turn=entry["turn_deg"],
        ring=_ring(entry),
        piece=entry.get("piece", ROLL),
    )


def _ring(entry: Json) -> Ring:
    return np.array(entry["outline_mm"], dtype=np.float64)
