"""What the report and the workbook tell of lays on pieces of a cloth."""

import io
import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import lays_on_pieces
import openpyxl
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from lays_on_pieces import CLOTH, HIDE, REMNANT, ring, spot, star_hide
from worked_lays import mixed_lay, order_lay

from nesting.cloth.stock import ClothPiece
from nesting.layouts.cloth_figure import cloth_figure
from nesting.layouts.lay import PlacedPanel
from nesting.orders.order import Order
from nesting.reports.page import report_page
from nesting.reports.remnants import remnants
from nesting.reports.rules import rule_reports
from nesting.reports.verdict import verdict
from nesting.reports.waste import Use, account
from nesting.reports.workbook import workbook
from nesting.units import CM, MM

LAYS = lays_on_pieces.lays()
ON_REMNANT, ON_HIDE, ON_ROLL = LAYS

#: Twice a square centimetre in square grid units.
CM2 = 2 * CM * CM


def in_cm2(lay):
    return {use: area2 / CM2 for use, area2 in account(lay).areas2.items()}


def without_gaps(areas):
    """The areas with the spacing counted as fall-out."""
    rest = {use: area for use, area in areas.items() if use is not Use.GAPS}
    return rest | {Use.BETWEEN: areas[Use.BETWEEN] + areas[Use.GAPS]}


def test_the_remnant_goes_into_uses_that_add_up_to_all_of_it():
    """By hand: 60 x 100 cm, 55 cm wide as measured, 64 cm used; its flaw lies behind that."""
    assert without_gaps(in_cm2(ON_REMNANT)) == {
        Use.PANELS: 1400,
        Use.BETWEEN: 64 * 52 - 1400,
        Use.FLAWS: 0,
        Use.SELVEDGES: 100 * 3,
        Use.ENDS: 2 * 2 * 52,
        Use.LEFT: (100 - 4 - 64) * 52,
        Use.OUTSIDE: 100 * 5,
    }
    assert account(ON_REMNANT).whole2 == 60 * 100 * CM2


def test_of_a_hide_what_is_no_cloth_counts_as_outside_of_its_edge():
    """By hand: a box of 60 x 50 cm without three corners of 50 and a hole of 25; 25 cm used."""
    assert without_gaps(in_cm2(ON_HIDE)) == {
        Use.PANELS: 400,
        Use.BETWEEN: 25 * 50 - 50 - 400,
        Use.LEFT: 3000 - 175 - 1200,
        Use.OUTSIDE: 175,
    }


def test_flaws_count_where_no_panel_lies_on_them():
    """By hand: the hole of 25 cm² counts, the minor flaw lies under a hidden panel."""
    assert without_gaps(in_cm2(ON_ROLL)) == {
        Use.PANELS: 1600,
        Use.BETWEEN: pytest.approx(60.3 * 137 - 1600 - 25),
        Use.FLAWS: 25,
        Use.SELVEDGES: 70 * 3,
        Use.ENDS: 4 * 137,
        Use.BUYING_STEP: pytest.approx(5.7 * 137),
    }


def test_shares_of_a_piece_leave_out_what_is_no_cloth():
    """By hand, see above."""
    assert account(ON_REMNANT).utilisation == Fraction(1400, 5500)
    assert float(account(ON_REMNANT).efficiency) == pytest.approx(1400 / 3328)
    assert account(ON_HIDE).utilisation == Fraction(400, 2825)
    assert account(ON_HIDE).least_buy_length == 0


def test_a_rectangular_remnant_is_accounted_for_exactly():
    plain = ClothPiece("R", 60 * CM, 100 * CM, selvedge=15 * MM)
    lay = replace(ON_REMNANT, cloth=CLOTH.on(plain), piece=plain)
    assert without_gaps(in_cm2(lay)) == {
        Use.PANELS: 1400,
        Use.BETWEEN: 64 * 57 - 1400,
        Use.SELVEDGES: 300,
        Use.ENDS: 4 * 57,
        Use.LEFT: 32 * 57,
    }


@settings(max_examples=40, deadline=None)
@given(
    radii=st.lists(st.integers(30 * CM, 60 * CM), min_size=5, max_size=9),
    hole=st.integers(1 * CM, 6 * CM),
    at=st.tuples(st.integers(1, 40), st.integers(1, 40)),
)
def test_the_uses_of_any_hide_add_up_to_its_box_and_agree_with_another_library(radii, hole, at):
    piece = star_hide(radii, hole)
    piece = replace(piece, flaws=(spot(at[0], at[1], 3, 2),))
    one = PlacedPanel(lays_on_pieces.STRAP, 1, 1, 0, 5 * CM, piece.width // 3)
    lay = replace(ON_HIDE, cloth=CLOTH.on(piece), piece=piece, placed=(one,))
    areas2 = account(lay).areas2
    assert sum(areas2.values()) == 2 * piece.length * piece.width
    body = shapely.Polygon(piece.outline.points)
    gone = shapely.box(0, 0, piece.length, piece.width).area - body.area + hole**2
    assert areas2[Use.OUTSIDE] / 2 == pytest.approx(gone, rel=1e-6)
    behind = shapely.box(lay.used_length, 0, piece.length, piece.width)
    holes = [shapely.Polygon(each.points) for each in piece.holes]
    left = body.difference(shapely.union_all(holes)).intersection(behind).area
    assert areas2[Use.LEFT] / 2 == pytest.approx(left, rel=1e-6, abs=2)


@pytest.mark.parametrize("lay", LAYS)
def test_remnants_lie_on_sound_cloth(lay):
    found = remnants(lay, "cm")
    assert found
    sound = cloth_figure(lay).usable
    flaws = shapely.union_all([shapely.Polygon(flaw.outline.points) for flaw in lay.on.flaws])
    for box in found:
        figure = shapely.box(box.x0, box.y0, box.x1, box.y1)
        assert figure.difference(sound).area <= 1e-3 * figure.area / CM
        assert figure.intersection(flaws).area == 0
        assert not any(box.x0 < x < box.x1 for x in lay.on.splices)


def sentences(lay, lays=LAYS):
    reports = rule_reports(lay, account(lay), "cm", lays)
    return {report.rule: f"{report.required}: {report.effect}" for report in reports}


def test_each_rule_of_a_remnant_has_its_sentence():
    told = sentences(ON_REMNANT)
    assert [*told] == [
        "Nap", "Grain", "Spacing", "Selvedge", "End allowance", "Piece", "Widths", "Splices",
        "Flaws", "Shade", "Pieces",
    ]  # fmt: skip
    # By hand, see the account: 1664 and 500 of 6000 cm².
    assert told["Piece"] == (
        "100.0 cm long, all of it there already: "
        "The last 32.0 cm are left on it: 0.166 m², 27.7 % of the piece."
    )
    assert told["Widths"].endswith(
        "The piece is taken to be 55.0 cm wide all along. "
        "Missing from its full width: 0.050 m², 8.3 % of the piece."
    )
    assert told["Splices"] == "no panel lies across a splice: 1 splice, 45.0 cm from the cut end."
    assert told["Flaws"].startswith("no panel on a flaw; only hidden panels may lie on a minor one")
    assert "1 flaw avoided." in told["Flaws"]
    assert told["Shade"].endswith('This piece has shade "A". strap may come from several shades.')
    assert told["Selvedge"].endswith("Selvedges take 0.030 m², 5.0 % of the piece.")


def test_a_hide_has_an_edge_and_neither_selvedges_nor_ends():
    told = sentences(ON_HIDE)
    assert not {"Selvedge", "End allowance", "Rounding to sale length", "Flaws"} & {*told}
    assert told["Edge"] == (
        "every panel inside the edge of the piece and clear of its 1 hole: "
        "No cloth: 0.018 m², 5.8 % of the box around the piece."
    )


def test_minor_flaws_under_hidden_panels_are_told_apart_from_those_avoided():
    effect = sentences(ON_ROLL)["Flaws"]
    assert "1 flaw avoided. 1 minor flaw under hidden panels." in effect
    assert effect.endswith("Flaws in the lay plan take 0.003 m², 0.3 % of the bought cloth.")
    plate, base = ON_ROLL.placed
    apart = replace(ON_ROLL, placed=(plate, replace(base, y=60 * CM)))
    assert "2 flaws avoided." in sentences(apart)["Flaws"]


def test_flaws_behind_the_bought_length_are_told():
    far = replace(CLOTH, flaws=(*CLOTH.flaws, spot(300, 10, 5, 5)))
    effect = sentences(replace(ON_ROLL, cloth=far))["Flaws"]
    assert "1 more on the roll, beyond the length that is bought." in effect


def test_the_pieces_that_are_used_and_left_untouched_are_named():
    assert sentences(ON_HIDE)["Pieces"] == (
        "2 pieces in stock; more may be bought: Used: remnant, hide, roll."
    )
    alone = sentences(ON_HIDE, (ON_HIDE,))["Pieces"]
    assert alone.endswith("Used: hide. Left untouched: remnant.")


def test_a_roll_without_flaws_or_stock_has_the_rules_it_always_had():
    assert not {"Piece", "Pieces", "Shade", "Flaws", "Edge"} & {*sentences(mixed_lay(), ())}


def test_what_is_proved_of_a_piece_speaks_of_no_length_to_buy():
    text = verdict(ON_REMNANT, account(ON_REMNANT), "cm")
    assert text == "Minimum 60.0 cm (proved); this plan is 6.7 % longer."
    assert "buy" not in text
    proved = replace(ON_REMNANT, proved_optimal=True)
    assert verdict(proved, account(proved), "cm").endswith("(proved); no plan is shorter.")


def page(*lays, units="cm"):
    return report_page(order_lay(*(lays or LAYS)), units).decode()


def test_the_report_has_a_part_for_each_piece_titled_by_cloth_and_piece():
    titles = re.findall(r'<h2 id="name-[^"]*">([^<]*)</h2>', page())
    assert titles == ["teal twill, remnant", "teal twill, hide", "teal twill, roll"]
    assert "What to buy, and what comes from stock" in page()
    assert "comes from stock" not in page(mixed_lay(), mixed_lay())


def test_what_is_taken_from_stock_is_not_to_be_bought():
    text = page()
    assert text.count("<strong>from stock</strong>") == 2
    assert "<strong>0.70 m</strong>" in text
    for figure in ("Cost of the piece", "Length of the piece", "From stock"):
        assert text.count(f"<dt>{figure}</dt>") == 2
    assert "0.00 m" not in text


def test_the_shares_of_each_piece_add_up_to_a_hundred_per_cent_and_to_its_cost():
    tables = re.findall(r'<table class="short">(.*?)</table>', page(), re.DOTALL)
    totals, wholes = [], []
    for table in tables:
        body, foot = table.split("<tfoot>")
        assert sum(Decimal(x) for x in re.findall(r'<td class="n">([\d.]+) %', body)) == 100
        worths = [Decimal(x) for x in re.findall(r'<td class="n">([\d.]+)</td>', body)]
        totals.append(sum(worths))
        wholes += re.findall(r'<th scope="row">([^<]*)</th>', foot)
    assert totals == [Decimal("4.00"), Decimal("11.10"), Decimal("12.95")]
    assert wholes == ["piece", "box around the piece", "total bought"]


def test_each_piece_lists_only_its_own_panels_and_of_how_many_they_are():
    listed = [
        re.findall(r'data-head="Total to cut">([^<]*)<', part)
        for part in page().split('<section class="cloth"')[1:]
    ]
    assert listed == [["1 of 2", "1"], ["1 of 2"], ["1 of 2", "1 of 2"]]


def path_areas(data):
    """The areas of the closed runs of path data, in square millimetres."""
    areas = []
    for run in data.split("z")[:-1]:
        start, _, steps = run.removeprefix("M").partition("l")
        numbers = [float(x) for x in steps.split()]
        points = [tuple(map(float, start.split()))]
        for dx, dy in zip(numbers[::2], numbers[1::2], strict=True):
            points.append((points[-1][0] + dx, points[-1][1] + dy))
        areas.append(shapely.Polygon(points).area)
    return areas


def test_the_picture_of_a_hide_has_its_edge_and_its_hole():
    """By hand: 3000 cm² less three corners of 50, and a hole of 25 cm²."""
    _, part, _ = page().split('<section class="cloth"')[1:]
    (edge,) = re.findall(r'<path class="edge" d="([^"]*)"', part)
    assert path_areas(edge) == pytest.approx([285_000, 2_500])


def test_what_is_outside_of_a_piece_with_four_corners_is_shown():
    """By hand: half of 60 x 20 cm is missing at the upper edge."""
    slant = ClothPiece("S", 50 * CM, 60 * CM, outline=ring((0, 0), (60, 0), (60, 50), (0, 30)))
    text = page(replace(ON_HIDE, cloth=CLOTH.on(slant), piece=slant))
    (outside,) = re.findall(r'<path d="([^"]*)" fill="url\(#fill-outside', text)
    assert path_areas(outside) == pytest.approx([60_000])
    assert "fill-rule" not in page(mixed_lay())


def test_flaws_are_hatched_and_named_and_splices_drawn():
    remnant, _, roll = page().split('<section class="cloth"')[1:]
    assert "<title>Flaw 1 (oil), 70.0 cm from the cut end, 20.0 cm from the lower edge" in remnant
    assert re.findall(r'<path d="([^"]*)" fill="url\(#fill-flaws\)"', remnant)
    assert 'class="splice"' in remnant
    assert "Flaw 2 (slub), minor, 50.0 cm from the cut end" in roll
    assert 'class="splice"' not in roll


def test_what_a_flaw_is_never_becomes_markup():
    odd = replace(REMNANT, flaws=(spot(70, 20, 5, 5, what="<b>oil</b>"),))
    text = page(replace(ON_REMNANT, cloth=CLOTH.on(odd), piece=odd))
    assert "<b>oil</b>" not in text
    assert "&lt;b&gt;oil" in text


def rows(name, *lays):
    order = Order("Stools", "cm", (CLOTH,), ())
    book = openpyxl.load_workbook(io.BytesIO(workbook(order_lay(*(lays or LAYS)), order)))
    headings, *found = book[name].iter_rows(values_only=True)
    return [dict(zip(headings, row, strict=True)) for row in found]


@pytest.mark.parametrize("name", ["Pieces", "Lay plan", "Waste", "Cost"])
def test_the_sheets_about_lays_name_the_piece(name):
    assert [*dict.fromkeys(row["piece"] for row in rows(name))] == ["remnant", "hide", "roll"]


def test_the_sheet_of_pieces_tells_what_each_is():
    remnant, hide, roll = rows("Pieces")
    assert (remnant["length (cm)"], remnant["width (cm)"], remnant["shade"]) == (100, 60, "A")
    assert (remnant["flaws"], remnant["splices, from cut end (cm)"]) == (1, "45.0")
    assert (hide["holes"], roll["flaws"], roll["length (cm)"]) == (1, 2, 70)


def test_the_items_share_the_cost_of_all_pieces():
    """By hand: 28.05 for 3200 cm² of stools and 200 cm² of straps."""
    costs = {row["item"]: row["share of the cost"] for row in rows("Cost by item")}
    assert costs == {"stool": 26.4, "strap": 1.65}
    unknown = replace(ON_HIDE, cloth=replace(ON_HIDE.cloth, price=None))
    assert {row["share of the cost"] for row in rows("Cost by item", ON_REMNANT, unknown)} == {None}


def test_each_panel_of_a_cloth_is_listed_once_however_many_pieces_it_lies_on():
    assert [row["panel"] for row in rows("Panels")] == ["plate", "base", "strap"]
    assert HIDE.name in {row["piece"] for row in rows("Lay plan")}
