"""A panel of any shape, from the maker's own DXF or SVG drawing."""

import math
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Final

from nesting.errors import Fault, OrderError, written
from nesting.geometry.curves import Curve, Point, arc
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, FIRE_IF_SEATING, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, Fact
from nesting.panels.drafting.finished import CutLine, Drill, FinishedPanel
from nesting.panels.drawn.shapes import Shape, read_shapes
from nesting.panels.measurements import Measurement, MeasurementKind, Values, length
from nesting.panels.product import register
from nesting.sentences import Length, Sentence

#: Radius of the drawing that the product is shown with: half a round (mm).
_EXAMPLE_MM: Final = 300.0

_EXAMPLE_FACT: Final = Fact(
    "a half round of {} is the example; draw your own shape", (2 * _EXAMPLE_MM,)
)

#: Extra inset of a stitch line, so that rounding leaves the whole allowance (mm).
_SPARE_MM: Final = 0.02

#: Allowances that differ by less than this along a panel count as one (mm).
_UNIFORM_MM: Final = 0.5


class DrawnOutline:
    """Panels as drawn; nothing is sewn to them."""

    name = "outline"
    summary = "a shape from your own DXF or SVG drawing, or pattern pieces by ASTM D6673"
    measurements = (
        Measurement(
            "file",
            MeasurementKind.FILE,
            "the drawing, DXF or SVG; its path from the folder of the order file",
            required=True,
        ),
        Measurement(
            "unit",
            MeasurementKind.CHOICE,
            "unit of the drawing's numbers, if the drawing does not say it",
            choices=("mm", "cm", "m", "in"),
        ),
        Measurement(
            "line",
            MeasurementKind.CHOICE,
            "what is drawn: the finished shape, to which the allowance is added (if you say "
            "nothing), or the cut line; pattern pieces tell both by their layers",
            choices=("finished", "cut"),
        ),
        Measurement(
            "allowance_within",
            MeasurementKind.LENGTH,
            "allowance inside a drawn cut line; the stitch line is set so far in",
            default=0.0,
            least=0.0,
            greatest=200.0,
        ),
        Measurement(
            "panels",
            MeasurementKind.COUNT,
            "how many closed outlines are drawn, each a panel; default: 1, or every pattern piece",
            least=1,
            greatest=100,
        ),
        Measurement(
            "grain_degrees",
            MeasurementKind.NUMBER,
            "direction of the grain in the drawing, anticlockwise from its x; default: along x, "
            "or as the pattern piece has it",
            least=0.0,
            greatest=360.0,
            unit="degrees",
        ),
    )
    cautions = (FIRE_IF_SEATING, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Faults of the drawing, keys that contradict it, and allowances that are too wide."""
        try:
            shapes = _shapes(values)
        except OrderError as error:
            return tuple(_of_the_file(fault) for fault in error.faults)
        found = tuple(_contradictions(shapes, values))
        if found:
            return found
        draft = self.draft(values)
        added = any(panel.given is None for panel in draft.panels)
        return allowance_faults(draft, allowance_mm) if added else ()

    def draft(self, values: Values) -> Draft:
        """Every shape of the drawing as a panel.

        Raises
        ------
        OrderError
            When the drawing has become unreadable since it was checked.
        """
        shapes = [shape.along_grain(_grain(values)) for shape in _shapes(values)]
        panels = tuple(_panel(shape, values) for shape in shapes)
        facts = tuple(fact for each in zip(shapes, panels, strict=True) for fact in _facts(*each))
        return Draft(panels, (), facts if isinstance(values["file"], Path) else (_EXAMPLE_FACT,))


def _shapes(values: Values) -> tuple[Shape, ...]:
    path, panels, unit = values["file"], values["panels"], values["unit"]
    if not isinstance(path, Path):
        return (_example(),)
    count = panels if isinstance(panels, int) else None
    return read_shapes(path, unit if isinstance(unit, str) else None, count)


def _example() -> Shape:
    """A half round, like a cushion against a wall."""
    return Shape("outline", arc((_EXAMPLE_MM, 0.0), _EXAMPLE_MM, 0, 180).points)


def _of_the_file(fault: Fault) -> Fault:
    """A fault in the drawing, reported for the key that names the drawing."""
    rule = Sentence("{}: {}", (fault.place, fault.rule))
    if fault.value:
        rule = Sentence("{}: {}", (rule, fault.value))
    return Fault("file", rule, "", fault.remedy)


def _contradictions(shapes: tuple[Shape, ...], values: Values) -> Iterator[Fault]:
    """Keys that contradict the drawing."""
    sewn = next((shape.name for shape in shapes if shape.sew), None)
    if sewn is not None and values["line"] is not None:
        rule = f"has no effect if the drawing has a sew line, as in its piece {written(sewn)}"
        yield Fault("line", rule, str(values["line"]), "remove it")
    grained = next((shape.name for shape in shapes if shape.grain_deg is not None), None)
    if grained is not None and values["grain_degrees"] is not None:
        rule = f"has no effect if the drawing has a grain line, as in its piece {written(grained)}"
        remedy = "remove it, or turn the grain line in the drawing"
        yield Fault("grain_degrees", rule, str(values["grain_degrees"]), remedy)
    within = length(values, "allowance_within")
    for shape in shapes if within else ():
        if not _is_cut_line(shape, values):
            rule = "belongs to a drawn cut line alone"
            remedy = 'remove it, or add line = "cut" if the drawing is the cut line'
            yield Fault("allowance_within", rule, Length(within), remedy)
            return
        if _inset(shape.drawn, within) is None:
            rule = f"must leave one finished panel inside {written(shape.name)}"
            yield Fault("allowance_within", rule, Length(within), "allow less")


def _is_cut_line(shape: Shape, values: Values) -> bool:
    """Whether the drawn line is the cut line and its stitch line is unknown."""
    line = values["line"] or ("cut" if shape.piece else "finished")
    return shape.sew is None and line == "cut"


def _grain(values: Values) -> float:
    return 0.0 if values["grain_degrees"] is None else length(values, "grain_degrees")


def _panel(shape: Shape, values: Values) -> FinishedPanel:
    ring, given = shape.drawn, None
    within = length(values, "allowance_within")
    if shape.sew:
        ring, given = shape.sew, CutLine(shape.drawn, _apart(shape.drawn, shape.sew)[0])
    elif _is_cut_line(shape, values):
        ring = (_inset(ring, within) or ring) if within else ring
        given = CutLine(shape.drawn, within)
    return FinishedPanel(
        shape.name,
        shape.per_item,
        {"outline": _closed(ring)},
        drills=tuple(Drill(at) for at in shape.drills),
        lines=shape.lines,
        inner_cuts=shape.inner_cuts,
        given=given,
        notched=shape.notches,
    )


def _closed(ring: tuple[Point, ...]) -> Curve:
    points = (*ring, ring[0])
    return Curve(points, sum(map(math.dist, points, points[1:])))


def _inset(ring: tuple[Point, ...], by_mm: float) -> tuple[Point, ...] | None:
    """The line at a distance inside a ring; None if it is not a single ring."""
    import shapely  # noqa: PLC0415 - products are listed without loading it

    inside = shapely.Polygon(ring).buffer(-by_mm - _SPARE_MM, join_style="mitre")
    if not isinstance(inside, shapely.Polygon) or inside.area < 1:
        return None
    around = shapely.geometry.polygon.orient(inside).exterior.coords[:-1]
    return tuple((float(x), float(y)) for x, y in around)


@lru_cache(maxsize=128)
def _apart(cut: tuple[Point, ...], sew: tuple[Point, ...]) -> tuple[float, float]:
    """Least and greatest allowance between two rings, to a tenth of a millimetre.

    Measured in the middle of each chord of the sew line: corners are further out.
    """
    import shapely  # noqa: PLC0415 - products are listed without loading it

    middles = [
        ((x0 + x1) / 2, (y0 + y1) / 2)
        for (x0, y0), (x1, y1) in zip(sew, (*sew[1:], sew[0]), strict=True)
    ]
    away = shapely.distance(shapely.LinearRing(cut), shapely.points(middles))
    found = sorted(round(float(each), 1) for each in away)
    least = next((each for each in found if each), 0.0)
    return least, found[-1]


def _facts(shape: Shape, panel: FinishedPanel) -> Iterator[Fact]:
    """The drawn size, and how its allowance and cut-outs are treated."""
    name = shape.name.replace("{", "{{").replace("}", "}}")
    xs, ys = [x for x, _ in shape.drawn], [y for _, y in shape.drawn]
    size = max(xs) - min(xs), max(ys) - min(ys)
    added = "; cut as it is drawn, no allowance is added" if panel.given else ""
    yield Fact(f"{name}: drawn {{}} along the grain and {{}} across{added}", size)
    if shape.sew:
        least, most = _apart(shape.drawn, shape.sew)
        if most - least > _UNIFORM_MM:
            yield Fact(f"{name}: its allowance goes from {{}} to {{}}", (least, most))
    if shape.inner_cuts:
        cuts = f"{len(shape.inner_cuts)} cut{'s' if len(shape.inner_cuts) > 1 else ''}"
        yield Fact(f"{name}: {cuts} inside it, made before its outline is cut", ())


register(DrawnOutline())
