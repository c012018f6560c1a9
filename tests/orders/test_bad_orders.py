"""One bad order for each fault: its place, its line, the rule, and what to do about it."""

from pathlib import Path

import pytest

from nesting.errors import Fault, OrderError
from nesting.orders.reader import read_order

ORDERS = Path(__file__).parents[1] / "data" / "orders"

CLOTH = 'cloth 1 "green duck", '
REMNANT = CLOTH + 'stock 1 "remnant", '
HIDE = CLOTH + 'stock 1 "hide", '
SEAT = 'item 1 "seat", '
POUF = 'item 1 "pouf", '
FILE = "the order file"
LENGTH = 'text with its unit such as "38 cm"'

#: File: line, place, words of the rule, value, words of the remedy.
FAULTS = {
    "version_unknown": (1, "version", "must be 1", "2", "write version = 1"),
    "version_as_text": (1, "version", "must be 1", '"1"', "write version = 1"),
    "version_missing": (None, "version", "is missing", "", "add version = 1"),
    "order_name_empty": (2, "name", "must not be empty", '""', "write something"),
    "units_unknown": (3, "units", 'one of "mm", "cm", "in"', '"furlong"', "write one of them"),
    "units_missing": (None, "units", "is missing", "", 'add units = "cm"'),
    "key_unknown_at_the_top": (4, "colour", "not a key", '"red"', "known here are version, name"),
    "key_of_a_cloth_at_the_top": (4, "width", "not belong here", "140", "under [[cloth]]"),
    "key_misspelt": (7, CLOTH + "widht", "not a key", "140", 'did you mean "width"?'),
    "key_of_the_top_in_a_cloth": (9, CLOTH + "version", "not belong here", "1", "at the top"),
    "rule_not_honoured_yet": (
        9, CLOTH + "repeat_length", "this version cannot honour yet", "64", "take it out only if"
    ),
    "length_with_unknown_unit": (
        7, CLOTH + "width", "unknown unit, parsecs", '"140 parsecs"', "write mm, cm, m"
    ),
    "length_unreadable": (7, CLOTH + "width", "cannot be read", '"wide"', LENGTH),
    "length_empty": (7, CLOTH + "width", "cannot be read", '""', LENGTH),
    "length_negative": (7, CLOTH + "width", "not be negative", "-140", "without a minus"),
    "length_zero": (7, CLOTH + "width", "longer than nothing", "0", "write how long"),
    "length_next_to_nothing": (
        7, CLOTH + "width", "longer than nothing", '"0.004 mm"', "write how long"
    ),
    "length_nan": (7, CLOTH + "width", "finite", "nan", LENGTH),
    "length_infinite": (7, CLOTH + "width", "finite", "inf", LENGTH),
    "length_as_flag": (7, CLOTH + "width", "must be a length", "true", LENGTH),
    "length_as_list": (7, CLOTH + "width", "must be a length", "[140]", LENGTH),
    "length_as_date": (7, CLOTH + "width", "must be a length", "1979-05-27", LENGTH),
    "length_absurd": (7, CLOTH + "width", "ordinary size", "1E+999999", "check the number"),
    "width_in_another_unit": (7, CLOTH + "width", "more than 1000.0 cm", "1400", "its unit"),
    "width_missing": (5, CLOTH + "width", "is missing", "", 'add width = "140 cm"'),
    "selvedges_eat_the_cloth": (8, CLOTH + "selvedge", "leave some cloth", "70", "of one edge"),
    "one_way_turned_a_quarter": (
        10, CLOTH + "cross_grain", "on a one-way cloth", "true", 'write nap = "up-and-down"'
    ),
    "one_way_unsaid_turned_a_quarter": (
        9, CLOTH + "cross_grain", "without a nap key is", "true", 'write nap = "up-and-down"'
    ),
    "nap_unknown": (9, CLOTH + "nap", 'one of "one-way"', '"oneway"', 'did you mean "one-way"?'),
    "nap_as_flag": (9, CLOTH + "nap", 'one of "one-way"', "false", "in quotation marks"),
    "flag_as_text": (10, CLOTH + "cross_grain", "true or false", '"yes"', "without quotation"),
    "two_prices": (10, CLOTH + "price_per_yard", "has one price", "17", "take one of the two out"),
    "price_without_currency": (
        5, CLOTH + "currency", "is missing beside a price", "", 'currency = "EUR"'
    ),
    "currency_without_price": (
        9, CLOTH + "currency", "no effect without a price", '"EUR"', "add price_per_metre or"
    ),
    "currency_unknown_form": (10, CLOTH + "currency", "three capital", '"euro"', '"EUR"'),
    "price_as_text": (9, CLOTH + "price_per_metre", "be a number", '"18.5"', "like 18.5"),
    "price_negative": (9, CLOTH + "price_per_metre", "between 0 and", "-1", "check the price"),
    "price_nan": (9, CLOTH + "price_per_metre", "between 0 and", "nan", "check the price"),
    "buy_step_zero": (9, CLOTH + "buy_step", "longer than nothing", "0", "write how long"),
    "gap_negative": (9, CLOTH + "gap", "not be negative", "-0.3", "without a minus"),
    "roll_no_longer_than_its_ends": (
        10, CLOTH + "roll_length", "longer than both end allowances", "4", "check both lengths"
    ),
    "name_with_control_character": (
        6, r'cloth 1 "green\u0009duck", name', "can be seen", r'"green\u0009duck"', "type it again"
    ),
    "name_with_blank": (
        6, 'cloth 1 " green duck", name', "begin or end with a blank", '" green duck"', "take the"
    ),
    "name_too_long": (
        12, f'item 1 "{"x" * 60}…", name', "more than 100", f'"{"x" * 60}…"', "shorter name"
    ),
    "name_as_number": (12, "item 1, name", "must be text", "7", "between quotation marks"),
    "twin_cloths": (
        11, 'cloth 2 "green duck", name', 'taken by cloth 1 "green duck" on line 6',
        '"green duck"', "each its own name",
    ),
    "twin_files": (
        11, 'cloth 2 "Green/duck", name', "its files would have the same name, green-duck",
        '"Green/duck"', "differ in a letter or a digit",
    ),
    "twin_items": (
        19, 'item 2 "seat", name', 'taken by item 1 "seat" on line 12', '"seat"', "its own name"
    ),
    "cloth_not_there": (14, SEAT + "cloth", "no cloth", '"green duk"', 'mean "green duck"?'),
    "liner_cloth_not_there": (
        17, SEAT + "liner", "no cloth has this name", '"green duk"', 'mean "green duck"?'
    ),
    "liner_as_flag": (17, SEAT + "liner", "must be text", "true", "between quotation marks"),
    "liner_without_a_filling": (
        17, SEAT + "liner", "holds a filling, and panel has none", '"green duck"', "take it out"
    ),
    "beads_closed_by_hand": (
        18, POUF + "fill", "an opening that is closed by hand", '"beads"', 'closure = "zip"'
    ),
    "beads_behind_a_slit": (
        19, POUF + "fill", "a slit that is closed by hand", '"beads"', 'closure = "zip"'
    ),
    "quantity_zero": (13, SEAT + "quantity", "between 1 and 1000", "0", "within these limits"),
    "quantity_negative": (13, SEAT + "quantity", "between 1 and 1000", "-2", "within these"),
    "quantity_absurd": (13, SEAT + "quantity", "between 1 and 1000", "1001", "within these"),
    "quantity_with_point": (13, SEAT + "quantity", "whole number", "2.0", "digits alone"),
    "quantity_as_text": (13, SEAT + "quantity", "whole number", '"2"', "digits alone"),
    "quantity_as_flag": (13, SEAT + "quantity", "whole number", "true", "digits alone"),
    "product_unknown": (
        11, SEAT + "product", "no product has this name", '"round-cushoin"',
        'did you mean "round-cushion"? the products are ',
    ),
    "product_missing": (10, SEAT + "product", "is missing", "", 'add product = "box-cushion"'),
    "measurement_missing": (10, SEAT + "diameter", "is missing", "", "add diameter = "),
    "measurement_too_large": (15, SEAT + "diameter", "not be more than", "4000", "its unit"),
    "choice_unknown": (17, SEAT + "strip_grain", 'one of "across"', '"up"', "in quotation marks"),
    "allowance_larger_than_the_panel_bears": (
        17, SEAT + "seam_allowance", "half of the narrowest", "3", "allow at most 2.5 cm"
    ),
    "cap_wider_than_the_pouf": (18, POUF + "cap_diameter", "less than", "50", "narrower"),
    "three_gores": (17, POUF + "gores", "must lie between 4 and", "3", "within these limits"),
    "too_many_panels": (
        13, POUF + "quantity", "more than 5000 panels, this has 10000", "1000", "make fewer"
    ),
    "panel_not_there": (
        15, SEAT + "panel_cloth, bottom-plat", "no such panel", '"bottom-plat"',
        'did you mean "bottom-plate"?',
    ),
    "panel_cloth_not_there": (
        15, SEAT + "panel_cloth, bottom-plate", "no cloth", '"green duk"', 'mean "green duck"?'
    ),
    "panel_cloth_as_text": (
        15, SEAT + "panel_cloth", "must be a table", '"green duck"', "write it like {"
    ),
    "railroad_as_text": (15, SEAT + "railroad", "true or false", '"yes"', "without quotation"),
    "strips_in_a_wrong_word": (
        15, SEAT + "strips", 'whole number or "auto"', '"automatic"', "digits alone"
    ),
    "no_items": (None, "[[item]]", "at least once", "", "write [[item]] on a line"),
    "no_cloths": (None, "[[cloth]]", "at least once", "", "write [[cloth]] on a line"),
    "item_in_single_brackets": (
        10, "[[item]]", "in double brackets", "a table", "write [[item]] on a line"
    ),
    "item_is_no_table": (1, "[[item]]", "in double brackets", "[1, 2]", "write [[item]]"),
    "syntax_error": (12, FILE, "must be TOML", '"name = seat"', "text between quotation marks"),
    "key_twice": (8, FILE, "must be TOML", '"width = 150"', "no key twice"),
    "text_not_closed": (14, FILE, "must be TOML", '"cloth = "green duck"', "quotation marks"),
    "number_too_long": (7, FILE, "such a long number", "1" * 60 + "…", "check the number"),
    "exponent_too_long": (7, FILE, "such a long number", "1e" + "9" * 30, "check the number"),
    "nested_too_deeply": (None, FILE, "lists within lists", "", "take some of the brackets out"),
    "not_utf8": (6, FILE, "must be text in UTF-8", "byte 0xE9", "plain text in UTF-8"),
    "binary": (2, FILE, "must be text", "a zero byte", "plain text in UTF-8"),
    "flaw_at_the_top": (4, "flaw", "does not belong here", "[]", "write it as [[cloth.flaw]]"),
    "flaw_before_the_cut_end": (
        10, CLOTH + "flaw 1, at", "must not begin before the cut end or below the", "[-1, 20]",
        "give its place from the cut"
    ),
    "flaw_beside_its_hide": (
        13, HIDE + "flaw 1, at", "must lie on its piece, at least in part", "[91, 20]",
        "give its place in the"
    ),
    "flaw_beyond_its_piece": (
        14, REMNANT + "flaw 1, size", "must lie on its cloth, which is 140.0 cm wide", "[4, 5]",
        "give its place from the cut"
    ),
    "flaw_beyond_the_roll": (
        11, CLOTH + "flaw 1, at", "must lie on its cloth, which is 140.0 cm wide", "[410, 20]",
        "give its place from the cut"
    ),
    "flaw_beyond_the_selvedge": (
        11, CLOTH + "flaw 1, size", "must lie on its cloth, which is 140.0 cm wide", "[4, 5]",
        "give its place from the cut"
    ),
    "flaw_crosses_itself": (
        10, CLOTH + "flaw 1, outline", "must not cross or touch itself: at (4.5, 4.5) cm",
        "[[0, 0], [9, 9], [9, 0], [0, 9]]", "give its points in order,"
    ),
    "flaw_is_a_line": (
        10, CLOTH + "flaw 1, outline", "must enclose an area", "[[0, 0], [9, 9], [18, 18]]",
        "give its points in order,"
    ),
    "flaw_key_misspelt": (
        11, CLOTH + "flaw 1, siez", "is not a key that is known here", "[4, 5]",
        'did you mean "size"?'
    ),
    "flaw_of_no_size": (
        11, CLOTH + "flaw 1, size", "must be longer than nothing", "[4, 0]",
        "write how long it is"
    ),
    "flaw_of_two_points": (
        10, CLOTH + "flaw 1, outline", "must have 3 to 2000 points", "[[0, 0], [9, 9]]",
        "write it like [[0, 0], [60,"
    ),
    "flaw_on_a_roll_never_bought": (
        10, CLOTH + "flaw", "has no effect: it is on the roll that is", "",
        "write flaws of a piece as"
    ),
    "flaw_place_as_number": (
        10, CLOTH + "flaw 1, at", "must be a pair of lengths, along the cloth and", "10",
        "write it like [120, 30]"
    ),
    "flaw_with_size_and_outline": (
        11, CLOTH + "flaw 1, size", "does not go with an outline, which says where", "[4, 5]",
        "take one of the two out"
    ),
    "flaw_without_a_place": (
        9, CLOTH + "flaw 1, at", "is missing: a flaw has a place and a size, or", "",
        "add at = [120, 30] and size"
    ),
    "flaw_without_a_size": (
        9, CLOTH + "flaw 1, size", "is missing beside at", "", "add size = [4, 6]"
    ),
    "flaws_in_single_brackets": (
        9, CLOTH + "flaw", "must be a table of its own, in double brackets", "a table",
        "write [[cloth.flaw]] on a"
    ),
    "hidden_as_text": (
        17, SEAT + "hidden", "must be a list of names", '"bottom-plate"',
        'write it like ["bottom"]'
    ),
    "hidden_panel_not_there": (
        17, SEAT + "hidden", "the item has no such panel", '"bottom-plat"',
        'did you mean "bottom-plate"?'
    ),
    "hidden_twice": (
        17, SEAT + "hidden", "must not name anything twice", '["boxing", "boxing"]',
        "take the second one out"
    ),
    "may_buy_as_text": (
        9, CLOTH + "may_buy", "must be true or false", '"no"', "write true or false,"
    ),
    "no_shade_has_enough": (
        19, SEAT + "one_shade", "one copy needs at least 0.314 m² of one shade", "",
        "add pieces of one shade,"
    ),
    "nothing_to_cut_from": (
        9, CLOTH + "may_buy", "leaves nothing to cut from without stock", "false",
        "add what is there under"
    ),
    "one_shade_as_text": (
        17, SEAT + "one_shade", "must be true or false", '"yes"', "write true or false,"
    ),
    "piece_named_roll": (
        10, CLOTH + 'stock 1 "Roll", name', '"roll" is the name of the cloth that is bought',
        '"Roll"', "give the piece another name"
    ),
    "shade_too_long": (
        12, REMNANT + "shade", "must not have more than 100 characters", f'"{"x" * 60}…"',
        "write less"
    ),
    "splices_as_number": (
        12, REMNANT + "splices", "must be a list of lengths", "120", "write it like [180, 420]"
    ),
    "splices_beyond_the_piece": (
        12, REMNANT + "splices", "200.0 cm must lie between the ends of the", "[120, 200]",
        "check the numbers and their"
    ),
    "splices_out_of_order": (
        12, REMNANT + "splices", "must go along the piece, each once", "[120, 120]",
        "put them in order"
    ),
    "stock_in_no_currency": (
        12, REMNANT + "price", "has no currency: the cloth does not name one", "5",
        "add price_per_metre or"
    ),
    "stock_key_in_the_cloth": (9, CLOTH + "shade", "does not belong here", '"A"', "write it under"),
    "stock_key_misspelt": (
        11, REMNANT + "lenght", "is not a key that is known here", "200", 'did you mean "length"?'
    ),
    "stock_narrower_than_selvedges": (
        12, REMNANT + "width", "must leave some cloth between both selvedges:", "3",
        "give the selvedge of one"
    ),
    "stock_outline_as_number": (
        11, HIDE + "outline", "must be a list of pairs of lengths, or the path", "90",
        "write it like [[0, 0], [60,"
    ),
    "stock_outline_crosses_itself": (
        11, HIDE + "outline", "must not cross or touch itself: at (45, 40) cm",
        "[[0, 0], [90, 80], [90, 0], [0, 80]]", "give its points in order,"
    ),
    "stock_outline_file_not_there": (
        11, HIDE + "outline", "must be the path of a file that is there", '"hide.dxf"',
        "write its path from the"
    ),
    "stock_outline_next_to_nothing": (
        11, HIDE + "outline", "must not be smaller than 1 cm: 0.9 × 0.9 cm",
        "[[0, 0], [0.9, 0], [0.9, 0.9]]", "check the unit of the"
    ),
    "stock_shorter_than_its_ends": (
        12, REMNANT + "length", "must be longer than both end allowances of", "200",
        "check the numbers and their"
    ),
    "stock_with_length_and_outline": (
        12, HIDE + "length", "does not go with an outline, which says how", "90",
        "take one of the two out"
    ),
    "stock_with_unit_and_points": (
        12, HIDE + "unit", "has no effect without a drawing", '"mm"', "take it out"
    ),
    "stock_with_width_and_outline": (
        12, HIDE + "width", "does not go with an outline, which says how", "80",
        "take one of the two out"
    ),
    "stock_without_a_length": (
        9, REMNANT + "length", "is missing: a piece has a length or an outline", "",
        'add length = "3.2 m", or'
    ),
    "stock_without_a_name": (
        9, CLOTH + "stock 1, name", "is missing", "", 'add name = "end of roll":'
    ),
    "twin_piece_files": (
        13, CLOTH + 'stock 2 "Remnant", name', "its files would have the same name,", '"Remnant"',
        "let the names differ in a"
    ),
    "twin_pieces": (
        13, CLOTH + 'stock 2 "remnant", name', 'the name is taken by cloth 1 "green duck",',
        '"remnant"', "give each its own name"
    ),
    "widths_as_lengths": (
        12, REMNANT + "widths", "must be a list of pairs of lengths", "[138, 139]",
        "write it like [[0, 140],"
    ),
    "widths_beyond_the_piece": (
        12, REMNANT + "widths", "201.0 cm along is beyond the piece, which is",
        "[[50, 138], [201, 139]]", "check the numbers and their"
    ),
    "widths_out_of_order": (
        12, REMNANT + "widths", "must go along the piece, each place once",
        "[[50, 138], [20, 139]]", "put them in order"
    ),
    "widths_wider_than_the_piece": (
        13, REMNANT + "widths", "130.5 cm is wider than the piece, which is", "[[50, 130.5]]",
        "check the numbers and their"
    ),
}  # fmt: skip


def faults_of(name: str) -> tuple[Fault, ...]:
    with pytest.raises(OrderError) as caught:
        read_order(ORDERS / f"{name}.toml")
    return caught.value.faults


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_reported_once_with_place_line_rule_value_and_remedy(name):
    line, place, rule, value, remedy = FAULTS[name]
    (fault,) = faults_of(name)
    assert (fault.line, fault.place, fault.value) == (line, place, value)
    assert rule in fault.rule
    assert remedy in fault.remedy


def test_every_bad_order_is_asked_for():
    others = {"good", "empty", "many_faults"}
    assert {file.stem for file in ORDERS.glob("*.toml")} == {*FAULTS, *others}


def test_an_empty_file_is_told_everything_that_an_order_needs():
    assert [fault.place for fault in faults_of("empty")] == [
        "version", "name", "units", "[[cloth]]", "[[item]]",
    ]  # fmt: skip


def test_all_faults_of_one_file_are_reported_together_in_the_order_of_its_lines():
    assert [(fault.line, fault.place) for fault in faults_of("many_faults")] == [
        (1, "version"),
        (3, "units"),
        (4, "client"),
        (6, 'cloth 1 "green duck", currency'),
        (8, 'cloth 1 "green duck", width'),
        (10, 'cloth 1 "green duck", cross_grain'),
        (11, 'cloth 1 "green duck", price_per_yard'),
        (14, 'cloth 2 "Green duck", name'),
        (17, 'cloth 2 "Green duck", buy_step'),
        (20, 'item 1 "seat", product'),
        (22, 'item 1 "seat", quantity'),
        (23, 'item 1 "seat", cloth'),
        (26, 'item 2 "seat", diameter'),
        (28, 'item 2 "seat", name'),
        (29, 'item 2 "seat", quantity'),
        (31, 'item 2 "seat", gores'),
        (32, 'item 2 "seat", cap_diameter'),
        (33, 'item 2 "seat", seam_allowance'),
    ]


def test_a_message_reads_as_one_line_for_each_fault():
    with pytest.raises(OrderError) as caught:
        read_order(ORDERS / "selvedges_eat_the_cloth.toml")
    assert str(caught.value) == (
        'line 8: cloth 1 "green duck", selvedge: both selvedges together must leave some cloth: 70 '
        "(give the selvedge of one edge, and check both numbers and their units)"
    )
