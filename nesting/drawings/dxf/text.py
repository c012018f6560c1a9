r"""Encodes and decodes text in DXF.

Letters outside code page 1252 are written as ``\U+XXXX``, one for each UTF-16
unit. So are the characters that begin a code of the format itself: ``^``, and
``\`` or ``%`` where the next character would make them a code.
"""

import logging
import re

from ezdxf.lldxf.encoding import decode_dxf_unicode

# The library logs warnings of broken files and of the missing unit of release 12. Users
# learn of both in other ways: from our own errors, and from a square in the drawing.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())

_CODES = re.compile(r"\\(?=[UuMm]\+)|%(?=%)|\^")


def encode(text: str) -> str:
    """Text as DXF stores it."""
    text = _CODES.sub(lambda match: f"\\U+{ord(match[0]):04X}", text)
    return "".join(c if _plain(c) else _units(c) for c in text)


def decode(text: str) -> str:
    """Text as people read it; the two units of a surrogate pair become one character."""
    return decode_dxf_unicode(text).encode("utf-16", "surrogatepass").decode("utf-16", "replace")


def _plain(character: str) -> bool:
    try:
        character.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return True


def _units(character: str) -> str:
    units = character.encode("utf-16-be")
    return "".join(f"\\U+{high:02X}{low:02X}" for high, low in zip(*[iter(units)] * 2, strict=True))
