"""The kinds of file that can be written, by the names that users give."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class Format(StrEnum):
    """A kind of file."""

    DXF = "dxf"
    DXF_R12 = "dxf-r12"
    SVG = "svg"
    PLT = "plt"
    PDF = "pdf"
    XLSX = "xlsx"
    HTML = "html"
    CSV = "csv"
    MAKE_UP = "make-up"


#: Formats for a lay (layout.json is always written), and those written by default.
LAY_FORMATS: Final = (
    Format.DXF, Format.DXF_R12, Format.SVG, Format.PLT,
    Format.PDF, Format.XLSX, Format.HTML, Format.CSV, Format.MAKE_UP,
)  # fmt: skip
LAY_DEFAULTS: Final = (Format.DXF, Format.SVG, Format.HTML, Format.CSV, Format.MAKE_UP)

#: Formats for panels before they are laid, and those written by default.
PANEL_FORMATS: Final = (
    Format.DXF, Format.SVG, Format.PLT, Format.PDF, Format.HTML, Format.MAKE_UP,
)  # fmt: skip
PANEL_DEFAULTS: Final = (Format.DXF, Format.PDF, Format.HTML, Format.MAKE_UP)


#: Formats of drawings that a machine draws or cuts, for a pen or a knife. Pattern pieces
#: (DXF of panels) are none: they are exchanged, with layers of their own.
LAY_MACHINE_FORMATS: Final = (Format.DXF, Format.DXF_R12, Format.SVG, Format.PLT)
PANEL_MACHINE_FORMATS: Final = (Format.SVG, Format.PLT)


@dataclass(frozen=True)
class Export:
    """Contents of files by name, and notes for their reader."""

    files: Mapping[str, bytes]
    notes: tuple[str, ...] = ()


def joined(exports: tuple[Export, ...]) -> Export:
    """All files of several exports, and each of their notes once."""
    files = {name: data for each in exports for name, data in each.files.items()}
    notes = dict.fromkeys(note for each in exports for note in each.notes)
    return Export(files, tuple(notes))
