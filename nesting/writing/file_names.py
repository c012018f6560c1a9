"""Gives each cloth of a lay a file name of its own."""

from collections.abc import Iterable

from nesting.cloth.naming import file_name


def file_names(cloth_names: Iterable[str]) -> tuple[str, ...]:
    """A different file name for each cloth: a second ``wool`` becomes ``wool-2``."""
    taken: set[str] = set()
    names = []
    for cloth_name in cloth_names:
        name = plain = file_name(cloth_name)
        count = 1
        while name in taken:
            count += 1
            name = f"{plain}-{count}"
        taken.add(name)
        names.append(name)
    return tuple(names)
