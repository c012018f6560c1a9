"""What a piece of cloth looks like, from its right side and from its back."""

from dataclasses import replace

import lays_on_pieces
import pytest
import shapely
import shapely.affinity
from lays_on_pieces import CLOTH, HIDE, REMNANT, spot
from worked_lays import mixed_lay

from nesting.cloth.stock import ClothPiece
from nesting.layouts.cloth_figure import Section, cloth_figure
from nesting.layouts.mirroring import Face, figure_seen
from nesting.units import CM

ON_REMNANT, ON_HIDE, ON_ROLL = lays_on_pieces.lays()


def on(piece):
    """The lay on the remnant, on another piece instead."""
    return replace(ON_REMNANT, cloth=CLOTH.on(piece), piece=piece)


def test_a_roll_without_flaws_is_a_rectangle_as_long_as_is_bought_with_two_selvedge_lines():
    figure = cloth_figure(mixed_lay())
    assert figure.edge == ((0, 0), (70 * CM, 0), (70 * CM, 140 * CM), (0, 140 * CM))
    low, high = 15 * CM // 10, 140 * CM - 15 * CM // 10
    assert figure.selvedges == (((0, low), (70 * CM, low)), ((0, high), (70 * CM, high)))
    assert (*figure.holes, *figure.flaws, *figure.measured, *figure.splices) == ()


def test_a_stock_piece_is_shown_whole_and_a_hide_by_its_outline():
    assert cloth_figure(ON_REMNANT).length == REMNANT.length
    figure = cloth_figure(ON_HIDE)
    assert figure.edge == HIDE.outline.points
    assert figure.holes == HIDE.holes
    assert figure.selvedges == ()


@pytest.mark.parametrize(
    ("widths", "sections"),
    [
        ([(0, 60), (50, 55)], [(0, 100, 55)]),
        ([(20, 55), (50, 60), (80, 60)], [(0, 50, 55), (50, 100, 60)]),
        ([(0, 60), (30, 58), (100, 57)], [(0, 30, 58), (30, 100, 57)]),
        ([(10, 58)], [(0, 100, 58)]),
    ],
)
def test_between_two_measured_places_the_narrower_counts(widths, sections):
    given = tuple((x * CM, width * CM) for x, width in widths)
    figure = cloth_figure(on(replace(REMNANT, widths=given)))
    assert figure.sections == tuple(
        Section(start * CM, end * CM, width * CM) for start, end, width in sections
    )


def test_a_flaw_of_the_roll_is_shown_as_far_as_cloth_is_bought():
    """By hand: 70 cm are bought."""
    flaws = (spot(60, 10, 20, 5), spot(90, 10, 20, 5))
    figure = cloth_figure(replace(ON_ROLL, cloth=replace(CLOTH, flaws=flaws)))
    assert [flaw.outline.bounds for flaw in figure.flaws] == [
        (60 * CM, 10 * CM, 70 * CM, 15 * CM)
    ]  # fmt: skip


def reflected(points, width):
    """Reflected in the middle line of the cloth, with another library."""
    return shapely.affinity.scale(shapely.LineString(points), 1, -1, origin=(0, width / 2))


@pytest.mark.parametrize("lay", [ON_REMNANT, ON_HIDE, ON_ROLL])
def test_from_the_back_everything_on_the_cloth_is_mirrored(lay):
    up, down = figure_seen(lay, Face.UP), figure_seen(lay, Face.DOWN)
    assert up == cloth_figure(lay)

    def runs(figure):
        rings = [figure.edge, *(hole.points for hole in figure.holes)]
        rings += [flaw.outline.points for flaw in figure.flaws]
        lines = [*figure.selvedges, *figure.measured, *figure.splices]
        return [*((*ring, ring[0]) for ring in rings), *lines]

    assert len(runs(up)) > 1
    for seen, mirrored in zip(runs(up), runs(down), strict=True):
        assert reflected(seen, lay.on.width).equals(shapely.LineString(mirrored))
    assert [flaw.what for flaw in down.flaws] == [flaw.what for flaw in up.flaws]
    assert down.turned_over() == up


def test_narrow_cloth_is_missing_at_the_lower_edge_when_it_is_turned_over():
    narrow = ClothPiece("R", 60 * CM, 100 * CM, widths=((0, 50 * CM),))
    (edge,) = figure_seen(on(narrow), Face.DOWN).measured
    assert {y for _, y in edge} == {10 * CM}
