"""A liner: the inner bag of a filled article, of the same panels as its cover but larger.

It is the draft of the same product without what concerns the outside alone (closure,
welt, buttons, handles), with every length multiplied, so that its seams meet as those
of the cover do. It is sewn shut for good after filling.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import takewhile
from typing import Final

from nesting.panels.drafting.draft import Draft, EdgeUse, Fact, Seam
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.sewing import Step, Stitch, Task
from nesting.panels.measurements import Measurement, Values
from nesting.panels.parts.filling import INNER_BAG, Fill, fill_of, lined_steps, with_openings

#: By how much a liner is longer and wider than its cover, in per cent, so that the cover
#: takes the strain of the filling (common practice: 2 to 3 %).
LARGER_PERCENT: Final = 3.0

#: What comes before the names of its panels.
PREFIX: Final = "liner-"


def values_of_liner(values: Values, measurements: Iterable[Measurement]) -> Values:
    """The measurements of an article with the defaults of all that concerns the outside alone."""
    return {**values, **{each.name: each.default for each in measurements if each.outside}}


def with_liner(cover: Draft, liner: Draft, values: Values) -> Draft:
    """The draft of an article with its liner.

    Parameters
    ----------
    cover
        The article without a liner.
    liner
        The same product, drafted with `values_of_liner`.
    values
        The measurements of the article.
    """
    factor = 1 + LARGER_PERCENT / 100
    larger = replace(liner, panels=tuple(panel.enlarged(factor) for panel in liner.panels))
    larger = with_openings(larger, values)
    stitch = Stitch.TWO_ROWS if fill_of(values) is Fill.BEADS else Stitch.LOCKSTITCH
    return replace(
        cover,
        panels=(*cover.panels, *map(_lining, larger.panels)),
        seams=(*cover.seams, *(_sewn_in_liner(seam, factor, stitch) for seam in larger.seams)),
        facts=(*cover.facts, _FACT),
        steps=(*_steps_of_liner(larger), *_with_filling(cover.steps, lined_steps(values))),
        notions=tuple(notion for notion in cover.notions if notion != INNER_BAG),
    )


_FACT: Final = Fact(
    f"liner: every panel {LARGER_PERCENT:g} % longer and wider than that of the cover, so that "
    "the cover takes the strain",
    (),
)


def _lining(panel: FinishedPanel) -> FinishedPanel:
    parts = tuple(f"{PREFIX}{part}" for part in panel.parts)
    return replace(panel, name=f"{PREFIX}{panel.name}", parts=parts, lining=True)


def _sewn_in_liner(seam: Seam, factor: float, stitch: Stitch) -> Seam:
    return replace(
        seam,
        name=_seam_name(seam.name),
        first=tuple(map(_use, seam.first)),
        second=tuple(map(_use, seam.second)),
        stitch=stitch,
        overlap_mm=factor * seam.overlap_mm,
        from_mm=factor * seam.from_mm,
    )


def _seam_name(name: str) -> str:
    return f"liner: {name}"


def _use(use: EdgeUse) -> EdgeUse:
    part = f"{PREFIX}{use.part}" if use.part else ""
    return replace(use, panel=f"{PREFIX}{use.panel}", part=part)


def _steps_of_liner(liner: Draft) -> Iterator[Step]:
    """The steps that sew the liner, up to turning it."""
    for step in takewhile(lambda step: step.task is Task.SEW, liner.steps):
        named = tuple(map(_seam_name, step.seams))
        yield replace(step, words=f"liner: {step.words}", seams=named)
    yield Step(
        "turn the liner right side out through its opening, and check every seam of it",
        stitch=Stitch.NONE,
    )


def _with_filling(steps: Iterable[Step], lined: tuple[Step, ...]) -> Iterator[Step]:
    """The steps of the cover, filled through the liner."""
    waiting = lined
    for step in steps:
        if step.task is Task.CLOSE:
            yield from waiting
            waiting = ()
        if step.task is Task.SEW:
            yield replace(step, words=f"cover: {step.words}")
        elif step.task is not Task.FILL:
            yield step
