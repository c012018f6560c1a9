"""Orders of our own, on which the packer is measured."""

from collections.abc import Iterable, Mapping
from typing import Final

import numpy as np

from nesting.cloth.cloth import Cloth, Nap
from nesting.geometry.outline import Outline
from nesting.layouts.cutting_list import cutting_list, packing_problem
from nesting.layouts.layout import Layout
from nesting.layouts.piece_strip import strip_of
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.solver import first_layout
from nesting.packing.stage import Stage
from nesting.panels.making import make_panels
from nesting.panels.product import products
from nesting.units import CM

#: Finished sizes of cushions (mm) and how many of each: 46 rectangles with the covers.
_CUSHIONS: Final = (
    ({"length": 620.0, "width": 480.0, "thickness": 80.0}, 3),
    ({"length": 930.0, "width": 400.0, "thickness": 60.0}, 2),
    ({"length": 450.0, "width": 450.0, "thickness": 50.0}, 2),
)
_COVERS: Final = (({"length": 340.0, "width": 260.0}, 4),)


def gores(
    poufs: int = 2, gores: int = 10, diameter: float = 500.0, cap_diameter: float = 200.0
) -> Problem:
    """Gores and caps of spherical poufs, on 137 cm of usable width.

    Sizes are in mm and allowances are 1.2 cm. The defaults give twenty gores and
    four caps.
    """
    cloth = Cloth("velvet", 137 * CM)
    sizes = {"diameter": diameter, "gores": gores, "cap_diameter": cap_diameter}
    return _problem(cloth, [("gored-pouf", sizes, poufs)], allowance_mm=12.0)


def cushions() -> Problem:
    """46 rectangles of seven cushions and four covers, on 137 cm of cloth without grain."""
    cloth = Cloth("felt", 137 * CM, nap=Nap.EITHER_WAY, cross_grain=True)
    boxes = [("box-cushion", sizes, quantity) for sizes, quantity in _CUSHIONS]
    covers = [("panel", sizes, quantity) for sizes, quantity in _COVERS]
    return _problem(cloth, [*boxes, *covers], allowance_mm=10.0)


def rectangles(seed: int, pieces: int = 8) -> Problem:
    """Random rectangles of whole centimetres on a metre of cloth, quarter turns allowed."""
    random = np.random.default_rng(seed)
    shapes = tuple(_box(*sides) for sides in random.integers(10, 70, size=(pieces, 2)) * CM)
    return Problem(100 * CM, shapes, tuple(Piece(i) for i in range(pieces)))


def bounding_boxes(problem: Problem) -> Problem:
    """The problem with each shape replaced by its bounding box."""
    shapes = tuple(
        Shape(_box(shape.outline.length, shape.outline.height).outline, shape.turns)
        for shape in problem.shapes
    )
    return Problem(problem.width, shapes, problem.pieces, problem.gap)


def density(layout: Layout) -> float:
    """Share of the used cloth that becomes panels, in per cent."""
    problem = layout.problem
    return 100 * problem.area2 / (2 * problem.width * layout.used_length)


def bottom_left(problem: Problem) -> Layout:
    """The first layout of the packer."""
    stage = Stage(problem)
    return stage.layout(first_layout(stage))


def _box(length: int, height: int) -> Shape:
    x, y = int(length), int(height)
    return Shape(Outline(((0, 0), (x, 0), (x, y), (0, y))), (0, 90))


def _problem(
    cloth: Cloth, items: Iterable[tuple[str, Mapping[str, float], int]], allowance_mm: float
) -> Problem:
    made = [
        make_panels(
            products()[product],
            {each.name: each.default for each in products()[product].measurements} | dict(sizes),
            item=f"{product} {number}",
            cloth=cloth.name,
            quantity=quantity,
            allowance_mm=allowance_mm,
        )
        for number, (product, sizes, quantity) in enumerate(items)
    ]
    roll = strip_of(cloth, [cloth.roll])
    return packing_problem(roll, cutting_list(panel for parts in made for panel in parts.panels))
