"""`clothwright verify layout.json --order ORDER`: what a record leaves out or changes is found."""

import json
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "samples"


@pytest.fixture
def laid(clothwright, two_cloths):
    """The layout file of a lay on two cloths."""
    quick = ("--steps", "1", "--workers", "1", "--quiet", "--formats", "csv")
    assert clothwright("lay", two_cloths, *quick).status == 0
    return two_cloths.parent / "two-lay" / "layout.json"


def numbers(clothwright, file, order):
    """The numbers of what is found, and the exit status."""
    ended = clothwright("verify", file, "--order", order, "--json")
    told = json.loads(ended.out)
    assert told["against_order"] is True
    return {each["number"] for each in told["findings"]}, ended.status


def change(file, alter):
    """Write the layout file again with something altered."""
    record = json.loads(file.read_text(encoding="utf-8"))
    alter(record)
    file.write_text(json.dumps(record), encoding="utf-8")


def dropped_cloth(record):
    del record["cloths"][1]


def dropped_panel(record):
    cloth = record["cloths"][0]
    first = cloth["panels"][0]["panel"]
    for key in ("panels", "placements"):
        cloth[key] = [each for each in cloth[key] if each["panel"] != first]


def changed_quantity(record):
    record["cloths"][0]["panels"][0]["quantity"] += 1


def used_across(record):
    record["cloths"][1]["cross_grain"] = True


def added_item(record):
    cloth = record["cloths"][0]
    for key in ("panels", "placements"):
        cloth[key] += [{**each, "item": "spare"} for each in cloth[key]]


def turned_over(record):
    """A lopsided panel is its own mirror image, where it is described and where it lies."""
    cloth = record["cloths"][1]
    for each in (*cloth["panels"], *cloth["placements"]):
        ring = each["outline_mm"]
        low, high = min(y for _, y in ring), max(y for _, y in ring)
        each["outline_mm"] = [[x, low + high - y] for x, y in ring[::-1]]


def dropped_copies(record):
    """One item fewer, in panels and placements alike, so that the record agrees with itself."""
    cloth = record["cloths"][1]
    for panel in cloth["panels"]:
        panel["quantity"] //= 2
    cloth["placements"] = [each for each in cloth["placements"] if each["copy"] == 1]


def renamed_panel(record):
    cloth = record["cloths"][0]
    old = cloth["panels"][0]["panel"]
    for each in (*cloth["panels"], *cloth["placements"]):
        if each["panel"] == old:
            each["panel"] = "lid"


def setting(key, value):
    def alter(record):
        record["cloths"][0][key] = value

    alter.__name__ = key
    return alter


def grown(record):
    """The same outline 1 mm longer, where it is described and where it lies."""
    cloth = record["cloths"][0]
    panel = cloth["panels"][0]
    for each in (panel, *(p for p in cloth["placements"] if p["panel"] == panel["panel"])):
        ring = each["outline_mm"]
        far = max(x for x, _ in ring)
        each["outline_mm"] = [[x + 1 if x == far else x, y] for x, y in ring]


def other_grain(record):
    record["cloths"][0]["panels"][0]["any_grain"] = True


@pytest.mark.parametrize(
    ("alter", "number"),
    [
        (dropped_cloth, 702),
        (dropped_panel, 705),
        (changed_quantity, 707),
        (added_item, 706),
        (used_across, 704),
        (dropped_copies, 707),
        (renamed_panel, 706),
        (grown, 708),
        (other_grain, 704),
        (setting("gap_mm", 0.0), 704),
        (setting("nap", "either-way"), 704),
        (setting("width_mm", 2000.0), 704),
        (setting("selvedge_mm", 0.0), 704),
        (setting("buy_step_mm", 1.0), 704),
        (setting("end_allowance_mm", 0.0), 704),
        (setting("price_per_metre", 1.0), 704),
        (setting("currency", "XYZ"), 704),
        (setting("coating", "pvc"), 704),
        (lambda record: record.update(order="another"), 701),
    ],
    ids=lambda value: getattr(value, "__name__", value),
)
def test_whatever_the_record_changes_is_found(clothwright, laid, two_cloths, alter, number):
    assert numbers(clothwright, laid, two_cloths) == (set(), 0)
    change(laid, alter)
    found, status = numbers(clothwright, laid, two_cloths)
    assert number in found
    assert status == 1


def test_an_added_cloth_is_found(clothwright, laid, two_cloths):
    def alter(record):
        record["cloths"].append({**record["cloths"][1], "name": "silk"})

    change(laid, alter)
    assert 703 in numbers(clothwright, laid, two_cloths)[0]


def test_a_record_of_another_order_is_one_finding(clothwright, laid, order):
    def alter(record):
        for cloth in record["cloths"]:
            for each in (*cloth["panels"], *cloth["placements"]):
                each["item"] += " of another shop"

    change(laid, alter)
    ended = clothwright("verify", laid, "--order", order)
    assert ended.status == 1
    assert ended.out.startswith("701 the record: a record must be of its order")
    assert len(ended.out.splitlines()) == 1


def test_choices_that_the_order_does_not_leave_open_are_found(clothwright, laid, two_cloths):
    def alter(record):
        record["choices"] = [{"item": "seat", "measurement": "strips", "pieces": 3}]

    change(laid, alter)
    assert 710 in numbers(clothwright, laid, two_cloths)[0]


def test_a_mirrored_panel_is_found(clothwright, laid, two_cloths):
    """The lining is cut to an outline that no turn brings to its mirror image."""
    lopsided = two_cloths.read_text("utf-8").replace(
        'product = "panel"\nname = "under"',
        'product = "shaped-seat"\nname = "under"\nthickness = 4',
    )
    head, tail = lopsided.rsplit("length = 50\nwidth = 40", 1)
    corners = "corners = [[0, 0], [50, 0], [50, 40], [0, 20]]"
    two_cloths.write_text(f"{head}{corners}{tail}", "utf-8")
    quick = ("--steps", "1", "--workers", "1", "--quiet", "--formats", "csv")
    assert clothwright("lay", two_cloths, *quick).status == 0
    assert numbers(clothwright, laid, two_cloths) == (set(), 0)
    change(laid, turned_over)
    assert 708 in numbers(clothwright, laid, two_cloths)[0]


def test_more_than_the_roll_of_the_order_gives_is_found(clothwright, laid, two_cloths):
    text = two_cloths.read_text("utf-8").replace("buy_step = 10", "buy_step = 10\nroll_length = 30")
    two_cloths.write_text(text, "utf-8")
    found, _ = numbers(clothwright, laid, two_cloths)
    assert found == {709}


def test_every_finding_about_the_order_says_what_to_do(clothwright, laid, two_cloths):
    change(laid, dropped_cloth)
    change(laid, setting("gap_mm", 0.0))
    told = clothwright("verify", laid, "--order", two_cloths).out.splitlines()
    about_the_order = [line for line in told if line.startswith("7")]
    assert len(about_the_order) == 2
    assert all(line.endswith("lay the order again, or correct it") for line in about_the_order)


@pytest.fixture
def auto(clothwright, order):
    """The layout file of an order that says "auto"."""
    order.write_text(order.read_text("utf-8") + 'strips = "auto"\n', "utf-8")
    quick = ("--steps", "1", "--workers", "1", "--quiet", "--formats", "csv")
    assert clothwright("lay", order, *quick).status == 0
    return order.parent / "bench-lay" / "layout.json"


@pytest.mark.parametrize("pieces", [49, 1_000_000])
def test_a_number_of_pieces_beyond_its_limits_is_found_before_anything_is_drawn(
    clothwright, auto, order, monkeypatch, pieces
):
    """A million strips would take minutes to draw."""

    def drawn(*_):
        raise AssertionError

    def alter(record):
        record["choices"][0]["pieces"] = pieces

    change(auto, alter)
    monkeypatch.setattr("nesting.planning.record_of_order.can_exist", drawn)
    assert numbers(clothwright, auto, order) == ({710}, 1)


def test_a_record_that_lost_its_choices_says_which(clothwright, auto, order):
    change(auto, lambda record: record.pop("choices"))
    ended = clothwright("verify", auto, "--order", order)
    assert ended.status == 1
    (told,) = ended.out.splitlines()
    assert told.startswith("710 seat: strips: ")
    assert "names no number" in told


def test_an_order_whose_panels_do_not_fit_is_named_itself(clothwright, laid, two_cloths):
    two_cloths.write_text(
        two_cloths.read_text("utf-8").replace("width = 140", "width = 30"), "utf-8"
    )
    ended = clothwright("verify", laid, "--order", two_cloths)
    assert ended.status == 1
    assert "two.toml" in ended.err
    assert "layout.json" not in ended.err


@pytest.mark.parametrize(("text", "status"), [("{", 2), ("[]", 2), (None, 3)])
def test_a_layout_that_cannot_be_read_says_so_with_an_order_too(
    clothwright, laid, two_cloths, text, status
):
    laid.unlink() if text is None else laid.write_text(text, "utf-8")
    ended = clothwright("verify", laid, "--order", two_cloths)
    assert (ended.status, ended.out) == (status, "")
    assert "layout.json" in ended.err


def test_the_lay_of_the_starter_is_that_of_its_order(clothwright, folder):
    assert clothwright("new", "start.toml").status == 0
    quick = ("--steps", "1", "--workers", "1", "--quiet", "--formats", "csv")
    assert clothwright("lay", "start.toml", *quick).status == 0
    assert numbers(clothwright, folder / "start-lay" / "layout.json", "start.toml") == (set(), 0)


@pytest.mark.parametrize("sample", ["poufs", "bench", "two-cloths"])
def test_a_lay_of_a_sample_is_that_of_its_order(clothwright, tmp_path, sample):
    order = SAMPLES / sample / "order.toml"
    quick = ("--steps", "1", "--workers", "1", "--quiet", "--formats", "csv", "--out", tmp_path)
    assert clothwright("lay", order, *quick).status == 0
    ended = clothwright("verify", tmp_path / "layout.json", "--order", order)
    assert (ended.status, ended.err) == (0, "")
    assert "own word" not in ended.out


def test_what_auto_became_is_taken_from_the_record(clothwright, auto, order):
    assert json.loads(auto.read_text("utf-8"))["choices"]
    assert numbers(clothwright, auto, order) == (set(), 0)


def test_an_order_that_is_not_there_or_not_right_says_so(clothwright, laid, two_cloths):
    assert clothwright("verify", laid, "--order", "nothing.toml").status == 3
    two_cloths.write_text("version = 7", "utf-8")
    assert clothwright("verify", laid, "--order", two_cloths).status == 2
