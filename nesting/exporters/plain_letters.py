"""A lay whose names hold only plain letters, as old formats need them."""

from dataclasses import replace

from nesting.drawings.ascii_names import ascii_names, ascii_notes
from nesting.layouts.lay import ClothLay


def in_plain_letters(lay: ClothLay) -> tuple[ClothLay, tuple[str, ...]]:
    """The lay with its items and panels spelled in ASCII, and a note for each name changed."""
    items = ascii_names(panel.item for panel in lay.panels)
    names = ascii_names(panel.name for panel in lay.panels)
    spelled = {
        panel: replace(panel, item=items[panel.item], name=names[panel.name])
        for panel in (*lay.panels, *(one.panel for one in lay.placed))
    }
    plain = replace(
        lay,
        panels=tuple(spelled[panel] for panel in lay.panels),
        placed=tuple(replace(one, panel=spelled[one.panel]) for one in lay.placed),
    )
    return plain, (*ascii_notes(items), *ascii_notes(names))
