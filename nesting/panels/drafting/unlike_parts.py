"""Parts that share a drawing until their notches differ.

A pair of plates is one drawing cut twice as long as its seams mark both alike.
Boxing joined at different places along either rim, or a zip on one side, marks
them differently: a notch of one would have no partner on the other.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final

from nesting.panels.drafting.draft import Draft, EdgeUse, Seam
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.notches import seam_places

#: Millimetres within which two notches are at the same place.
_SAME_MM: Final = 0.1

#: Notches of a panel: on which edge, where on it, and whether double.
NotchSet = set[tuple[str, float, bool]]


def divide_unlike_parts(draft: Draft) -> tuple[Draft, Mapping[str, str]]:
    """The draft with a drawing for each part of a panel whose parts are marked differently.

    Also the panel that each such part was: the part is called by its own name now.
    """
    was = {part: panel.name for panel in _marked_differently(draft) for part in panel.parts}
    divided = set(was.values())
    panels = tuple(
        each
        for panel in draft.panels
        for each in (_parts(panel) if panel.name in divided else (panel,))
    )

    def called(run: tuple[EdgeUse, ...]) -> tuple[EdgeUse, ...]:
        return tuple(
            replace(use, panel=use.part, part="") if use.part in was else use for use in run
        )

    def renamed(seam: Seam) -> Seam:
        return replace(seam, first=called(seam.first), second=called(seam.second))

    return replace(draft, panels=panels, seams=tuple(map(renamed, draft.seams))), was


def _marked_differently(draft: Draft) -> Iterator[FinishedPanel]:
    """Panels of which every part is sewn by its name, and not all with the same notches."""
    uses = {(u.panel, u.part) for seam in draft.seams for u in (*seam.first, *seam.second)}
    marked = defaultdict[tuple[str, str], NotchSet](set)
    for seam in draft.seams:
        for _, use, place, double in seam_places(draft, seam):
            marked[use.panel, use.part].add((use.edge, place, double))
    for panel in draft.panels:
        named = {part for name, part in uses if name == panel.name}
        if len(panel.parts) == panel.per_item > 1 and named == set(panel.parts):
            first, *others = (marked[panel.name, part] for part in panel.parts)
            if not all(_within(first, other) and _within(other, first) for other in others):
                yield panel


def _within(some: NotchSet, others: NotchSet) -> bool:
    """Whether each notch has one like it, rounding apart, among others."""
    return all(
        any((edge, double) == (e, d) and abs(at - a) < _SAME_MM for e, a, d in others)
        for edge, at, double in some
    )


def _parts(panel: FinishedPanel) -> Iterator[FinishedPanel]:
    for part in panel.parts:
        yield replace(panel, name=part, per_item=1, parts=())
