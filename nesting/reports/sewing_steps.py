"""The order of sewing in words: each step with the seams that it closes."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from nesting.panels.drafting.draft import EdgeUse, Fact
from nesting.panels.drafting.seams import SeamMeasure
from nesting.panels.drafting.sewing import Step, Stitch
from nesting.panels.making import Made
from nesting.panels.panel import Panel
from nesting.units import format_length, format_roundly, to_grid

#: Per cent from which the longer edge is gathered rather than eased in (common practice).
_GATHERED = 15.0

#: Stitches that a step without seams may name; in other steps nothing is sewn.
_BY_THEMSELVES = (Stitch.HAND, Stitch.TOPSTITCH, Stitch.ROLLED_EDGE, Stitch.GATHERING)


@dataclass(frozen=True)
class SeamRow:
    """One seam as the machinist needs it; ``first`` and ``second`` name its two edges."""

    name: str
    first: str
    second: str
    times: str
    length: str
    opening: str
    ease: str
    allowance: str
    notches: str
    stitch: str


@dataclass(frozen=True)
class StepRow:
    """One step with its number, its words, and its seams."""

    number: int
    words: str
    stitch: str
    seams: tuple[SeamRow, ...]


def step_rows(made: Made, units: str) -> tuple[StepRow, ...]:
    """The steps of one item in the order of sewing; every seam is in one of them."""
    numbers = panel_numbers(made.panels)
    names = {part: display_name(panel) for panel in made.panels for part in panel.parts}
    seams = {seam.seam: seam for seam in made.seams}
    covered = {name for step in made.steps for name in step.seams}
    rest = tuple(name for name in seams if name not in covered)
    steps = (*made.steps, *([Step("sew the remaining seams", rest)] if rest else ()))
    return tuple(
        StepRow(
            number=number,
            words=_capitalise(_words(step, seams, units)),
            stitch="" if step.seams or step.stitch not in _BY_THEMSELVES else step.stitch.value,
            seams=tuple(_seam(seams[name], numbers, names, units) for name in step.seams),
        )
        for number, step in enumerate(steps, start=1)
    )


def _words(step: Step, seams: Mapping[str, SeamMeasure], units: str) -> str:
    """The words of a step with its lengths and the size of the opening that it leaves."""
    opened = [seams[name] for name in step.seams if seams[name].opening_mm]
    size = _size(opened[0], units) if opened else ""
    words = step.words.replace("{opening}", size)
    return Fact(words, step.lengths_mm).in_unit(units)


def panel_numbers(panels: Sequence[Panel]) -> dict[str, str]:
    """The numbers on the drawings, by the names that seams use for the panels."""
    numbers: dict[str, list[str]] = {}
    for number, panel in enumerate(panels, start=1):
        for name in (panel.drafted_as or panel.name, *panel.parts):
            numbers.setdefault(name, []).append(str(number))
    return {name: " or ".join(each) for name, each in numbers.items()}


def display_name(panel: Panel) -> str:
    """The name of a panel; if equal panels are of another cloth, also which it is and its cloth."""
    if not panel.parts:
        return panel.name
    which = " and ".join(part.removesuffix(f"-{panel.drafted_as}") for part in panel.parts)
    return f"{panel.drafted_as} ({which}, {panel.cloth})"


def _seam(
    seam: SeamMeasure, numbers: Mapping[str, str], names: Mapping[str, str], units: str
) -> SeamRow:
    return SeamRow(
        name=seam.seam,
        first=" + ".join(_edges(seam.first_run, numbers, names)),
        second=" + ".join(_edges(seam.second_run, numbers, names)),
        times="once" if seam.times == 1 else f"{seam.times} times",
        length=format_length(to_grid(seam.second_mm), units),
        opening=_opening(seam, units),
        ease=_ease(seam, units),
        allowance=_allowance(seam, units),
        notches=_notches(seam),
        stitch=seam.stitch.value,
    )


def _edges(
    run: Iterable[EdgeUse], numbers: Mapping[str, str], names: Mapping[str, str]
) -> Iterator[str]:
    """Each edge of one side of a seam, after the number and name of its panel.

    If several edges of a panel follow each other, only the first has them.
    """
    before = ""
    for use in run:
        once = use.times == 1
        if once and use.panel == before:
            yield use.edge
        else:
            times = "" if once else f"{use.times} × "
            panel = names.get(use.panel, use.panel)
            yield f"{times}[{numbers[use.panel]}] {panel} {use.edge}"
        before = use.panel if once else ""


def _opening(seam: SeamMeasure, units: str) -> str:
    if not seam.opening_mm:
        return ""
    return f"leave {_size(seam, units)} open"


def _size(seam: SeamMeasure, units: str) -> str:
    """The size of an opening: exact for a zip, for the hand in round figures."""
    size = format_length if seam.zipped else format_roundly
    return size(to_grid(seam.opening_mm), units)


def _ease(seam: SeamMeasure, units: str) -> str:
    if seam.overlap_mm:
        over = format_length(to_grid(seam.overlap_mm), units)
        return f"lap the end of the first edge over its start by {over}"
    if not seam.ease_percent:
        return ""
    how = "gather" if seam.ease_percent >= _GATHERED else "ease"
    return f"the first edge is {seam.ease_percent:g} % longer: {how} it in"


def _allowance(seam: SeamMeasure, units: str) -> str:
    widths = [format_length(to_grid(width), units) for width in seam.allowances_mm]
    return " and ".join(widths) if any(seam.allowances_mm) else "none"


def _notches(seam: SeamMeasure) -> str:
    single, double = seam.notches
    if not any(seam.allowances_mm) or not single + double:
        return "none"
    counts = ((single, "single"), (double, "double"))
    return ", ".join(f"{count} {sort}" for count, sort in counts if count)


def _capitalise(sentence: str) -> str:
    """The sentence with a capital first letter."""
    return sentence[:1].upper() + sentence[1:]
