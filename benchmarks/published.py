"""Results that others have published, with their sources."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

_ELKERAN: Final = (
    "A. Elkeran, guided cuckoo search, European Journal of Operational Research 231, 2013; "
    "quoted from memory"
)

#: Densities in per cent, by instance.
_CUCKOO_2013: Final = {
    "albano": 89.58,
    "blaz": 84.84,
    "dagli": 89.51,
    "dighe1": 100.0,
    "dighe2": 100.0,
    "fu": 92.41,
    "shapes0": 68.79,
    "shirts": 88.96,
    "swim": 75.94,
}


@dataclass(frozen=True)
class Published:
    """A published result: a length in the instance's own unit, or a density in per cent."""

    method: str
    source: str
    length: float | None = None
    density: float | None = None


def published_results(data: Mapping[str, Any]) -> tuple[Published, ...]:
    """Published results that a file states, and one from memory for instances that have one."""
    stated = [
        Published(each["method"], each["reference"], length=float(each["stated_length"]))
        for each in data.get("published_layouts", ())
    ]
    if "optimum_length" in data:
        optimum = float(data["optimum_length"])
        stated.append(Published("optimum", "known by construction", length=optimum))
    if data.get("name") in _CUCKOO_2013:
        stated.append(Published("cuckoo 2013", _ELKERAN, density=_CUCKOO_2013[data["name"]]))
    return tuple(stated)
