"""A tetra bag: a tube whose two ends are sewn flat at right angles to each other.

The tube is 2a round and H long. Closed flat, each end is an edge of length a;
the other four edges of the tetrahedron are folds. Its faces are triangles of
base a and height H, so its opposite edges lie √(H² - a²/4) apart and it holds
a²·√(H² - a²/4)/6. It is regular for H = a·√3/2, with a³/(6√2).
"""

import math

from nesting.errors import Fault
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BEADS, BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, EdgeUse, Fact, Seam, SeamRole, marks_along
from nesting.panels.drafting.finished import EdgeSort, FinishedPanel, polygon
from nesting.panels.drafting.sewing import Step
from nesting.panels.measurements import (
    Measurement,
    MeasurementKind,
    Values,
    given_length,
    length,
    number,
)
from nesting.panels.parts.closures import (
    Closing,
    closing,
    closure_faults,
    closure_measurements,
    left_open,
    zip_allowances,
)
from nesting.panels.parts.filling import Fill, fill_measurement, filling_steps, loose_fill
from nesting.panels.product import register
from nesting.sentences import Length, Sentence, at_least, at_most

#: Least and greatest length of the tube for its edge: shorter ones leave the
#: ends no distance (H = a/2 lies flat), longer ones are sleeves.
_SHORTEST, _LONGEST = 0.55, 3.0

_REGULAR = math.sqrt(3) / 2


class TetraBag:
    """A tube of one panel, or of two alike."""

    name = "tetra-bag"
    summary = "tetrahedral bean bag: a tube with its ends sewn flat, at right angles"
    measurements = (
        Measurement(
            "edge",
            MeasurementKind.LENGTH,
            "finished length of each end, half of the way round the tube",
            required=True,
            least=150.0,
            greatest=2_500.0,
            example=800.0,
        ),
        Measurement(
            "length",
            MeasurementKind.LENGTH,
            "finished length of the tube; default: 0.866 of the edge, for a regular one",
            least=100.0,
            greatest=5_000.0,
        ),
        Measurement(
            "pieces",
            MeasurementKind.COUNT,
            "panels that make the tube",
            default=1,
            least=1,
            greatest=2,
        ),
        *closure_measurements("end", kinds=("none", "zip")),
        fill_measurement(Fill.FIBRE, Fill.BEADS),
    )
    cautions = (BEADS, CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Tubes too short or too long for their edge, and bad openings or allowances."""
        found = (*_length_faults(values), *closure_faults(values, _rooms(values)))
        return found or allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """The tube and its two ends; a zip lies in the upper one."""
        edge, long = length(values, "edge"), _tube(values)
        shut = closing(values, _rooms(values))
        pieces = number(values, "pieces")
        seams = _seams(edge, long, pieces, shut)
        apart = math.sqrt(long**2 - edge**2 / 4)
        litres = edge**2 * apart / 6 / 1e6
        return Draft(
            (_panel(edge, long, pieces, zipped=bool(shut)),),
            seams,
            (
                Fact("its two sewn ends are {} long and lie {} apart", (edge, apart)),
                Fact("volume with flat faces; filled tight it bulges and takes more", ()),
            ),
            allowances_mm=zip_allowances(values),
            steps=(*_steps(shut), *filling_steps(values, shut)),
            notions=(*loose_fill(values, litres), *(shut.notions if shut else ())),
            volume_litres=litres,
        )


def _tube(values: Values) -> float:
    return given_length(values, "length", _REGULAR * length(values, "edge"))


def _rooms(values: Values) -> dict[str, float]:
    return {"end": length(values, "edge")}


def _panel(edge: float, long: float, pieces: int, *, zipped: bool) -> FinishedPanel:
    """The tube laid flat, with its circumference across the roll and its upper end at the head.

    The upper end falls into quarters of the way round. Those of one panel are
    two halves and a middle, because the flat end folds a quarter in from the
    side seam; of two panels each has two.
    """
    run = 2 * edge / pieces
    corners = {"lower-front": (0.0, 0.0)} if pieces == 1 else {"lower": (0.0, 0.0)}
    if pieces == 1:
        corners |= {"lower-back": (edge, 0.0), "end": (run, 0.0), "upper-end": (run, long)}
        corners |= {"upper-middle": (1.5 * edge, long), "upper-start": (0.5 * edge, long)}
    else:
        corners |= {"end": (run, 0.0), "upper-end": (run, long), "upper-start": (run / 2, long)}
    drawn = polygon("tube", pieces, corners | {"start": (0.0, long)})
    uppers = [name for name in corners if name.startswith("upper")]
    sorts = dict.fromkeys(uppers, EdgeSort.ZIP) if zipped else {}
    return FinishedPanel("tube", pieces, drawn.edges, sorts=sorts).turned(270)


def _seams(edge: float, long: float, pieces: int, shut: Closing | None) -> tuple[Seam, ...]:
    """The side of the tube, its lower end, and its upper end turned by a quarter."""

    def use(name: str) -> EdgeUse:
        return EdgeUse("tube", name)

    end, start, half = (use("end"),), (use("start"),), marks_along(long, 2)
    side = Seam("side", end, start, half, times=pieces, role=SeamRole.JOIN)
    halves = marks_along(edge, 2)
    around: tuple[tuple[EdgeUse, ...], tuple[EdgeUse, ...]]
    if pieces == 1:
        low = Seam("lower end", (use("lower-front"),), (use("lower-back"),), halves)
        around = (use("upper-middle"),), (use("upper-end"), use("upper-start"))
    else:
        low = Seam("lower end", (use("lower"),), (use("lower"),), halves)
        around = (use("upper-start"), use("upper-end")), (use("upper-end"), use("upper-start"))
    high = Seam("upper end", around[0], around[1], halves)
    return side, low, left_open(high, edge, shut.length_mm) if shut else high


def _steps(shut: Closing | None) -> tuple[Step, ...]:
    last = (
        "sew the zip into the upper end, side seam to the middle of the zip, and close the "
        "seam beyond its ends"
        if shut
        else "fold the upper end flat a quarter round, side seam in the middle of it, and sew it, "
        "with {opening} left open"
    )
    return (
        Step("sew the tube together at its side, right sides together", ("side",)),
        Step("fold the lower end flat, a side seam on its fold, and sew it shut", ("lower end",)),
        Step(last, ("upper end",)),
    )


def _length_faults(values: Values) -> tuple[Fault, ...]:
    edge, long = length(values, "edge"), _tube(values)
    least, greatest = round(_SHORTEST * edge, 6), round(_LONGEST * edge, 6)
    if least <= long <= greatest:
        return ()
    words = "must be between {} and {} for an edge of {}"
    rule = Sentence(words, (at_least(least), at_most(greatest), Length(edge)))
    remedy = "remove it for a regular tetrahedron"
    return (Fault("length", rule, Length(long), remedy),)


register(TetraBag())
