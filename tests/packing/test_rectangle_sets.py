"""Rectangles whose shortest strip is known by construction (Hopper 2000, set T1)."""

import json
from pathlib import Path

import pytest
from layout_rules import broken_rules, used_length
from strategies import box

from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.running import Limits
from nesting.packing.solver import solve
from nesting.units import MM

SETS = Path(__file__).parents[3] / "shared" / "instances" / "rectangles_t.json"


@pytest.mark.skipif(not SETS.is_file(), reason="the open sets are not beside the project")
@pytest.mark.parametrize("name", ["T1a", "T1b", "T1c", "T1d", "T1e"])
def test_seventeen_rectangles_cut_from_a_square_become_one_again(name):
    # The published optimum of every set; quarter turns are allowed and no cloth is left over.
    given = json.loads(SETS.read_text())["instances"][name]
    assert given["strip_width"] == given["optimum_length"] == 200
    shapes = tuple(Shape(box(a * MM, b * MM), (0, 90)) for a, b in given["rectangles"])
    problem = Problem(200 * MM, shapes, tuple(map(Piece, range(len(shapes)))))
    assert problem.area2 == 2 * (200 * MM) ** 2
    solution = solve(problem, Limits(seconds=None, steps=40))
    assert used_length(solution.layout) == 200 * MM
    assert solution.proved_optimal
    assert broken_rules(solution.layout) == []
