"""How many pieces a long strip is cut in, read from the drawing of a lay.

Labels name every panel, so the drawing itself shows what was chosen where the
order says "auto": of the numbers that a plan tries, it is the one whose panels
are those of the drawing. Nothing needs to be recorded, and nothing is packed.
A strip that is cut from another cloth shows only by its notches on the other
panels. Then several numbers fit the labels, and the one is taken for which a
copy of the item has the fewest findings.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nesting.cloth.cloth import Cloth
from nesting.drawings.drawing import Drawing
from nesting.drawings.tool import Tool
from nesting.layouts.lay import Choice
from nesting.orders.order import Item, Order
from nesting.panels.making import Made
from nesting.panels.measurements import Measurement
from nesting.panels.panel import Panel
from nesting.planning.auto import misfits, numbered, open_measurements, strips_of
from nesting.planning.cloth_panels import panels_from
from nesting.planning.items import make_item, with_value
from nesting.verification.drawn import check_drawing
from nesting.verification.drawn_panels import (
    DrawnPanel,
    one_copy,
    part_around,
    read_panels,
    unmatched,
    unmatched_areas,
)
from nesting.verification.knife import check_knife_drawing


@dataclass(frozen=True)
class _Trial:
    """An item made with a number of pieces, and all panels then cut from the cloth."""

    pieces: int
    made: Made
    panels: tuple[Panel, ...]


def read_pieces(
    order: Order, cloth: Cloth, drawing: Drawing, tool: Tool = Tool.PEN
) -> tuple[Choice, ...]:
    """The number that the drawing of a cloth's lay shows for every "auto" in its order."""
    drawn, _ = read_panels(drawing)
    made = [make_item(item) for item in order.items]
    choices: list[Choice] = []
    for index, item in enumerate(order.items):
        known = item
        for measurement in open_measurements(item):
            trials = [
                _Trial(pieces, parts, panels_from(cloth, _with(made, index, parts)).panels)
                for pieces, parts in _fitting(order, known, measurement)
            ]
            if trials:
                if tool is Tool.KNIFE:
                    best = _fewest_findings(_nearest_in_area(trials, drawn), cloth, drawing)
                else:
                    best = _soundest(_nearest(trials, drawn), cloth, drawing, drawn)
                made[index] = best.made
                known = with_value(known, measurement.name, best.pieces)
                choices.append(Choice(item.name, measurement.name, best.pieces))
    return tuple(choices)


def _fitting(order: Order, item: Item, measurement: Measurement) -> Iterator[tuple[int, Made]]:
    """The item made with each number that leaves the fewest panels too large for their cloths."""
    if strips_of(item, measurement):
        tries = numbered(order.cloths, item, measurement)
        made = {pieces: make_item(tried) for pieces, tried in tries}
        too_large = {pieces: misfits(order.cloths, parts) for pieces, parts in made.items()}
        fewest = min(too_large.values(), default=0)
        yield from ((pieces, made[pieces]) for pieces in made if too_large[pieces] == fewest)


def _with(made: Sequence[Made], index: int, parts: Made) -> list[Made]:
    return [*made[:index], parts, *made[index + 1 :]]


def _nearest(trials: Sequence[_Trial], drawn: Sequence[DrawnPanel]) -> list[_Trial]:
    """The trials whose panels differ least from those of the drawing."""
    differences = [unmatched(drawn, trial.panels) for trial in trials]
    least = min(differences)
    return [trial for trial, each in zip(trials, differences, strict=True) if each == least]


def _nearest_in_area(trials: Sequence[_Trial], drawn: Sequence[DrawnPanel]) -> list[_Trial]:
    """The trials whose panels differ least in area from outlines without labels."""
    differences = [unmatched_areas(drawn, trial.panels) for trial in trials]
    least = min(differences)
    return [trial for trial, each in zip(trials, differences, strict=True) if each == least]


def _fewest_findings(trials: Sequence[_Trial], cloth: Cloth, drawing: Drawing) -> _Trial:
    """The trial that a drawing for a knife agrees with best; the first of equals."""
    if len(trials) == 1:
        return trials[0]
    return min(trials, key=lambda one: len(check_knife_drawing(drawing, cloth, one.panels)))


def _soundest(
    trials: Sequence[_Trial], cloth: Cloth, drawing: Drawing, drawn: Sequence[DrawnPanel]
) -> _Trial:
    """The trial with the fewest findings on one copy of the item; the first of equals."""
    first, *others = trials
    if all(trial.panels == first.panels for trial in others):
        return first
    part = part_around(drawing, one_copy(drawn, first.panels, first.made.panels[0].item))

    def findings(trial: _Trial) -> int:
        return len(check_drawing(part, cloth, panels_from(cloth, [trial.made]).panels))

    return min(trials, key=findings)
