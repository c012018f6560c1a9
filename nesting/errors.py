"""What can go wrong, and who can put it right.

::

    ClothwrightError
    ├── OrderError            the order or the command is wrong      (exit 2)
    ├── WorkError             the order is sound, the work is not possible (exit 1)
    │   ├── SeamError             two sewn edges differ in length
    │   ├── PanelTooLargeError    a panel fits the cloth in no allowed turn
    │   ├── RollTooShortError     the lay is longer than the roll
    │   ├── NotEnoughClothError   the panels do not fit on the pieces that are there
    │   └── UnprovenLayError      our own second opinion refused the lay
    └── AccessError           a file or folder cannot be read or written (exit 3)

Each message names the thing, the rule, the value and what to do.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from nesting.sentences import Wording, in_unit

_LONGEST_VALUE: Final = 60

#: Characters of a list that are shown; a longer one is counted.
_LONGEST_LIST: Final = 200


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong, as it is shown to the user.

    ``place`` is where it is (``item 2 "pouf", cap_diameter``), ``rule`` what
    must hold, ``value`` what was found and ``remedy`` what to do about it;
    ``line`` is the line in the file, counted from 1, if it is known. Lengths
    become text only when the reader's unit is known.
    """

    place: Wording
    rule: Wording
    value: Wording = ""
    remedy: Wording = ""
    line: int | None = None

    def texts(self, unit: str) -> tuple[str, str, str, str]:
        """Place, rule, value and remedy as text, with lengths in mm, cm or in."""
        return (
            in_unit(self.place, unit),
            in_unit(self.rule, unit),
            in_unit(self.value, unit),
            in_unit(self.remedy, unit),
        )

    def __str__(self) -> str:
        place, rule, value, remedy = self.texts("mm")
        where = f"line {self.line}: {place}" if self.line else place
        found = f": {value}" if value else ""
        advice = f" ({remedy})" if remedy else ""
        return f"{where}: {rule}{found}{advice}"


def written(value: object) -> str:
    """A value much as the user wrote it in the order, on one line and cut if it is long."""
    if isinstance(value, str):
        shown = "".join(c if c.isprintable() else f"\\u{ord(c):04X}" for c in value)
        return f'"{_short(shown)}"'
    if isinstance(value, bool) or (isinstance(value, Decimal) and not value.is_finite()):
        return str(value).lower().replace("infinity", "inf")
    if isinstance(value, int) and abs(value) >= 10**_LONGEST_VALUE:
        return "a number of more than 60 digits"
    if isinstance(value, list | tuple):
        whole = "[" + ", ".join(map(written, value[:_LONGEST_VALUE])) + "]"
        return whole if len(whole) <= _LONGEST_LIST else f"a list of {len(value)}"
    return "a table" if isinstance(value, dict) else _short(str(value))


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST_VALUE else text[:_LONGEST_VALUE] + "…"


class ClothwrightError(Exception):
    """Base of every error that a user can cause or fix."""


class FaultsError(ClothwrightError):
    """An error that carries all its faults at once."""

    def __init__(self, faults: tuple[Fault, ...] | list[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(map(str, self.faults)))


class OrderError(FaultsError, ValueError):
    """The order file or the command line is wrong; holds all faults at once."""


class WorkError(FaultsError):
    """The order can be read, but the work it asks for cannot be done."""


class SeamError(WorkError):
    """Edges that are sewn together differ in length at the stitch line."""


class PanelTooLargeError(WorkError):
    """A panel fits the cloth in none of its allowed turns."""


class RollTooShortError(WorkError):
    """The lay does not fit the length of the roll."""


class NotEnoughClothError(WorkError):
    """The panels do not fit on the pieces of their cloths that are there.

    ``short2`` is twice the area that each cloth is thought to lack, by its name,
    in square grid units.
    """

    def __init__(self, faults: tuple[Fault, ...] | list[Fault], short2: dict[str, float]) -> None:
        super().__init__(faults)
        self.short2 = short2

    def in_unit(self, unit: str) -> "NotEnoughClothError":
        """The same with its lengths in mm, cm or in."""
        return NotEnoughClothError(
            [Fault(*fault.texts(unit), fault.line) for fault in self.faults], self.short2
        )

    @classmethod
    def of(cls, errors: Sequence["NotEnoughClothError"]) -> "NotEnoughClothError":
        """One error for several cloths."""
        return cls(
            [fault for error in errors for fault in error.faults],
            {name: area2 for error in errors for name, area2 in error.short2.items()},
        )


class UnprovenLayError(WorkError):
    """The independent check found something wrong with a lay before export."""


class AccessError(ClothwrightError, OSError):
    """A file or folder could not be read or written."""

    def __str__(self) -> str:
        return str(self.args[0]) if self.args else "a file or folder could not be used"
