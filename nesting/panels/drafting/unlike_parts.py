"""Gives equal parts separate drawings if their notches differ.

A pair of plates is one drawing, cut twice, if its seams put the same marks on
both. If the boxing is joined at different places along the two rims, or has a
zip on one side, the marks differ: a notch of one plate would have no partner.
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

    Also returns the former panel of each such part, by the part's name.
    """
    was = {part: panel.name for panel in _marked_differently(draft) for part in panel.parts}
    divided = set(was.values())
    panels = tuple(
        each
        for panel in draft.panels
        for each in (_parts(panel) if panel.name in divided else (panel,))
    )

    def renamed_run(run: tuple[EdgeUse, ...]) -> tuple[EdgeUse, ...]:
        return tuple(
            replace(use, panel=use.part, part="") if use.part in was else use for use in run
        )

    def renamed(seam: Seam) -> Seam:
        return replace(seam, first=renamed_run(seam.first), second=renamed_run(seam.second))

    return replace(draft, panels=panels, seams=tuple(map(renamed, draft.seams))), was


def _marked_differently(draft: Draft) -> Iterator[FinishedPanel]:
    """Panels whose parts are all sewn by name and do not all have the same notches."""
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
    """Whether each notch has an equal one among the others, apart from rounding."""
    return all(
        any((edge, double) == (e, d) and abs(at - a) < _SAME_MM for e, a, d in others)
        for edge, at, double in some
    )


def _parts(panel: FinishedPanel) -> Iterator[FinishedPanel]:
    for part in panel.parts:
        yield replace(panel, name=part, per_item=1, parts=())
