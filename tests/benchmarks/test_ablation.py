"""Engines switched off one by one: the rest is still a solver."""

import pytest

from benchmarks import workloads
from benchmarks.ablation import ROWS, solve_without
from nesting.packing.bounds import lower_bound
from nesting.packing.cpsat.whole_orders import WholeOrders
from nesting.packing.running import Limits
from nesting.packing.solver import solve
from nesting.units import CM

STEPS = Limits(seconds=None, steps=4)


def test_the_solver_has_all_its_engines_again_afterwards():
    problem = workloads.rectangles(4, pieces=6)
    assert not solve_without((WholeOrders,), problem, STEPS, seed=0).proved_optimal
    assert solve(problem, STEPS).proved_optimal


def test_without_cp_sat_on_whole_orders_an_order_above_its_bound_is_not_proved():
    problem = workloads.rectangles(4, pieces=6)
    assert lower_bound(problem) < 155 * CM  # the shortest lay has 165 cm
    assert solve_without((), problem, STEPS, seed=0).proved_optimal
    assert not solve_without((WholeOrders,), problem, STEPS, seed=0).proved_optimal


@pytest.mark.parametrize("row", ROWS)
def test_every_row_of_the_table_packs_all_pieces(row):
    problem = workloads.rectangles(1, pieces=5)
    found = solve_without(ROWS[row], problem, STEPS, seed=0).layout
    assert len(found.placements) == 5
    assert 0 < workloads.density(found) <= 100


def test_our_orders_have_the_stated_number_of_panels():
    gores, cushions = workloads.gores(), workloads.cushions()
    assert [len(each.pieces) for each in (gores, cushions)] == [24, 46]
    boxes = workloads.bounding_boxes(gores).shapes
    assert all(box.outline.area2 == 2 * box.outline.length * box.outline.height for box in boxes)
    assert [(b.outline.length, b.outline.height) for b in boxes] == [
        (s.outline.length, s.outline.height) for s in gores.shapes
    ]
