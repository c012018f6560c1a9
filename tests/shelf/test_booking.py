"""Lays are booked whole or not at all, once, and can be taken back."""

import json
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shelf_lays import ask, dump, lay_on, on_piece, record, roll, write_record

from nesting.cloth.stock import Flaw
from nesting.errors import AccessError, OrderError, WorkError
from nesting.geometry.outline import Outline
from nesting.planning.left_over import left_over
from nesting.shelf.booking import book, rectangle, undo
from nesting.shelf.lay_record import read_lay
from nesting.shelf.piece import Piece
from nesting.shelf.stocktaking import add, find, remove
from nesting.units import CM


@pytest.fixture
def path(tmp_path):
    return tmp_path / "workroom.shelf"


def by_number(path):
    return {each.number: each for each in find(path)}


def test_a_roll_loses_its_length_and_its_share_of_the_price_and_keeps_its_number(path, tmp_path):
    (linen,) = add(path, [roll(1000 * CM, shade="B7", place="rack 2", price=9999, currency="EUR")])
    booked = book(path, lay_on(linen, folder=tmp_path, taken=300 * CM, end=5 * CM), {})
    (left,) = booked.shortened
    assert find(path) == (left,)
    assert (left.number, left.revision, left.piece.length) == (1, 2, 695 * CM)
    assert left.piece.price == 6949  # 99.99 x 6.95 / 10 = 69.493
    assert (left.piece.shade, left.piece.place) == ("B7", "rack 2")
    assert booked.gone == booked.new == ()


@pytest.mark.parametrize(("rest", "stays"), [(10 * CM, True), (10 * CM - 1, False)])
def test_a_rest_too_short_to_keep_is_gone(path, tmp_path, rest, stays):
    (linen,) = add(path, [roll(100 * CM + rest)])
    book(path, lay_on(linen, folder=tmp_path), {})
    assert [each.piece.length for each in find(path)] == ([rest] if stays else [])


def test_flaws_move_with_the_cut_end(path, tmp_path):
    flaws = [Flaw(rectangle(10 * CM, 5 * CM)), Flaw(moved(95, 20, 30), "stain", minor=True),
             Flaw(moved(400, 7, 50))]  # fmt: skip
    (linen,) = add(path, [roll(flaws=tuple(flaws))])
    book(path, lay_on(linen, folder=tmp_path, taken=100 * CM), {})
    cut, whole = find(path)[0].piece.flaws
    assert cut == Flaw(moved(0, 15, 30), "stain", minor=True)
    assert whole == Flaw(moved(300, 7, 50))


def moved(along, long, across):
    """A flaw 6 cm wide at a place, in centimetres."""
    ring = [
        (along, across),
        (along + long, across),
        (along + long, across + 6),
        (along, across + 6),
    ]
    return Outline(tuple((x * CM, y * CM) for x, y in ring))


def test_a_hide_is_gone_and_what_is_left_of_it_is_new_and_paid(path, tmp_path):
    edge = rectangle(120 * CM, 80 * CM)
    hide = Piece("kid", 120 * CM, 80 * CM, outline=edge, shade="tan", price=9000, currency="EUR")
    (kept,) = add(path, [hide])
    lay = lay_on(kept, folder=tmp_path)
    booked = book(path, lay, {("kid", kept.name): [(30 * CM, 25 * CM)]})
    (new,) = booked.new
    assert booked.gone == (kept,)
    assert find(path) == (new,)
    assert (new.piece.length, new.piece.width, new.piece.shade) == (30 * CM, 25 * CM, "tan")
    assert (new.piece.price, new.piece.selvedge) == (0, 0)
    assert new.piece.since == date.today().isoformat()


def test_a_lay_is_booked_once(path, tmp_path):
    linen, felt = add(path, [roll(), roll(cloth="felt")])
    lay = lay_on(linen, folder=tmp_path)
    book(path, lay, {})
    before = dump(path)
    with pytest.raises(WorkError, match="booked already"):
        book(path, lay, {})
    assert dump(path) == before
    book(path, lay_on(felt, folder=tmp_path, digest="another lay in the folder"), {})
    assert len(ask(path, "SELECT 1 FROM bookings")) == 2


def test_a_lay_is_refused_whole_when_one_of_its_pieces_has_changed(path, tmp_path):
    linen, felt = add(path, [roll(), roll(cloth="felt")])
    both = lay_on(linen, felt, folder=tmp_path / "both")
    book(path, lay_on(felt, folder=tmp_path / "first"), {})
    before = dump(path)
    with pytest.raises(WorkError, match=r"shelf 2\.1, felt: has changed .*it is shelf 2\.2 now"):
        book(path, both, {("linen", linen.name): [(30 * CM, 25 * CM)]})
    assert dump(path) == before


def test_a_lay_on_what_is_gone_or_on_another_shelf_is_refused(path, tmp_path):
    linen, felt = add(path, [roll(), roll(cloth="felt")])
    lay = lay_on(linen, folder=tmp_path)
    other = tmp_path / "other.shelf"
    add(other, [roll(999 * CM)])
    with pytest.raises(WorkError, match="another piece than the lay was planned on"):
        book(other, lay, {})
    remove(path, [(1, None)])
    with pytest.raises(WorkError, match=r"shelf 1\.1, linen: is no longer on the shelf"):
        book(path, lay, {})
    assert find(path) == (felt,)


def test_undo_puts_everything_back_and_the_lay_can_be_booked_again(path, tmp_path):
    flaw = Flaw(rectangle(10 * CM, 5 * CM))
    linen, hide = add(path, [
        roll(price=9999, currency="EUR", flaws=(flaw,)),
        Piece("kid", 120 * CM, 80 * CM, outline=rectangle(120 * CM, 80 * CM), since="2026-11-30"),
    ])  # fmt: skip
    before = find(path)
    lay = lay_on(linen, hide, folder=tmp_path)
    left = {("kid", hide.name): [(30 * CM, 25 * CM)]}
    book(path, lay, left)
    folder, pieces = undo(path)
    assert (folder, pieces) == (tmp_path, 3)
    assert find(path) == before
    with pytest.raises(WorkError, match="no booking to take back"):
        undo(path)
    book(path, lay, left)
    # a label of the booking that was taken back must not fit this one
    assert by_number(path)[1].revision == 3
    moves = ask(path, "SELECT what, count(*) FROM journal GROUP BY what ORDER BY what")
    assert dict(moves) == {
        "added": 2, "length taken off": 2, "remnant offered": 2, "removed": 2, "undone": 3,
    }  # fmt: skip


def test_only_the_last_booking_is_taken_back(path, tmp_path):
    linen, felt = add(path, [roll(), roll(cloth="felt")])
    book(path, lay_on(linen, folder=tmp_path / "one"), {})
    book(path, lay_on(felt, folder=tmp_path / "two"), {})
    assert undo(path)[0] == tmp_path / "two"
    assert {n: each.revision for n, each in by_number(path).items()} == {1: 2, 2: 1}
    assert undo(path)[0] == tmp_path / "one"


def test_a_booking_whose_remnant_was_moved_since_stands(path, tmp_path):
    (linen,) = add(path, [roll()])
    booked = book(path, lay_on(linen, folder=tmp_path), {("linen", linen.name): [(3000, 2500)]})
    remove(path, [(booked.new[0].number, None)])
    before = dump(path)
    with pytest.raises(WorkError, match="piece 2: has been moved again"):
        undo(path)
    assert dump(path) == before


def test_the_journal_tells_time_and_folder_of_each_movement(path, tmp_path):
    (linen,) = add(path, [roll()])
    book(path, lay_on(linen, folder=tmp_path), {})
    movements = "journal LEFT JOIN bookings ON bookings.number = booking"
    told = ask(path, f"SELECT journal.at, what, folder FROM {movements}")
    assert [(what, folder) for _, what, folder in told] == [
        ("added", None),
        ("length taken off", str(tmp_path)),
    ]
    assert all(at.endswith("Z") and at[:2] == "20" for at, _, _ in told)


@settings(deadline=None, max_examples=25)  # each commit waits for the disk
@given(st.lists(st.sampled_from(["add", "book", "book", "undo", "remove"]), max_size=12))
def test_no_length_is_lost_or_won_whatever_is_done(tmp_path_factory, deeds):
    """Rolls and what stands booked or removed add up to all that was added."""
    folder = tmp_path_factory.mktemp("shelf")
    path = folder / "workroom.shelf"
    add(path, [roll(300 * CM)])
    added, removed, standing = 300 * CM, 0, []
    for n, deed in enumerate(deeds):
        there = find(path)
        if deed == "add":
            add(path, [roll(300 * CM)])
            added += 300 * CM
        elif deed == "book" and there:
            taken = min(100 * CM, there[0].piece.length)
            book(path, lay_on(there[0], folder=folder, taken=taken, digest=str(n)), {})
            standing.append((there[0].number, taken))
        elif deed == "remove" and there:
            remove(path, [(there[0].number, None)])
            removed += there[0].piece.length
            standing = [(number if number != there[0].number else None, taken)
                        for number, taken in standing]  # fmt: skip
        elif deed == "undo":
            try:
                undo(path)
            except WorkError:
                assert not standing or standing[-1][0] is None
            else:
                standing.pop()
    on_shelf = sum(each.piece.length for each in find(path))
    assert on_shelf + removed + sum(taken for _, taken in standing) == added


def test_the_record_of_a_lay_is_read_by_its_pieces(tmp_path):
    flaw = {"outline_mm": [[0, 0], [50, 0], [50, 50]], "what": "", "minor": False}
    hole = [[700, 100], [800, 100], [800, 200]]
    pieces = [
        {"name": "shelf 17.2", "width_mm": 1400.0, "length_mm": 5000.0, "selvedge_mm": 10.0,
         "shade": "B7", "flaws": [flaw]},
        {"name": "shelf 3.1", "width_mm": 600.0, "length_mm": 900.0,
         "outline_mm": [[0, 0], [900, 0], [900, 600]], "holes_mm": [hole]},
        {"name": "not used", "width_mm": 600.0, "length_mm": 900.0, "selvedge_mm": 0.0},
        {"name": "roll", "width_mm": 1400.0, "length_mm": None, "selvedge_mm": 10.0,
         "buy_length_mm": 1200.0},
    ]  # fmt: skip
    placements = [
        on_piece("shelf 17.2", 20, 10, 500, 300), on_piece("shelf 17.2", 540, 10, 460, 300),
        on_piece("shelf 3.1", 600, 10, 100, 100), on_piece("roll", 20, 10, 300, 300),
    ]  # fmt: skip
    folder = write_record(tmp_path / "lay", record(pieces, placements))
    old, hide, bought = read_lay(folder).pieces
    assert (old.on_shelf, old.length, old.shade, len(old.flaws)) == ((17, 2), 500 * CM, "B7", 1)
    assert old.cut_off == 102 * CM  # 54 + 46 cm and an end allowance of 2 cm
    assert (hide.on_shelf, len(hide.holes)) == ((3, 1), 1)
    assert (hide.selvedge, hide.end_allowance) == (0, 0)  # those of its cloth are for strips
    assert (hide.cut_off, bought.cut_off) == (90 * CM, 120 * CM)
    assert (bought.on_shelf, bought.length) == (None, 120 * CM)


def test_a_record_of_version_1_is_one_roll(tmp_path):
    contents = record([], [on_piece("roll", 20, 10, 300, 300)], buy_length_mm=500.0)
    contents["schema"] = "clothwright/layout/1"
    del contents["cloths"][0]["pieces"], contents["cloths"][0]["placements"][0]["piece"]
    (only,) = read_lay(write_record(tmp_path / "lay", contents)).pieces
    assert (only.name, only.length, only.width) == ("roll", 50 * CM, 140 * CM)


@pytest.mark.parametrize(
    "spoil",
    [
        lambda text: text[:-5],
        lambda text: text.replace("layout/2", "layout/3"),
        lambda text: text.replace("placements", "placed"),
        lambda text: text.replace('"width_mm": 1400.0', '"width_mm": "wide"'),
        lambda text: text.replace("[20, 10]", "[20]"),
        lambda _: "[" * 100_000,
        lambda _: "\xff\xfe",
        lambda _: "[]",
    ],
)
def test_a_damaged_record_is_told(tmp_path, spoil):
    pieces = [{"name": "roll", "width_mm": 1400.0, "length_mm": None, "selvedge_mm": 0.0}]
    good = json.dumps(record(pieces, [on_piece("roll", 20, 10, 300, 300)], buy_length_mm=500.0))
    (tmp_path / "layout.json").write_text(good)
    assert len(read_lay(tmp_path).pieces) == 1
    (tmp_path / "layout.json").write_text(spoil(good))
    with pytest.raises(OrderError, match="must be a layout record"):
        read_lay(tmp_path)


def test_a_folder_without_a_record_is_told(tmp_path):
    with pytest.raises(AccessError, match=r"layout\.json: cannot be read"):
        read_lay(tmp_path)


def test_a_record_that_names_a_piece_twice_is_refused(tmp_path):
    piece = {"name": "shelf 1.1", "width_mm": 600.0, "length_mm": 900.0, "selvedge_mm": 0.0}
    folder = write_record(
        tmp_path / "lay", record([piece, piece], [on_piece("shelf 1.1", 0, 0, 100, 100)])
    )
    with pytest.raises(OrderError, match="must be a layout record"):
        read_lay(folder)


def remnants(tmp_path, piece, *panels, end_mm=0.0):
    """Length and width (cm) of what a lay on a piece leaves."""
    placed = [on_piece(piece["name"], *panel) for panel in panels]
    contents = record([piece], placed, end_allowance_mm=end_mm)
    (found,) = left_over(read_lay(write_record(tmp_path / "lay", contents))).values()
    return sorted((length / CM, width / CM) for length, width in found)


def test_a_roll_of_the_shelf_leaves_what_lies_beside_its_panels(tmp_path):
    piece = {"name": "shelf 1.1", "width_mm": 1400.0, "length_mm": 5000.0, "selvedge_mm": 50.0}
    # 130 cm between the selvedges, of which a panel takes 90 cm
    assert remnants(tmp_path, piece, (0, 50, 600, 900)) == [(60, 40)]


def test_a_roll_that_is_bought_also_leaves_its_end(tmp_path):
    piece = {"name": "roll", "width_mm": 1000.0, "length_mm": None, "selvedge_mm": 0.0,
             "buy_length_mm": 1000.0}  # fmt: skip
    assert remnants(tmp_path, piece, (20, 0, 600, 1000), end_mm=20.0) == [(36, 100)]


def test_nothing_is_left_of_flaws_holes_or_the_outside_of_a_hide(tmp_path):
    # a triangle with a right angle at (80, 0): beside the panel is a square of 40 cm at most
    hide = {"name": "shelf 1.1", "width_mm": 800.0, "length_mm": 800.0, "selvedge_mm": 0.0,
            "outline_mm": [[0, 0], [800, 0], [800, 800]],
            "holes_mm": [[[400, 0], [410, 0], [410, 400], [400, 400]]]}  # fmt: skip
    found = remnants(tmp_path, hide, (700, 0, 100, 700))
    assert found
    for length, width in found:
        assert length <= 29
        assert length * width <= 29 * 50
    flaw = {"outline_mm": [[0, 0], [800, 0], [800, 800], [0, 800]], "what": "", "minor": False}
    assert remnants(tmp_path, {**hide, "flaws": [flaw]}, (700, 0, 100, 700)) == []
