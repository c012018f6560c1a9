"""The form that a layout record must have before its lay can be checked.

A *kind* is a function that returns the rule that a value breaks, or empty
text. A key that is not in the form is a fault: it may be a rule of the cloth,
which this checker would otherwise ignore without saying so.
"""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from itertools import pairwise
from typing import Any, Final

import shapely

from nesting.cloth.cloth import Coating, Nap
from nesting.errors import Fault

#: Far above every length, area and price, far below where floats lose cents.
GREATEST: Final = 1e12

#: No order needs more than this of anything, and counting up to it is fast.
MOST: Final = 1_000_000

Kind = Callable[[object], str]


def text(value: object) -> str:
    """Kind: text that is not empty."""
    if not isinstance(value, str) or not value:
        return "must be text"
    return "" if value.isascii() or _encodable(value) else "must be text of whole characters"


def flag(value: object) -> str:
    """Kind: true or false."""
    return "" if isinstance(value, bool) else "must be true or false"


def number(value: object) -> str:
    """Kind: a finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return "must be a number"
    # The comparison comes first: a whole number may be too large for a float.
    if not -GREATEST <= value <= GREATEST or not math.isfinite(value):
        return f"must be a finite number within ±{GREATEST:.0e}"
    return ""


def not_negative(value: object) -> str:
    """Kind: a finite number of at least zero."""
    return number(value) or ("" if _real(value) >= 0 else "must be 0 or more")


def positive(value: object) -> str:
    """Kind: a finite number above zero."""
    return number(value) or ("" if _real(value) > 0 else "must be more than 0")


def count(value: object) -> str:
    """Kind: a whole number of at least one."""
    whole = isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= MOST
    return "" if whole else f"must be a whole number from 1 to {MOST}"


def whole(value: object) -> str:
    """Kind: a whole number."""
    right = isinstance(value, int) and not isinstance(value, bool)
    return "" if right else "must be a whole number"


def nap(value: object) -> str:
    """Kind: one of the known naps."""
    return "" if value in list(Nap) else "must be " + ", ".join(Nap)


def coating(value: object) -> str:
    """Kind: one of the known coatings."""
    return "" if value in list(Coating) else "must be " + ", ".join(Coating)


def ring(value: object) -> str:
    """Kind: an outline, a list of at least three points."""
    if not isinstance(value, list) or len(value) < 3:
        return "must be a list of at least 3 points [x, y]"
    for index, point in enumerate(value):
        if not isinstance(point, list) or len(point) != 2:
            return f"point {index} must be two numbers [x, y]"
        if broken := number(point[0]) or number(point[1]):
            return f"point {index} {broken}"
    return ""


def note(value: object) -> str:
    """Kind: text that may be empty."""
    return "" if value == "" else text(value)


def length(value: object) -> str:
    """Kind: a length above zero, or null for as long as needed."""
    return "" if value is None else positive(value)


def edge(value: object) -> str:
    """Kind: an outline that encloses an area and does not cross itself."""
    if broken := ring(value):
        return broken
    polygon = shapely.Polygon(_points(value))
    sound = polygon.is_valid and polygon.area > 0
    return "" if sound else "must enclose an area and not cross or touch itself"


def edges(value: object) -> str:
    """Kind: a list of such outlines."""
    if not isinstance(value, list):
        return "must be a list [ ]"
    broken = (f"outline {index} {fault}" for index, e in enumerate(value) if (fault := edge(e)))
    return next(broken, "")


def widths(value: object) -> str:
    """Kind: widths above zero, each after its place along the cloth, which go up."""
    if not isinstance(value, list) or not value:
        return "must be a list of at least one place and width [x, width]"
    for index, entry in enumerate(value):
        if not isinstance(entry, list) or len(entry) != 2:
            return f"entry {index} must be two numbers [x, width]"
        if broken := number(entry[0]) or positive(entry[1]):
            return f"entry {index} {broken}"
    return "" if all(a[0] < b[0] for a, b in pairwise(value)) else "must go up along the cloth"


def places(value: object) -> str:
    """Kind: places along the cloth, which go up."""
    if not isinstance(value, list):
        return "must be a list of numbers"
    if broken := next(filter(None, map(number, value)), ""):
        return f"each {broken}"
    return "" if all(a < b for a, b in pairwise(value)) else "must go up along the cloth"


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
    "clothwright/layout/2": replace(RECORD, lists={"cloths": CLOTH_2}),
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


def _points(value: Any) -> list[list[float]]:
    return list(value)


def _real(value: Any) -> float:
    return float(value)


def _encodable(value: str) -> bool:
    """Whether text has only whole characters: JSON can escape half of a surrogate pair."""
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


def _shown(value: object) -> str:
    """The value as a message shows it: short, and in printable characters."""
    shown = ascii(value) if isinstance(value, str | int | float | None) else type(value).__name__
    return shown if len(shown) <= 40 else shown[:37] + "..."
