"""Numbers that an order leaves open, read from the drawing of a lay and from its record."""

from dataclasses import replace
from itertools import accumulate

import pytest
from test_piecing import CALICO, LONG, WELTED
from test_planning import ONE_STEP, SERGE, item, order
from verification.reading_back import by_arcs, by_plot, by_r12, by_svg

from nesting.drawings.drawing import Pen
from nesting.exporters.lay import lay_drawing, lay_in_plain_letters
from nesting.layouts.cutting_list import cutting_list
from nesting.layouts.lay import Choice, ClothLay, PlacedPanel
from nesting.layouts.storage import as_record
from nesting.planning.auto import with_choices
from nesting.planning.auto_from_drawing import read_pieces
from nesting.planning.cloth_panels import panels_from
from nesting.planning.order_panels import cloths_used, make_order
from nesting.planning.plan import plan_order
from nesting.purchasing import compare_rolls
from nesting.units import CM
from nesting.verification.drawn import check_drawing
from nesting.verification.findings import Rule

#: Boxing and welt of two cushions, both left open.
OPEN = replace(WELTED, quantity=2, values={**WELTED.values, "strips": "auto"})


def laid(one, **numbers):
    """Lays of an order with numbers in place of every "auto", all panels in a row."""
    choices = [Choice(each.name, *number) for each in one.items for number in numbers.items()]
    return [in_a_row(cut.cloth, cut.panels) for cut in make_order(one, choices).cuts]


def in_a_row(cloth, panels):
    pieces = cutting_list(panels)
    ends = accumulate((each.panel.cut.length for each in pieces), initial=cloth.end_allowance)
    placed = tuple(
        PlacedPanel(each.panel, each.copy, each.part, 0, x, cloth.selvedge)
        for each, x in zip(pieces, ends, strict=False)
    )
    return ClothLay(cloth, panels, placed, lower_bound=1, proved_optimal=False)


def findings(one, lay, drawing):
    """What `verify` finds in a drawing of a lay when it only knows the order."""
    made = make_order(one, read_pieces(one, lay.cloth, drawing)).made
    return check_drawing(drawing, lay.cloth, panels_from(lay.cloth, made).panels)


@pytest.mark.parametrize(("strips", "welts"), [(2, 3), (3, 2), (4, 4), (6, 2)])
def test_the_labels_of_a_drawing_tell_every_number(strips, welts):
    (lay,) = laid(order(OPEN), strips=strips, welt_strips=welts)
    drawing = lay_drawing(lay)
    assert read_pieces(order(OPEN), lay.cloth, drawing) == (
        Choice("seat", "strips", strips),
        Choice("seat", "welt_strips", welts),
    )
    assert findings(order(OPEN), lay, drawing) == ()


@pytest.mark.parametrize("way", [by_r12, by_arcs, by_svg, by_plot])
def test_every_format_tells_them_though_it_spells_names_otherwise(way):
    one = order(replace(OPEN, name="Söat"))
    (lay,) = laid(one, strips=3, welt_strips=2)
    shown, _ = lay_in_plain_letters(lay) if way in (by_r12, by_plot) else (lay, ())
    drawing = way(lay_drawing(shown))
    assert [choice.pieces for choice in read_pieces(one, lay.cloth, drawing)] == [3, 2]
    assert findings(one, lay, drawing) == ()


def test_as_many_pieces_are_tried_as_it_takes_until_they_fit():
    """By hand: two sides of 200 cm on 58 cm of cloth take four pieces each, at least."""
    corners = ((0.0, 0.0), (2_000.0, 0.0), (2_000.0, 300.0), (0.0, 300.0))
    seat = item("shaped-seat", corners=corners, thickness=80.0, strips="auto")
    one = order(seat, cloths=(replace(SERGE, width=60 * CM),))
    plan = plan_order(one, ONE_STEP, workers=1)
    (choice,) = plan.lay.choices
    assert choice.pieces >= 8
    (lay,) = plan.lay.cloths
    drawing = lay_drawing(lay)
    assert read_pieces(one, lay.cloth, drawing) == (choice,)
    assert findings(one, lay, drawing) == ()


def without(drawing, label):
    """The drawing without one panel: its label and its cut line, which stands in that order."""
    labels = [text for text in drawing.texts if text.pen is Pen.LABEL]
    gone = [text.content for text in labels].index(label)
    cut = [path for path in drawing.paths if path.pen is Pen.CUT][gone]
    return replace(
        drawing,
        paths=tuple(path for path in drawing.paths if path is not cut),
        texts=tuple(text for text in drawing.texts if text is not labels[gone]),
    )


def test_a_piece_that_is_missing_is_found_and_not_taken_for_a_smaller_number():
    """By its labels alone, one of two pieces of welt would be a welt in one piece."""
    trim = order(item("welt", length=1_500.0, strips="auto"))
    (lay,) = laid(trim, strips=2)
    drawing = without(lay_drawing(lay), "seat / welt / 1.2")
    assert read_pieces(trim, lay.cloth, drawing) == (Choice("seat", "strips", 2),)
    missing = [
        each for each in findings(trim, lay, drawing) if each.number == Rule.ALL_THERE.number
    ]
    assert [each.where for each in missing] == ["serge: seat / welt / 1.2"]


def test_a_strip_of_another_cloth_is_told_by_its_notches():
    """Round plates meet 3 pieces at 6 notches, and 1, 2 or 4 pieces at 4 (by hand)."""
    seat = item("round-cushion", diameter=400.0, thickness=60.0, strips="auto")
    one = order(replace(seat, panel_cloths={"boxing": "calico"}), cloths=(SERGE, CALICO))
    plates, boxing = laid(one, strips=3)
    assert {placed.panel.name for placed in plates.placed} == {"plate"}
    for lay in (plates, boxing):
        drawing = lay_drawing(lay)
        assert read_pieces(one, lay.cloth, drawing) == (Choice("seat", "strips", 3),)
        assert findings(one, lay, drawing) == ()


def test_each_of_many_items_is_told_by_its_own_notches():
    """So many marks that findings about all of them at once would not be listed one by one."""
    seat = item("round-cushion", diameter=200.0, thickness=60.0, strips="auto", quantity=20)
    boxed = replace(seat, panel_cloths={"boxing": "calico"})
    names = ("seat", "stool", "bench", "chair", "floor")
    one = order(*(replace(boxed, name=name) for name in names), cloths=(SERGE, CALICO))
    plates, _ = laid(one, strips=5)
    drawing = lay_drawing(plates)
    assert read_pieces(one, SERGE, drawing) == tuple(Choice(n, "strips", 5) for n in names)
    assert findings(one, plates, drawing) == ()


def test_a_number_that_fits_no_cloth_is_never_read():
    """The strip is 263 cm long, more than the roll is wide; the drawing does not show it."""
    (lay,) = laid(order(item("panel", "under", length=300.0, width=200.0)))
    one = order(LONG)
    (choice,) = read_pieces(one, SERGE, lay_drawing(lay))
    assert choice.pieces > 1
    assert make_order(one, [choice]).cuts


def test_an_order_that_leaves_nothing_open_has_nothing_to_be_read():
    fixed = order(replace(LONG, values={**LONG.values, "strips": 4}))
    (lay,) = laid(fixed)
    assert read_pieces(fixed, lay.cloth, lay_drawing(lay)) == ()


def test_a_plan_records_what_it_chose_and_the_record_gives_the_same_panels():
    one = order(OPEN, item("panel", "under", length=300.0, width=200.0))
    plan = plan_order(one, ONE_STEP, workers=1)
    chosen = plan.order.items[0].values
    assert as_record(plan.lay)["choices"] == [
        {"item": "seat", "measurement": name, "pieces": chosen[name]}
        for name in ("strips", "welt_strips")
    ]
    again = make_order(one, (Choice(**each) for each in as_record(plan.lay)["choices"]))
    assert again.order == plan.order
    assert [cut.panels for cut in again.cuts] == [lay.panels for lay in plan.lay.cloths]
    assert again.panels == tuple(panel for lay in plan.lay.cloths for panel in lay.panels)


def test_a_plan_that_chose_nothing_records_nothing():
    fixed = order(replace(LONG, values={**LONG.values, "strips": 4}))
    assert "choices" not in as_record(plan_order(fixed, ONE_STEP, workers=1).lay)


def test_each_roll_has_numbers_of_its_own():
    """A strip of 263 cm in one piece only fits the roll of 3 m."""
    rolls = [replace(SERGE, name="wide", width=300 * CM), replace(SERGE, name="narrow")]
    offers = compare_rolls(order(LONG), "serge", rolls, ONE_STEP, workers=1).offers
    chosen = {each.cloth.name: each.plan.lay.choices[0].pieces for each in offers}
    for offer in offers:
        assert offer.plan.order.items[0].values["strips"] == chosen[offer.cloth.name]
    assert chosen["narrow"] > 1


def test_what_an_order_states_is_not_replaced_by_a_choice():
    fixed = order(replace(LONG, values={**LONG.values, "strips": 4}))
    assert with_choices(fixed, [Choice("seat", "strips", 2)]) == fixed
    assert with_choices(order(LONG), [Choice("stool", "strips", 2)]) == order(LONG)


def test_cloths_that_nothing_is_cut_from_are_not_used():
    seat = item("round-cushion", diameter=400.0, thickness=60.0)
    both = replace(seat, panel_cloths={"bottom-plate": "calico"})
    assert cloths_used(order(seat, cloths=(CALICO, SERGE))) == (SERGE,)
    assert cloths_used(order(both, cloths=(CALICO, SERGE))) == (CALICO, SERGE)
