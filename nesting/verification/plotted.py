"""Whether a file shows the drawing that it was made from, with whichever pens it was written.

Kinds of line that share a pen cannot be told apart in the file: they are
compared together. Kinds that are left out are not compared.
"""

from collections.abc import Iterator
from math import dist
from typing import Final

import numpy as np

from nesting.drawings.ascii_names import ascii_text
from nesting.drawings.drawing import Drawing, Pen, Text
from nesting.drawings.tool import FOLLOWED, Tool
from nesting.errors import Fault, OrderError
from nesting.tolerances import DEPTH_MM, FLOAT_MM
from nesting.verification.claims import at
from nesting.verification.curves import as_curves, match, match_joined, middles, run_of
from nesting.verification.findings import Finding, Rule, finding

#: Without these nobody knows which panel lies where, and how it is turned.
_NEEDED: Final = (Pen.CUT, Pen.GRAIN, Pen.LABEL)

#: Kinds whose lines are looked for one by one: those of another kind would be taken for them.
_ALONE: Final = (Pen.CUT, Pen.GRAIN, Pen.DRILL, Pen.SELVEDGE, Pen.FLAW)

#: What a kind may share its pen with all the same: labels are texts, of which no line is
#: drawn, and the lines of the cloth are compared together.
_MAY_SHARE: Final = {
    **dict.fromkeys(_ALONE, frozenset({Pen.LABEL})),
    **dict.fromkeys((Pen.SELVEDGE, Pen.FLAW), frozenset({Pen.LABEL, Pen.SELVEDGE, Pen.FLAW})),
}


def must_tell_kinds(plot: Drawing, tool: Tool = Tool.PEN) -> None:
    """Refuse a plot whose pens leave in doubt which panel lies where.

    Raises
    ------
    OrderError
        With each kind of line that must be drawn, or must have a pen of its own.
    """
    held = tuple(Pen) if tool is Tool.PEN else FOLLOWED
    needed = [pen for pen in _NEEDED if pen in held]
    faults = [_fault(pen, "must be drawn", "0") for pen in needed if pen in plot.left_out]
    for pen in (pen for pen in _ALONE if pen in held):
        others = [each for each in plot.told_as(pen) if each not in {pen, *_MAY_SHARE[pen]}]
        if others:
            shared = f"shared with {', '.join(others)}"
            faults.append(
                _fault(pen, "must have a pen of its own for a plot to be checked", shared)
            )
    if faults:
        raise OrderError(faults)


def _fault(pen: Pen, rule: str, value: str) -> Fault:
    remedy = "check layout.json, or a plot of the same lay with the usual pens"
    return Fault("--plot-pens", f"{pen} {rule}", value, remedy)


def check_file(plot: Drawing, meant: Drawing) -> tuple[Finding, ...]:
    """Every line and text in which a file that was read back differs from what was meant.

    It may be of any format. ``plot`` knows which kinds share a pen and which are left out.
    """
    kinds = dict.fromkeys(plot.told_as(pen) for pen in Pen if pen not in plot.left_out)
    lines = (found for each in kinds for found in _check_lines(plot, meant, each))
    return (*check_known(plot, meant.title), *lines, *_check_texts(plot, meant))


def unreadable(error: OrderError) -> tuple[Finding, ...]:
    """Findings for what a reader could make nothing of in a file of our own."""
    return tuple(
        finding(Rule.READABLE, str(fault.place), f"{fault.rule}: {fault.value}")
        for fault in error.faults
    )


def check_known(drawing: Drawing, name: str) -> Iterator[Finding]:
    """Findings about what a file draws on pens, layers or groups that no kind of line has."""
    for one in dict.fromkeys(drawing.unknown):
        yield finding(Rule.KNOWN, name, f"it has {one}")


def _check_lines(plot: Drawing, meant: Drawing, kinds: tuple[Pen, ...]) -> Iterator[Finding]:
    own, drawn = (
        as_curves([run_of(path) for path in each.paths if path.pen in kinds])
        for each in (meant, plot)
    )
    for matching in (match, match_joined):
        pairs = matching(own, drawn, FLOAT_MM + 2 * plot.within)
        own = np.delete(own, [one for one, _, _ in pairs])
        drawn = np.delete(drawn, [other for _, other, _ in pairs])
    name = " or ".join(kinds)
    for wrong, curves in (("no", own), ("one too many:", drawn)):
        for middle in middles(curves):
            detail = f"{wrong} line of the kind {name} {at(middle)}"
            yield finding(Rule.PLOTTED, meant.title, detail)


def _check_texts(plot: Drawing, meant: Drawing) -> Iterator[Finding]:
    left: dict[str, list[Text]] = {}
    for text in plot.texts:
        left.setdefault(text.content, []).append(text)
    for text in meant.texts:
        if text.pen in plot.left_out:
            continue
        plain = ascii_text(text.content)
        drawn = [
            each for name in dict.fromkeys((text.content, plain)) for each in left.get(name, ())
        ]
        found = next((each for each in drawn if _same(each, text, plot)), None)
        if found is None:
            yield finding(Rule.PLOTTED, meant.title, f"no text {plain} {at(text.at)}")
        else:
            left[found.content].remove(found)
    for text in (each for drawn in left.values() for each in drawn):
        detail = f"one text too many: {text.content} {at(text.at)}"
        yield finding(Rule.PLOTTED, meant.title, detail)


def _same(drawn: Text, meant: Text, plot: Drawing) -> bool:
    """Whether a text of the same words was meant; a pen may draw texts of several kinds."""
    allowed = plot.within + DEPTH_MM
    near = dist(drawn.at, meant.at) <= allowed and abs(drawn.height - meant.height) <= allowed
    turned = (drawn.angle - meant.angle + 180) % 360 - 180
    return near and abs(turned) < 1 and drawn.pen in plot.told_as(meant.pen)
