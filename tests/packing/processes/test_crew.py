"""Members of a crew begin when they receive a lay, send what they find, and end."""

import pytest
from layout_rules import broken_rules

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.processes.crew import Crew
from nesting.packing.solver import first_layout
from nesting.packing.stage import Stage
from nesting.units import CM

#: Seconds; far longer than anything here takes.
SECONDS = 60

HALF = Outline(((0, 0), (30 * CM, 0), (0, 20 * CM)))


@pytest.fixture
def stage():
    """Nine half rectangles, whose first lay is not the shortest."""
    return Stage(Problem(71 * CM, (Shape(HALF, (0, 180)),), (Piece(0),) * 9))


def test_one_worker_needs_no_other_process(stage):
    best = first_layout(stage)
    with Crew(stage, seed=0, workers=1) as crew:
        assert crew.members == []
        assert crew.exchange(best) is best


def test_a_member_that_was_told_no_lay_ends_when_the_search_does(stage):
    with Crew(stage, seed=0, workers=2) as crew:
        (member,) = crew.members
    member.process.join(SECONDS)
    assert member.process.exitcode == 0


def test_a_member_that_was_told_a_lay_tells_a_shorter_one_and_ends_with_the_search(stage):
    first = best = first_layout(stage)
    with Crew(stage, seed=0, workers=2) as crew:
        (member,) = crew.members
        while stage.used_length(best) == stage.used_length(first):
            best = crew.exchange(best)
            assert member.process.is_alive()
    assert broken_rules(stage.layout(best)) == []
    assert stage.used_length(best) < stage.used_length(first)
    member.process.join(SECONDS)
    assert member.process.exitcode == 0


def test_the_search_goes_on_without_a_member_that_has_died(stage):
    best = first_layout(stage)
    with Crew(stage, seed=0, workers=2) as crew:
        (member,) = crew.members
        member.process.kill()
        member.process.join(SECONDS)
        for _ in range(3):
            assert crew.exchange(best) is best
