"""What is there of a cloth: flaws, rolls, remnants and hides as an order states them."""

import json
import tomllib
from dataclasses import replace
from decimal import Decimal

import ezdxf
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from nesting.cloth.stock import ClothPiece, Flaw
from nesting.errors import OrderError
from nesting.geometry.outline import Outline
from nesting.orders.building import build_cloth, build_order
from nesting.orders.reader import parse_order, read_order
from nesting.orders.rolls import read_rolls
from nesting.orders.schema import json_schema
from nesting.planning.items import make_item
from nesting.units import BARE_UNITS

VALIDATOR = Draft202012Validator(json_schema())

ORDER = """
version = 1
name = "Workroom"
units = "{units}"
[[cloth]]
name = "linen"
width = "140 cm"
selvedge = "1 cm"
price_per_metre = 20
currency = "EUR"
{stock}
[[item]]
product = "box-cushion"
name = "seat"
quantity = 2
cloth = "linen"
length = "50 cm"
width = "45 cm"
thickness = "6 cm"
{item}
"""

STOCK = """
[[cloth.flaw]]
at = [120, 30]
size = [4, "60 mm"]
what = "oil stain"
[[cloth.flaw]]
outline = [[200, 0], [210, 0], [205, 8]]
minor = true

[[cloth.stock]]
name = "end of roll"
length = "3.2 m"
splices = [180, 250.5]
widths = [[0, 140], [300, 138]]
shade = "lot 7"
price = 12.50
[[cloth.stock.flaw]]
at = [0, 0]
size = [10, 20]

[[cloth.stock]]
name = "remnant"
length = 90
width = 60
selvedge = 0
price = 0
"""


def box(x0, y0, x1, y1):
    return Outline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))


def cloth_of(stock, units="cm", folder=None, item=""):
    """The one cloth of an order with some tables of what is there."""
    text = ORDER.format(units=units, stock=stock, item=item)
    return (parse_order(text, folder) if folder else parse_order(text)).cloths[0]


def faults_of(stock, folder=None, item=""):
    with pytest.raises(OrderError) as caught:
        cloth_of(stock, folder=folder, item=item)
    return caught.value.faults


def fault_of(stock, folder=None, item=""):
    (fault,) = faults_of(stock, folder, item)
    return fault


def test_flaws_and_pieces_arrive_on_the_grid():
    cloth = cloth_of(STOCK)
    assert cloth.may_buy
    assert cloth.flaws == (
        Flaw(box(120_000, 30_000, 124_000, 36_000), "oil stain"),
        Flaw(Outline(((200_000, 0), (210_000, 0), (205_000, 8000))), minor=True),
    )
    assert cloth.stock == (
        ClothPiece(
            "end of roll",
            width=140_000,
            length=320_000,
            selvedge=1000,
            widths=((0, 140_000), (300_000, 138_000)),
            splices=(180_000, 250_500),
            shade="lot 7",
            price=Decimal("12.50"),
            flaws=(Flaw(box(0, 0, 10_000, 20_000)),),
        ),
        ClothPiece("remnant", width=60_000, length=90_000, price=Decimal(0)),
    )
    assert [piece.name for piece in cloth.pieces] == ["end of roll", "remnant", "roll"]


def test_a_cloth_without_these_keys_is_one_roll():
    cloth = cloth_of("")
    assert (cloth.flaws, cloth.stock, cloth.may_buy) == ((), (), True)


def test_what_is_there_may_be_all_there_is():
    cloth = cloth_of("may_buy = false\n[[cloth.stock]]\nname = 'roll 3'\nlength = 900")
    assert [piece.name for piece in cloth.pieces] == ["roll 3"]


def test_an_outline_is_shifted_to_its_least_corner_with_its_flaws_and_splices():
    stock = """
    [[cloth.stock]]
    name = "offcut"
    outline = [[-20, 15], [60, 15], [40, 95], [-20, 75]]
    splices = [10]
    [[cloth.stock.flaw]]
    at = [-5, 20]
    size = [3, 2]
    """
    (piece,) = cloth_of(stock).stock
    assert piece.outline == Outline(((0, 0), (80_000, 0), (60_000, 80_000), (0, 60_000)))
    assert (piece.length, piece.width, piece.selvedge) == (80_000, 80_000, 0)
    assert piece.splices == (30_000,)
    assert piece.flaws == (Flaw(box(15_000, 5000, 18_000, 7000)),)


def test_a_piece_with_an_outline_may_have_a_selvedge_of_its_own():
    stock = "[[cloth.stock]]\nname = 'a'\noutline = [[0, 0], [60, 0], [60, 70]]\nselvedge = 2"
    (piece,) = cloth_of(stock).stock
    assert piece.selvedge == 2000


def hide_svg(folder, *shapes, view="0 0 200 150"):
    width, height = view.split()[2:]
    (folder / "hide.svg").write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}cm" height="{height}cm" '
        f'viewBox="{view}">' + "".join(f'<polygon points="{each}"/>' for each in shapes) + "</svg>"
    )


HIDE = '[[cloth.stock]]\nname = "hide"\noutline = "hide.svg"\n'


def test_rings_inside_the_edge_of_a_drawing_are_holes_and_y_runs_down_in_svg(tmp_path):
    """Edge 10 to 190 by 20 to 140 cm; y counts down from the top of the drawing."""
    hide_svg(tmp_path, "10,20 190,20 190,140 10,140", "50,30 60,30 60,50 50,50")
    flaw = "[[cloth.stock.flaw]]\nat = [100, 130]\nsize = [5, 10]\n"
    (piece,) = cloth_of(HIDE + flaw, folder=tmp_path).stock
    assert piece.outline == box(0, 0, 180_000, 120_000)
    assert piece.holes == (box(40_000, 90_000, 50_000, 110_000),)
    assert piece.flaws == (Flaw(box(90_000, 0, 95_000, 10_000)),)


def dxf(folder, *rings, unit=0):
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = unit
    for ring in rings:
        document.modelspace().add_lwpolyline(ring, close=True)
    document.saveas(folder / "hide.dxf")


EDGE = [(-5, 5), (95, 5), (95, 85), (-5, 85)]
IN_DXF = HIDE.replace("svg", "dxf")


@pytest.mark.parametrize(("key", "unit"), [("", 5), ('unit = "cm"\n', 0), ('unit = "cm"\n', 5)])
def test_the_unit_of_a_drawing_is_that_of_its_file_or_of_the_order(tmp_path, key, unit):
    dxf(tmp_path, EDGE, unit=unit)
    (piece,) = cloth_of(IN_DXF + key, folder=tmp_path).stock
    assert piece.outline == box(0, 0, 100_000, 80_000)


def test_a_drawing_without_a_unit_or_with_another_is_refused(tmp_path):
    dxf(tmp_path, EDGE)
    found = fault_of(IN_DXF, tmp_path)
    assert "must say how long one unit is" in str(found)
    assert 'add unit = "mm"' in found.remedy
    dxf(tmp_path, EDGE, unit=4)
    assert "but the order says cm" in str(fault_of(IN_DXF + 'unit = "cm"', tmp_path))


SQUARE = "10,20 190,20 190,140 10,140"


@pytest.mark.parametrize(
    ("shapes", "rule"),
    [
        ((SQUARE, "180,30 195,30 195,50 180,50"), "must not cross or touch the edge"),
        ((SQUARE, "10,30 20,30 20,50 10,50"), "must not cross or touch the edge"),
        ((SQUARE, "192,30 198,30 198,50 192,50"), "must lie wholly inside the edge"),
        ((SQUARE, "30,30 60,30 60,60 30,60", "50,50 80,50 80,80 50,80"), "must be apart"),
        ((SQUARE, "30,30 60,30 60,60 30,60", "40,40 50,40 50,50 40,50"), "must be apart"),
        ((SQUARE, "30,30 60,60 60,30 30,60"), "must not cross or touch itself"),
        (("10,20 190,140 190,20 10,140",), "must not cross or touch itself"),
        ((), "must have a closed outline"),
        (("0,0 1100,0 1100,1100 0,1100",), "must not be wider than 1000 cm"),
    ],
)
def test_a_drawing_that_is_no_piece_of_cloth_is_refused_once(tmp_path, shapes, rule):
    hide_svg(tmp_path, *shapes)
    found = fault_of(HIDE, tmp_path)
    assert rule in found.rule
    assert found.place == 'cloth 1 "linen", stock 1 "hide", outline'
    assert (found.value, found.line) == ('"hide.svg"', 13)
    assert found.remedy


def test_a_file_without_a_closed_ring_says_where_it_is_open(tmp_path):
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 5
    document.modelspace().add_lwpolyline([(0, 0), (100, 0), (100, 80), (0, 80)])
    document.saveas(tmp_path / "hide.dxf")
    found = faults_of(IN_DXF, tmp_path)
    assert all("must be closed, but it ends here" in str(each) for each in found)
    assert len(found) == 2


def test_a_file_that_is_no_drawing_is_refused(tmp_path):
    (tmp_path / "hide.svg").write_text("not a drawing")
    assert "must be a DXF or an SVG file" in str(fault_of(HIDE, tmp_path))


def test_usable_cloth_is_never_larger_than_drawn(tmp_path):
    """Sides of a third of a centimetre: no corner lies on the grid of 0.01 mm."""
    edge = [(10 + x / 3, 20 + y / 3) for x, y in ((0, 1), (200, 0), (310, 140), (40, 201))]
    hole = [(10 + x / 3, 20 + y / 3) for x, y in ((90, 70), (121, 77), (100, 110))]
    points = [" ".join(f"{x!r},{y!r}" for x, y in ring) for ring in (edge, hole)]
    hide_svg(tmp_path, *points)
    (piece,) = cloth_of(HIDE, folder=tmp_path).stock
    drawn = shapely.Polygon(edge, [hole])
    usable = shapely.Polygon(piece.outline.points, [piece.holes[0].points])
    assert usable.area < drawn.area * 10**6
    assert usable.area == pytest.approx(drawn.area * 10**6, rel=1e-3)


def test_a_hole_is_not_usable_at_any_point_of_it(tmp_path):
    """Placed back where it was drawn, each hole covers what was drawn, and the edge does not."""
    edge = [(1 / 3, 1 / 3), (100 + 1 / 3, 2 / 3), (90 + 1 / 3, 80), (7 + 1 / 3, 71)]
    hole = [(20 + 1 / 3, 20), (40, 21 + 1 / 3), (30, 40 + 1 / 7)]
    hide_svg(tmp_path, *(" ".join(f"{x!r},{150 - y!r}" for x, y in ring) for ring in (edge, hole)))
    (piece,) = cloth_of(HIDE, folder=tmp_path).stock

    def as_drawn(outline):
        # least corner of the edge, inside 1/3 cm by at most 0.03 mm, and 150 cm up
        return shapely.Polygon(outline.points)

    gap = as_drawn(piece.outline).exterior.distance(as_drawn(piece.holes[0]).exterior)
    drawn = shapely.Polygon(edge).exterior.distance(shapely.Polygon(hole).exterior)
    assert drawn * 1000 - 10 < gap < drawn * 1000


def test_the_names_of_a_cloth_and_of_the_piece_of_another_must_give_different_files():
    stock = """
    [[cloth.stock]]
    name = "b c"
    length = 90
    [[cloth]]
    name = "linen-b"
    width = 140
    [[cloth.stock]]
    name = "c"
    length = 90
    [[cloth]]
    name = "linen roll"
    width = 140
    """
    roll, piece = faults_of(stock)
    assert "files would have the same name, linen-roll, as those of cloth 3" in roll.rule
    assert roll.place == 'cloth 1 "linen", name'
    assert "files would have the same name, linen-b-c, as those of cloth 1" in piece.rule
    assert piece.place == 'cloth 2 "linen-b", stock 1 "c", name'


def test_the_names_of_cloth_and_piece_must_make_a_file_name_that_a_disk_takes():
    table = {"name": "c" * 100, "width": 140, "stock": [{"name": "p" * 100, "length": 90}]}
    with pytest.raises(OrderError, match="in 201 characters, and may have 200"):
        build_cloth(table, units="cm")
    table["stock"][0]["name"] = "p" * 99
    assert build_cloth(table, units="cm").stock


def test_counts_are_limited():
    many = "[[cloth.stock]]\nname = '{}'\nlength = 9\n"
    assert "more than 200 times" in fault_of("".join(map(many.format, range(201)))).rule
    flaw = "[[cloth.flaw]]\nat = [1, 1]\nsize = [1, 1]\n"
    assert "more than 1000 times" in fault_of(flaw * 1001).rule
    ring = [[n, 0] for n in range(2000)] + [[0, 5]]
    found = fault_of(f"[[cloth.flaw]]\noutline = {ring}\n")
    assert (found.value, "3 to 2000 points" in found.rule) == ("a list of 2001", True)


def test_all_faults_of_what_is_there_are_told_at_once_in_the_order_of_their_lines():
    stock = """
    [[cloth.flaw]]
    at = [-1, 0]
    size = [2, 2]
    [[cloth.stock]]
    name = "a"
    length = "wide"
    colour = "red"
    [[cloth.stock.flaw]]
    at = [1, 1]
    [[cloth.stock]]
    name = "a"
    length = 90
    splices = [95]
    """
    found = faults_of(stock, item='hidden = ["lid"]')
    assert [fault.place.removeprefix('cloth 1 "linen", ') for fault in found] == [
        "flaw 1, at",
        'stock 1 "a", length',
        'stock 1 "a", colour',
        'stock 1 "a", flaw 1, size',
        'stock 2 "a", name',
        'stock 2 "a", splices',
        'item 1 "seat", hidden',
    ]


SHADES = """
may_buy = false
[[cloth.stock]]
name = "one"
length = 50
shade = "A"
[[cloth.stock]]
name = "two"
length = {}
shade = "{}"
"""


def test_one_copy_must_find_its_area_in_one_shade():
    """Two plates of 50 by 45 and a strip of 190 by 6 are 0.564 m²; 138 cm times 41 cm are 0.566."""
    assert cloth_of(SHADES.format(41, "A"))
    assert cloth_of(SHADES.replace("50", "41").format(30, "B"))
    scarce = SHADES.replace("50", "40")
    found = fault_of(scarce.format(30, "B"))
    assert 'shade "A", has 0.552 m²' in found.rule
    assert "at least 0.564 m²" in found.rule
    assert found.place == 'item 1 "seat", one_shade'
    assert cloth_of(scarce.format(30, "B"), item="one_shade = false")
    assert cloth_of(scarce.format(30, "A"))
    assert cloth_of(scarce.replace("may_buy = false", "").format(30, "B"))


def test_the_narrower_of_two_widths_counts_in_the_area_of_a_shade():
    """50 cm of 58 cm between selvedges, then 50 of 38: 0.48 m²."""
    piece = "may_buy = false\n[[cloth.stock]]\nname = 'a'\nlength = 100\nwidth = 60\n"
    assert cloth_of(piece)
    assert "has no shade, has 0.480 m²" in fault_of(piece + "widths = [[50, 60], [80, 40]]").rule


def test_hidden_panels_and_shades_reach_the_panels():
    item = 'hidden = ["bottom-plate"]\none_shade = false'
    order = parse_order(ORDER.format(units="cm", stock="", item=item))
    panels = make_item(order.items[0]).panels
    assert {panel.name: (panel.per_item, panel.hidden) for panel in panels} == {
        "plate": (1, False),
        "bottom-plate": (1, True),
        "boxing-long": (2, False),
        "boxing-short": (2, False),
    }
    assert not any(panel.one_shade for panel in panels)
    assert all(seam.meets for seam in make_item(order.items[0]).seams)


def test_a_panel_may_be_hidden_with_all_its_parts_and_be_cut_from_two_cloths():
    order = parse_order(ORDER.format(units="cm", stock="", item='hidden = ["plate"]'))
    (item,) = order.items
    plate = make_item(item).panels[0]
    assert (plate.per_item, plate.hidden, plate.one_shade) == (2, True, True)
    divided = make_item(replace(item, panel_cloths={"bottom-plate": "calico"})).panels
    hidden = {panel.name: (panel.cloth, panel.hidden) for panel in divided}
    assert hidden["plate"] == ("linen", True)
    assert hidden["bottom-plate"] == ("calico", True)
    assert hidden["boxing-long"] == ("linen", False)


def test_panels_of_a_liner_are_hidden_only_if_they_are_named():
    lined = 'liner = "linen"\n'
    (item,) = parse_order(ORDER.format(units="cm", stock="", item=lined)).items
    liner = [panel.name for panel in make_item(item).panels][3:]
    assert liner
    assert not any(panel.hidden for panel in make_item(item).panels)
    named = f"{lined}hidden = {json.dumps(liner[:1])}"
    (item,) = parse_order(ORDER.format(units="cm", stock="", item=named)).items
    assert [panel.name for panel in make_item(item).panels if panel.hidden] == liner[:1]


def test_orders_built_in_python_take_the_same_tables():
    tables = tomllib.loads(ORDER.format(units="cm", stock=STOCK, item='hidden = ["plate"]'))
    order = build_order(
        tables["name"], units=tables["units"], cloths=tables["cloth"], items=tables["item"]
    )
    assert order == parse_order(ORDER.format(units="cm", stock=STOCK, item='hidden = ["plate"]'))
    assert build_cloth(tables["cloth"][0], units="cm") == order.cloths[0]


def test_tables_within_tables_of_python_may_hold_none_tuples_and_paths(tmp_path):
    hide_svg(tmp_path, SQUARE)
    flaw = {"at": (20.5, 30), "size": (1, 2), "what": None}
    pieces = [{"name": "hide", "outline": tmp_path / "hide.svg", "shade": None, "flaw": [flaw]}]
    table = {"name": "leather", "width": 200, "stock": pieces}
    (piece,) = build_cloth(table, units="cm").stock
    assert piece.flaws == (Flaw(box(10_500, 108_000, 11_500, 110_000)),)
    pieces[0]["outline"] = "hide.svg"
    assert build_cloth(table, units="cm", folder=tmp_path).stock == (piece,)


def test_paths_are_relative_to_the_folder_of_the_order_and_of_a_list_of_rolls(tmp_path):
    hide_svg(tmp_path, SQUARE)
    text = ORDER.format(units="cm", stock=HIDE, item="")
    (tmp_path / "order.toml").write_text(text)
    (tmp_path / "rolls.toml").write_text(text.split("[[item]]")[0])
    (cloth,) = read_rolls(tmp_path / "rolls.toml")
    assert cloth == read_order(tmp_path / "order.toml").cloths[0]
    assert cloth.stock[0].outline == box(0, 0, 180_000, 120_000)


def written(length, units):
    """A grid length as a bare number of a unit, or as text in millimetres."""
    return st.sampled_from(
        [f"{Decimal(length) / BARE_UNITS[units]}", f'"{Decimal(length) / 100} mm"']
        if units != "in"
        else [f'"{Decimal(length) / 100} mm"']
    )


@st.composite
def pieces(draw, units):
    """A stock table as text, and the piece it must become."""

    def text(length):
        return draw(written(length, units))

    def many(most, least=0):
        places = draw(st.sets(st.integers(least, most), min_size=1, max_size=3))
        return sorted(places)

    length = draw(st.integers(5000, 900_000))
    width = draw(st.integers(5000, 200_000))
    lines = [f"length = {text(length)}", f"width = {text(width)}"]
    piece = ClothPiece("rest", width, length, selvedge=1000)
    if draw(st.booleans()):
        piece = replace(piece, splices=tuple(many(length - 1, least=1)))
        lines.append(f"splices = [{', '.join(map(text, piece.splices))}]")
    if draw(st.booleans()):
        measured = tuple((at, draw(st.integers(2500, width))) for at in many(length))
        piece = replace(piece, widths=measured)
        lines.append(f"widths = [{', '.join(f'[{text(a)}, {text(w)}]' for a, w in measured)}]")
    if draw(st.booleans()):
        piece = replace(piece, shade=draw(st.sampled_from(["A", "lot 7"])))
        lines.append(f'shade = "{piece.shade}"')
    if draw(st.booleans()):
        piece = replace(piece, selvedge=draw(st.integers(0, 1200)))
        lines.append(f"selvedge = {text(piece.selvedge)}")
    flaws = []
    for _ in range(draw(st.integers(0, 3))):
        x, y = draw(st.integers(0, length - 2)), draw(st.integers(0, width - 2))
        far = draw(st.integers(x + 1, length)), draw(st.integers(y + 1, width))
        flaws.append(Flaw(box(x, y, *far)))
        size = f"[{text(far[0] - x)}, {text(far[1] - y)}]"
        lines += ["[[cloth.stock.flaw]]", f"at = [{text(x)}, {text(y)}]", f"size = {size}"]
    lines.insert(0, '[[cloth.stock]]\nname = "rest"')
    return "\n".join(lines), replace(piece, flaws=tuple(flaws))


@settings(deadline=None)
@given(st.data(), st.sampled_from(["mm", "cm", "in"]))
def test_every_length_of_a_piece_is_read_exactly_in_every_unit(data, units):
    text, piece = data.draw(pieces(units))
    assert cloth_of(text, units).stock == (piece,)
    assert VALIDATOR.is_valid(tomllib.loads(ORDER.format(units=units, stock=text, item="")))


@settings(deadline=None)
@given(st.lists(st.integers(1, 32 * 16), min_size=4, max_size=4))
def test_sixteenths_of_an_inch_make_flaws_no_smaller_than_stated(sixteenths):
    x, y, long, wide = sixteenths  # y and wide: 64 in together, on a cloth of 100 in
    stock = f'[[cloth.flaw]]\nat = ["{x}/16 in", {y / 16}]\nsize = [{long / 16}, "{wide}/16 in"]'
    table = tomllib.loads(stock)["cloth"] | {"name": "linen", "width": 100}
    (flaw,) = build_cloth(table, units="in").flaws
    left, low, right, high = flaw.outline.bounds
    exact = [n * 2540 / 16 for n in (x, y, x + long, y + wide)]
    assert left <= exact[0] < left + 1
    assert low <= exact[1] < low + 1
    assert right - 1 < exact[2] <= right
    assert high - 1 < exact[3] <= high


KEYS = {
    "length": ["90", '"9 in"', "0", "true"],
    "width": ["60", "-1", '"x"'],
    "outline": ["[[0, 0], [50, 0], [50, 50]]", "[[0, 0]]", '"no.svg"', "3"],
    "unit": ['"cm"', '"ell"'],
    "widths": ["[[0, 60]]", "[]", "[60]"],
    "splices": ["[10]", "[]", "[[10]]", "[-3]"],
    "shade": ['"A"', "7"],
    "price": ["0", "-1", '"9"'],
    "selvedge": ["0.5", "-1"],
    "flaw": ["[{at = [1, 1], size = [2, 2]}]", "[{at = [1, 1]}]", "[]", "{}", "[3]"],
}


def test_empty_lists_of_pieces_and_flaws_are_as_good_as_none():
    assert cloth_of("stock = []\nflaw = []") == cloth_of("")
    assert "nothing to cut from" in fault_of("may_buy = false\nstock = []").rule


DAMAGES = st.sampled_from(
    [
        *("", "0", "-", "9", "[", "]", '"', "\n", "e9", ", ", "unit", "= {}", "nan", "true"),
        *("[[cloth.stock]]\n", "[[cloth.flaw]]\n", "length = 3\n"),
        "outline = [[0, 0], [9, 0], [9, 1e-3]]\n",
    ]
)


@settings(deadline=None, max_examples=300)
@given(
    st.lists(st.tuples(st.integers(0, len(STOCK)), st.integers(0, 12), DAMAGES), max_size=4),
    st.sampled_from(["cm", "in", "ells"]),
)
def test_no_damaged_table_raises_anything_but_the_declared_error(damages, units):
    stock = STOCK
    for at, length, piece in damages:
        stock = stock[:at] + piece + stock[at + length :]
    found, faults = (), ()
    try:
        found = cloth_of(stock, units).stock
    except OrderError as error:
        faults = error.faults
    assert all(fault.rule and fault.remedy for fault in faults)
    assert all("\n" not in str(fault) for fault in faults)
    assert all(piece.width > 2 * piece.selvedge for piece in found)


coordinates = st.integers(-4, 4).map(lambda n: n * 5) | st.integers(-999, 999).map(lambda n: n / 50)
corners = st.lists(st.tuples(coordinates, coordinates), min_size=3, max_size=9)


@settings(deadline=None, max_examples=300)
@given(corners, corners, st.sampled_from(["cm", "in"]))
def test_any_corners_are_refused_or_bound_cloth_that_is_there_and_flaws_whole(edge, flaw, units):
    """Least corner of the drawing: moved inward by rounding, so both are compared from there."""
    table = {"name": "a", "outline": edge, "flaw": [{"outline": flaw}]}
    try:
        (piece,) = build_cloth(
            {"name": "linen", "width": "2 m", "stock": [table]}, units=units
        ).stock
    except OrderError:
        return
    scale = BARE_UNITS[units]
    drawn, stain = (shapely.Polygon([(x * scale, y * scale) for x, y in p]) for p in (edge, flaw))
    usable = shapely.Polygon(piece.outline.points)
    assert usable.area <= drawn.area + 1
    assert shapely.Polygon(piece.flaws[0].outline.points).area >= stain.area - 1
    assert piece.outline.bounds == (0, 0, piece.length, piece.width)


@settings(deadline=None, max_examples=300)
@given(
    st.fixed_dictionaries({}, optional={key: st.sampled_from(v) for key, v in KEYS.items()}),
    st.sampled_from(["", "may_buy = false", "hidden = 7", 'hidden = ["plate"]']),
)
def test_whatever_the_reader_takes_of_a_piece_the_schema_takes(table, more):
    lines = "\n".join(f"{key} = {value}" for key, value in table.items())
    in_item = more.startswith("hidden")
    stock = f'{"" if in_item else more}\n[[cloth.stock]]\nname = "rest"\n{lines}'
    text = ORDER.format(units="cm", stock=stock, item=more if in_item else "")
    try:
        parse_order(text)
    except OrderError:
        return
    assert VALIDATOR.is_valid(tomllib.loads(text))
