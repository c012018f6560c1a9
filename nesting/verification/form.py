"""The form that a layout record must have before its lay can be checked.

A key that is not in the form is a fault: it may be a rule of the cloth,
which this checker would otherwise ignore without saying so.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from typing import Final

from nesting.errors import Fault
from nesting.verification.kinds import (
    Kind,
    coating,
    count,
    edge,
    edges,
    flag,
    length,
    nap,
    not_negative,
    note,
    number,
    places,
    positive,
    ring,
    text,
    whole,
    widths,
)


@dataclass(frozen=True, slots=True)
class Form:
    """The keys of one JSON object: needed and optional values, and lists of further objects.

    ``optional_lists`` may be absent.
    """

    needed: Mapping[str, Kind]
    optional: Mapping[str, Kind] = field(default_factory=dict)
    lists: Mapping[str, "Form"] = field(default_factory=dict)
    optional_lists: Mapping[str, "Form"] = field(default_factory=dict)


PANEL: Final = Form(
    needed={
        "panel": text,
        "item": text,
        "quantity": count,
        "area_mm2": not_negative,
        "outline_mm": ring,
    },
    optional={"any_grain": flag},
)

PLACEMENT: Final = Form(
    needed={
        "panel": text,
        "item": text,
        "copy": count,
        "part": count,
        "x_mm": number,
        "y_mm": number,
        "turn_deg": number,
        "mirrored": flag,
        "outline_mm": ring,
    },
)

#: A panel and its place in version 2.
PANEL_2: Final = replace(PANEL, optional={**PANEL.optional, "hidden": flag, "one_shade": flag})
PLACEMENT_2: Final = replace(PLACEMENT, needed={**PLACEMENT.needed, "piece": text})

FLAW: Final = Form(needed={"outline_mm": edge, "what": note, "minor": flag})

PIECE: Final = Form(
    needed={
        "name": text,
        "width_mm": positive,
        "length_mm": length,
        "used_length_mm": not_negative,
    },
    optional={
        "selvedge_mm": not_negative,
        "outline_mm": edge,
        "holes_mm": edges,
        "widths_mm": widths,
        "splices_mm": places,
        "shade": text,
        "price": not_negative,
        "buy_length_mm": not_negative,
        "cost": not_negative,
    },
    optional_lists={"flaws": FLAW},
)

#: A panel that is planned again after cutting has begun, and why.
RECUT: Final = Form(needed={"panel": text, "why": text})

CHOICE: Final = Form(needed={"item": text, "measurement": text, "pieces": count})

CLOTH: Final = Form(
    needed={
        "name": text,
        "width_mm": positive,
        "selvedge_mm": not_negative,
        "usable_width_mm": positive,
        "nap": nap,
        "cross_grain": flag,
        "gap_mm": not_negative,
        "end_allowance_mm": not_negative,
        "buy_step_mm": positive,
        "used_length_mm": positive,
        "buy_length_mm": positive,
        "panel_area_mm2": not_negative,
        "efficiency": not_negative,
        "lower_bound_mm": positive,
        "gap_to_bound": number,
        "proved_optimal": flag,
    },
    optional={
        "price_per_metre": not_negative,
        "cost": not_negative,
        "currency": text,
        "coating": coating,
    },
    lists={"panels": PANEL, "placements": PLACEMENT},
)

CLOTH_2: Final = replace(
    CLOTH,
    needed={**CLOTH.needed, "buy_length_mm": not_negative},
    lists={"pieces": PIECE, "panels": PANEL_2, "placements": PLACEMENT_2},
)

RECORD: Final = Form(
    needed={"schema": text, "order": text, "seed": whole},
    lists={"cloths": CLOTH},
    optional_lists={"choices": CHOICE},
)

#: The form of each version of the record.
RECORDS: Final = {
    "clothwright/layout/1": RECORD,
    "clothwright/layout/2": replace(
        RECORD,
        lists={"cloths": CLOTH_2},
        optional_lists={**RECORD.optional_lists, "recut": RECUT},
    ),
}


def faults_in(value: object, form: Form, place: str = "") -> Iterator[Fault]:
    """Every fault of a JSON value that should be an object of this form."""
    if not isinstance(value, dict):
        yield Fault(place or "the file", "must be an object { }", _shown(value))
        return
    inside = f"{place}." if place else ""
    known = [*form.needed, *form.optional, *form.lists, *form.optional_lists]
    for key in value:
        if key not in known:
            near = get_close_matches(str(key), known, 1)
            advice = f"did you mean {near[0]}?" if near else "known keys: " + ", ".join(known)
            yield Fault(f"{inside}{_shown(key)}", "is not a key of this version", remedy=advice)
    for key, kind in {**form.needed, **form.optional}.items():
        if key in value and not (key in form.optional and value[key] is None):
            if broken := kind(value[key]):
                yield Fault(f"{inside}{key}", broken, _shown(value[key]))
        elif key in form.needed:
            yield Fault(f"{inside}{key}", "is missing")
    for key, entry in form.lists.items():
        yield from _faults_in_list(value.get(key), entry, f"{inside}{key}")
    for key, entry in form.optional_lists.items():
        if key in value:
            yield from _faults_in_list(value[key], entry, f"{inside}{key}")


def _faults_in_list(value: object, form: Form, place: str) -> Iterator[Fault]:
    if not isinstance(value, list):
        yield Fault(place, "must be a list [ ]", "missing" if value is None else _shown(value))
        return
    for index, entry in enumerate(value):
        yield from faults_in(entry, form, f"{place}[{index}]")


def _shown(value: object) -> str:
    """The value as a message shows it: short, and in printable characters."""
    shown = ascii(value) if isinstance(value, str | int | float | None) else type(value).__name__
    return shown if len(shown) <= 40 else shown[:37] + "..."
