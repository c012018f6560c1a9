r"""Text as DXF holds it.

Letters outside code page 1252 are written as ``\U+XXXX``, one for each UTF-16
unit, and so are the characters that begin a code of the format itself (``^``,
and ``\`` or ``%`` before another that makes a code).
"""

import logging
import re

from ezdxf.lldxf.encoding import decode_dxf_unicode

# The library warns of broken files, and that release 12 has no unit: users are
# told otherwise, by our own errors and by a square in the drawing.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())

_CODES = re.compile(r"\\(?=[UuMm]\+)|%(?=%)|\^")


def coded(text: str) -> str:
    """Text as the file holds it."""
    text = _CODES.sub(lambda match: f"\\U+{ord(match[0]):04X}", text)
    return "".join(c if _plain(c) else _units(c) for c in text)


def decoded(text: str) -> str:
    """Text as people read it; halves of one character join again."""
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
