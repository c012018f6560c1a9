"""Options of drawings for machines: arcs in DXF, and what an HP-GL plotter can do."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Final, TypeVar

import typer

from cli.options import read_length
from nesting.errors import Fault, OrderError, written

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from nesting.drawings.drawing import Pen
    from nesting.drawings.hpgl.writer import Origin, Plotter

_Read = TypeVar("_Read")

#: A shorter frame or a narrower plotter is a mistake in the unit.
_LEAST_MM: Final = 50.0

#: A plotter has no more pens than this.
_MOST_PENS: Final = 99

Arcs = Annotated[
    bool, typer.Option("--arcs", help="In DXF, draw smooth curves as arcs instead of chords.")
]
PlotFrame = Annotated[
    str | None,
    typer.Option(
        "--plot-frame",
        metavar="LENGTH",
        help="HP-GL: length that the plotter draws before it feeds paper.  [default: all at once]",
    ),
]
PlotWidth = Annotated[
    str | None,
    typer.Option("--plot-width", metavar="LENGTH", help="HP-GL: width that the plotter can draw."),
]
PlotOrigin = Annotated[
    str,
    typer.Option(
        "--plot-origin",
        metavar="PLACE",
        help="HP-GL: origin of coordinates, corner or centre.",
    ),
]
Plot16Bit = Annotated[
    bool,
    typer.Option("--plot-16-bit", help="HP-GL: keep coordinates within 16 bits (old devices)."),
]
PlotPens = Annotated[
    str | None,
    typer.Option(
        "--plot-pens",
        metavar="LIST",
        help="HP-GL: pen for each kind of line, such as cut=1,stitch=2,label=0 (0: not drawn).",
    ),
]


@dataclass(frozen=True)
class PlotOptions:
    """The options of a plotter as they were typed."""

    frame: str | None
    width: str | None
    origin: str
    sixteen_bit: bool
    pens: str | None

    def read(self, units: str) -> "Plotter":
        """Read the options; lengths without a unit are in ``units``.

        Raises
        ------
        OrderError
            With every option whose value is wrong.
        """
        from nesting.drawings.hpgl.writer import OWN_PENS, Origin, Plotter

        faults: list[Fault] = []
        frame = _read_or_note(faults, lambda: _length("--plot-frame", self.frame, units))
        width = _read_or_note(faults, lambda: _length("--plot-width", self.width, units))
        origin = _read_or_note(faults, lambda: _origin(self.origin)) or Origin.CORNER
        pens = _read_or_note(faults, lambda: read_pens(self.pens)) or OWN_PENS
        if faults:
            raise OrderError(faults)
        return Plotter(frame, width, origin, self.sixteen_bit, pens)


def pen_notes(plotter: "Plotter") -> tuple[str, ...]:
    """A warning of each pen that many plotters do not have."""
    from nesting.drawings.hpgl.writer import USUAL_PENS

    return tuple(
        f"pen {number} for {kind}: a plotter of eight pens takes it as one of the eight, "
        "perhaps that of the cut: choose one from 1 to 8 unless your plotter has more"
        for kind, number in plotter.pens.items()
        if number > USUAL_PENS
    )


def _read_or_note(faults: list[Fault], read: "Callable[[], _Read]") -> _Read | None:
    """The value that was read, or None after noting the faults of a wrong one."""
    try:
        return read()
    except OrderError as error:
        faults += error.faults
        return None


def _length(option: str, text: str | None, units: str) -> float | None:
    if text is None:
        return None
    length = read_length(option, text, units)
    if length < _LEAST_MM:
        rule = f"must be at least {_LEAST_MM:g} mm"
        raise OrderError([Fault(option, rule, written(text), f'for example {option} "60 cm"')])
    return length


def _origin(text: str) -> "Origin":
    from nesting.drawings.hpgl.writer import Origin

    if text not in tuple(Origin):
        rule = "must be corner or centre"
        raise OrderError([Fault("--plot-origin", rule, written(text), "--plot-origin centre")])
    return Origin(text)


def read_pens(text: str | None) -> "Mapping[Pen, int]":
    """The pen for each kind of line, the usual one unless the text names another.

    Raises
    ------
    OrderError
        With every entry that is not a kind of line and its pen.
    """
    from nesting.drawings.drawing import Pen
    from nesting.drawings.hpgl.writer import OWN_PENS

    pens = dict(OWN_PENS)
    faults = []
    for entry in [] if text is None else text.split(","):
        kind, _, number = (part.strip() for part in entry.partition("="))
        if kind in tuple(Pen) and number.isdecimal() and int(number) <= _MOST_PENS:
            pens[Pen(kind)] = int(number)
        else:
            rule = f"must be a kind of line and a pen from 0 to {_MOST_PENS}"
            known = f"the kinds are {', '.join(Pen)}; for example cut=1,stitch=2"
            faults.append(Fault("--plot-pens", rule, written(entry.strip()), known))
    if faults:
        raise OrderError(faults)
    return pens
