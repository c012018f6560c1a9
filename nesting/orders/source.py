"""Reads a file as a TOML document and reports what is wrong before any key is read."""

import re
import tomllib
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any, Final, NoReturn

from nesting.errors import AccessError, Fault, OrderError, written

#: An order of a thousand items is a few hundred kilobytes.
MOST_BYTES: Final = 5_000_000

_BYTE_ORDER_MARK: Final = b"\xef\xbb\xbf"
_AS_TEXT: Final = "open it in a text editor and save it as plain text in UTF-8"
_SYNTAX: Final = (
    "write key = value, one on a line, text between quotation marks, and no key twice in a table"
)


def read_text(path: Path) -> str:
    """The text of an order file.

    Raises
    ------
    AccessError
        When there is no such file, or it may not be read.
    OrderError
        When it is not text in UTF-8, or too large for an order.
    """
    data = _read_bytes(path)
    if len(data) > MOST_BYTES:
        _refuse(f"must not be larger than {MOST_BYTES // 10**6} MB", "check that it is an order")
    if b"\0" in data:
        line = data.count(b"\n", 0, data.index(b"\0")) + 1
        _refuse("must be text", _AS_TEXT, "a zero byte", line)
    data = data.removeprefix(_BYTE_ORDER_MARK)
    try:
        return data.decode()
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        _refuse("must be text in UTF-8", _AS_TEXT, f"byte 0x{data[error.start]:02X}", line)


def _read_bytes(path: Path) -> bytes:
    """The bytes of a file; at most one more than an order may have."""
    try:
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        msg = f"{path} is not there: check the name, or write a new order with clothwright new"
        raise AccessError(msg) from None
    except IsADirectoryError:
        msg = f"{path} is a folder: name the order file in it"
        raise AccessError(msg) from None
    except (OSError, ValueError) as error:  # ValueError: no file can have such a name
        reason = getattr(error, "strerror", None) or error
        msg = f"{path} cannot be read ({reason}): check the name, and who may read the file"
        raise AccessError(msg) from None


def parse_toml(text: str) -> dict[str, Any]:
    """Parse a TOML text; numbers with a decimal point are exact decimals.

    Raises
    ------
    OrderError
        When it is not TOML, with the line where reading stopped.
    """
    try:
        return tomllib.loads(text, parse_float=_decimal)
    except tomllib.TOMLDecodeError as error:
        _refuse_syntax(text, str(error))
    except RecursionError:
        _refuse("must not hold lists within lists so deep", "take some of the brackets out")
    except ValueError:  # more digits than Python turns into a number
        _refuse("must not hold such a long number", "check the number", *_longest_number(text))


def _decimal(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        msg = "the exponent is too large"
        raise ValueError(msg) from None


def _longest_number(text: str) -> tuple[str, int | None]:
    """The longest number of the text, which the error is about, and its line."""
    numbers = re.finditer(r"[0-9][0-9_.eE+-]*", text)
    longest = max(numbers, key=lambda match: len(match[0]), default=None)
    if longest is None:
        return "", None
    return written(longest[0]).strip('"'), text.count("\n", 0, longest.start()) + 1


def _refuse_syntax(text: str, message: str) -> NoReturn:
    """Report a syntax error, with the line taken from the parser's message."""
    reason, _, place = message.partition(" (at ")
    found = re.match(r"line ([0-9]+)", place)
    lines = text.split("\n")
    line = int(found[1]) if found else len(lines)
    rule = f"must be TOML ({reason[:1].lower()}{reason[1:80]})"
    _refuse(rule, _SYNTAX, written(lines[line - 1].strip()), line)


def _refuse(rule: str, remedy: str, value: str = "", line: int | None = None) -> NoReturn:
    raise OrderError([Fault("the order file", rule, value, remedy, line)])
