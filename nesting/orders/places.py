"""Finds the line of each key in a TOML file.

The standard library's TOML reader does not keep line numbers, and makers need
them. This module finds them in text that is known to be valid TOML: it splits
the text into *statements* (a table header, or a key with its value) and notes
the line of each. Anything inside an inline table or a list has the line of the
statement that contains it. No order, and so no path here, is deeper than four
names.

A *path* leads from the top of the file to a value: ``("cloth", 0, "width")``.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from typing import Final

KeyPath = tuple[str | int, ...]

_DEEPEST: Final = 4

_TOKEN: Final = re.compile(
    r'''(?P<newline>\n)
      | \#[^\n]*
      | (?P<kept> """(?:[^"\\]++|\\.|"(?!""))*+"{3,5} | \'\'\'.*?\'{3,5}
                | "(?:[^"\\\n]++|\\.)*+" | '[^'\n]*'
                | [\[\]{}=.] | [^\s\#"'\[\]{}=.,]++ )''',
    re.VERBOSE | re.DOTALL,
)


def find_lines(text: str) -> dict[KeyPath, int]:
    """The line, counted from 1, of every table and key that starts a statement."""
    lines: dict[KeyPath, int] = {}
    lists: dict[KeyPath, int] = {}
    table: KeyPath = ()
    for line, tokens in _statements(text):
        if tokens[0] == "[":
            table = _opened(tokens, lists)
            path, begun = table, 0
        else:
            path, begun = table + _names(tokens[: tokens.index("=")]), len(table)
        for end in range(begun + 1, len(path) + 1):
            lines.setdefault(path[:end], line)
    return lines


def line_of(lines: Mapping[KeyPath, int], path: KeyPath) -> int | None:
    """The line of a path, or of the nearest enclosing path whose line is known."""
    known = (lines[path[:end]] for end in range(len(path), 0, -1) if path[:end] in lines)
    return next(known, None)


def _statements(text: str) -> Iterator[tuple[int, list[str]]]:
    """Each statement's first line and its tokens, without comments and blanks."""
    line, begun, depth = 1, 1, 0
    tokens: list[str] = []
    for match in _TOKEN.finditer(text + "\n"):
        token = match["kept"]
        if token:
            begun = begun if tokens else line
            tokens.append(token)
            depth += (token in ("[", "{")) - (token in ("]", "}"))
        elif match["newline"] and depth == 0 and tokens:
            yield begun, tokens
            tokens = []
        line += match[0].count("\n")


def _opened(tokens: list[str], lists: dict[KeyPath, int]) -> KeyPath:
    """The path of the table that a header opens; ``lists`` counts the tables of each list."""
    *outer, last = _names([token for token in tokens if token not in ("[", "]")])
    path: KeyPath = ()
    for name in outer:
        path = _latest((*path, name), lists)
    path = (*path, last)
    if tokens[:2] == ["[", "["]:
        lists[path] = lists.get(path, 0) + 1
    return _latest(path, lists)


def _latest(path: KeyPath, lists: Mapping[KeyPath, int]) -> KeyPath:
    return (*path, lists[path] - 1) if path in lists else path


def _names(tokens: list[str]) -> tuple[str, ...]:
    """The first names of a dotted key, without quotes."""
    names = [token for token in tokens if token != "."][:_DEEPEST]
    return tuple(
        tomllib.loads(f"name = {name}")["name"] if name[0] in "\"'" else name for name in names
    )
