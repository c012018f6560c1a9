"""`clothwright lay`: files, figures, faults."""

import json
from pathlib import Path

import pytest

DATA = Path(__file__).parent.parent / "data" / "orders"
QUICK = ("--steps", "1", "--workers", "1")


def test_lay_writes_the_files_of_the_contract_beside_the_order(clothwright, order):
    ended = clothwright("lay", order, *QUICK)
    assert ended.status == 0
    written = {path.name for path in (order.parent / "bench-lay").iterdir()}
    assert written - {".clothwright"} == {
        "layout.json", "report.html", "marking-out.csv", "make-up.html",
        "grey-wool-2.dxf", "grey-wool-2.svg",
    }  # fmt: skip


def test_out_names_another_folder(clothwright, order):
    assert clothwright("lay", order, *QUICK, "--out", "deep/er").status == 0
    assert (order.parent / "deep" / "er" / "layout.json").is_file()
    assert not (order.parent / "bench-lay").exists()


def test_the_summary_says_what_to_buy_and_what_it_costs(clothwright, order):
    out = clothwright("lay", order, *QUICK).out
    cloth = json.loads((order.parent / "bench-lay/layout.json").read_text())["cloths"][0]
    assert f" {cloth['buy_length_mm'] / 1000:.2f} m " in out
    # 20 EUR for a metre, sold by 10 cm: a price without further rounding.
    assert f"{cloth['buy_length_mm'] / 1000 * 20:.2f} EUR" in out
    assert f"{100 * cloth['efficiency']:.1f} %" in out
    assert "bench-lay" in out


def test_progress_goes_to_standard_error_only(clothwright, order):
    ended = clothwright("lay", order, *QUICK)
    assert "Grey Wool 2: " in ended.err
    assert "fabric utilisation" in ended.err
    assert "minimum " in ended.err
    assert "step" in ended.err
    assert "long, fabric utilisation" not in ended.out


def test_with_a_time_limit_progress_shows_the_time_left(clothwright, order):
    assert "s left" in clothwright("lay", order, "--seconds", "0.2", "--workers", "1").err


def test_quiet_prints_nothing(clothwright, order):
    ended = clothwright("lay", order, *QUICK, "--quiet")
    assert (ended.status, ended.out, ended.err) == (0, "", "")
    assert (order.parent / "bench-lay" / "layout.json").is_file()


def test_json_is_the_layout_and_nothing_else(clothwright, order):
    ended = clothwright("lay", order, *QUICK, "--json")
    written = json.loads((order.parent / "bench-lay/layout.json").read_text(encoding="utf-8"))
    assert json.loads(ended.out) == written
    assert written["schema"] == "clothwright/layout/2"


def test_the_same_seed_steps_and_one_worker_give_the_same_file(clothwright, two_cloths):
    twice = []
    for _ in range(2):
        clothwright("lay", two_cloths, "--steps", "2", "--workers", "1", "--seed", "7")
        twice.append((two_cloths.parent / "two-lay/layout.json").read_bytes())
    assert twice[0] == twice[1]


def test_two_cloths_are_laid_side_by_side_and_costed_together(clothwright, two_cloths):
    layout = two_cloths.parent / "two-lay/layout.json"
    assert clothwright("lay", two_cloths, "--steps", "1", "--workers", "1").status == 0
    alone = layout.read_bytes()
    ended = clothwright("lay", two_cloths, "--steps", "1", "--workers", "2")
    assert ended.status == 0
    assert layout.read_bytes() == alone  # two workers are one for each cloth
    cloths = json.loads(alone)["cloths"]
    assert [cloth["name"] for cloth in cloths] == ["Grey Wool 2", "lining"]
    assert f"total {sum(cloth['cost'] for cloth in cloths):.2f} EUR" in " ".join(ended.out.split())


@pytest.mark.parametrize(
    "path", [p for p in sorted(DATA.glob("*.toml")) if p.stem != "good"], ids=lambda p: p.stem
)
def test_a_bad_order_ends_with_2_names_the_file_and_writes_nothing(clothwright, folder, path):
    ended = clothwright("lay", path, *QUICK, "--out", "lay")
    assert (ended.status, ended.out) == (2, "")
    assert ended.err.startswith(str(path))
    assert list(folder.iterdir()) == []


def test_each_fault_has_file_line_place_rule_value_and_remedy(clothwright, order):
    text = order.read_text().replace("width = 140", "width = -3").replace("gap", "gop")
    order.write_text(text)
    err = clothwright("lay", order, *QUICK).err
    # Counted in the text above: the width is on line 7, the gap on line 12.
    assert f'{order}:7: cloth 1 "Grey Wool 2", width: must not be negative: -3\n    ' in err
    assert f'{order}:12: cloth 1 "Grey Wool 2", gop: ' in err
    assert "did you mean" in err


def test_an_absent_order_ends_with_3(clothwright, folder):
    ended = clothwright("lay", "nowhere.toml", *QUICK)
    assert (ended.status, ended.out) == (3, "")
    assert "nowhere.toml" in ended.err
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize("named", [".", "..", "/", "here"])
@pytest.mark.parametrize("command", ["lay", "widths"])
def test_a_folder_in_place_of_an_order_ends_with_3(clothwright, folder, command, named):
    """``.`` has no name to add ``-lay`` to, which once counted as a fault in the program."""
    widths = ("--width", "1 m") if command == "widths" else ()
    (folder / "here").mkdir()
    ended = clothwright(command, named, *widths, *QUICK)
    assert (ended.status, ended.out) == (3, "")
    assert "is a folder" in ended.err


def test_an_output_that_cannot_be_written_ends_with_3_before_any_search(
    clothwright, order, monkeypatch
):
    def must_not_search(*_, **__):
        pytest.fail("searched in vain")

    monkeypatch.setattr("nesting.planning.plan.plan_order", must_not_search)
    (order.parent / "taken").write_text("a file")
    ended = clothwright("lay", order, *QUICK, "--out", "taken")
    assert (ended.status, ended.out) == (3, "")
    assert "taken: it is a file, not a folder" in ended.err
    assert "--out DIR names the folder" in ended.err


def test_a_folder_with_other_peoples_files_is_not_replaced(clothwright, order):
    theirs = order.parent / "photos"
    theirs.mkdir()
    (theirs / "cat.jpg").write_bytes(b"cat")
    ended = clothwright("lay", order, *QUICK, "--out", "photos")
    assert ended.status == 3
    assert "name a new or empty folder" in ended.err
    assert "--out DIR names the folder" in ended.err
    assert [path.name for path in theirs.iterdir()] == ["cat.jpg"]


def test_all_wrong_option_values_are_reported_together(clothwright, order):
    ended = clothwright(
        "lay", order, "--seconds", "soon", "--steps", "0", "--seed", "-1", "--workers", "two"
    )
    assert (ended.status, ended.out) == (2, "")
    assert "--seconds, --steps: only one may be given" in ended.err
    assert '--seconds: must be a number of seconds above 0 and at most 86400: "soon"' in ended.err
    assert '--steps: must be a whole number from 1 to 1000000000: "0"' in ended.err
    assert '--seed: must be a whole number from 0 to 2147483647: "-1"' in ended.err
    assert '--workers: must be a whole number from 1 to 256: "two"' in ended.err
    assert not (order.parent / "bench-lay").exists()


@pytest.mark.parametrize("value", ["0", "-5", "nan", "inf", "1e9", ""])
def test_seconds_must_be_positive_and_finite(clothwright, order, value):
    ended = clothwright("lay", order, "--seconds", value)
    assert ended.status == 2
    assert (
        f'--seconds: must be a number of seconds above 0 and at most 86400: "{value}"' in ended.err
    )


def test_panels_that_do_not_fit_end_with_1_and_a_remedy(clothwright, order):
    order.write_text(order.read_text().replace("width = 140", "width = 40"))
    ended = clothwright("lay", order, *QUICK)
    assert (ended.status, ended.out) == (1, "")
    # The plate is 40 cm wide and has 1 cm of seam on each side; the strips run across.
    assert 'item "seat", panel "plate"' in ended.err
    assert "52.0 cm along the roll, 42.0 cm across" in ended.err
    assert 'the usable width of "Grey Wool 2", 37.0 cm' in ended.err
    assert "a cloth at least 45.0 cm wide" in ended.err
    assert 'item "seat", panel "boxing-long"' in ended.err
    assert 'strip_grain = "along"' in ended.err
    assert not (order.parent / "bench-lay").exists()


def test_a_roll_that_is_too_short_ends_with_1_and_says_what_is_proved(clothwright, order):
    order.write_text(
        order.read_text().replace("end_allowance = 2", "end_allowance = 2\nroll_length = 30")
    )
    ended = clothwright("lay", order, *QUICK)
    assert (ended.status, ended.out) == (1, "")
    assert "the roll of 30.0 cm" in ended.err
    assert "proved" in ended.err
    assert not (order.parent / "bench-lay").exists()


def test_a_lay_that_fails_the_check_is_reported_and_not_written(clothwright, order, monkeypatch):
    from nesting.verification.findings import Rule, finding

    found = (finding(Rule.OVERLAP, "Grey Wool 2: seat / plate / 1.1", "3.00 mm deep"),)
    monkeypatch.setattr("nesting.planning.drawing_files.check_drawing", lambda *_, **__: found)
    ended = clothwright("lay", order, *QUICK)
    assert (ended.status, ended.out) == (1, "")
    assert f"finding {Rule.OVERLAP.number}" in ended.err
    assert "a fault in the program, not in your order" in ended.err
    assert not (order.parent / "bench-lay").exists()


def test_a_second_run_replaces_the_whole_first_run(clothwright, order):
    clothwright("lay", order, *QUICK)
    order.write_text(order.read_text().replace("Grey Wool 2", "red"))
    clothwright("lay", order, *QUICK)
    names = {path.name for path in (order.parent / "bench-lay").iterdir()}
    assert "red.dxf" in names
    assert "grey-wool-2.dxf" not in names


def test_formats_choose_what_is_written_beside_the_layout(clothwright, order):
    assert clothwright("lay", order, *QUICK, "--formats", "csv, SVG,csv").status == 0
    written = {path.name for path in (order.parent / "bench-lay").iterdir()}
    assert written - {".clothwright"} == {"layout.json", "marking-out.csv", "grey-wool-2.svg"}


def test_all_unknown_formats_are_reported_with_the_nearest_known(clothwright, order):
    ended = clothwright("lay", order, *QUICK, "--formats", "dfx,svg,hologram")
    assert (ended.status, ended.out) == (2, "")
    assert '"dfx"' in ended.err
    assert "did you mean dxf?" in ended.err
    assert '"hologram"' in ended.err
    assert not (order.parent / "bench-lay").exists()


def test_names_spelled_differently_are_listed_on_standard_error(clothwright, order):
    order.write_text(order.read_text("utf-8").replace('"seat"', '"siège"'), "utf-8")
    ended = clothwright("lay", order, *QUICK, "--formats", "plt")
    assert ended.status == 0
    assert '"siège" is spelled "siege"' in ended.err


def test_a_plotter_that_is_too_narrow_ends_with_2_and_writes_nothing(clothwright, order):
    ended = clothwright("lay", order, *QUICK, "--formats", "plt", "--plot-width", "36 in")
    assert (ended.status, ended.out) == (2, "")
    assert "utilisation" not in ended.err  # it was not laid in vain
    assert "no wider than the plotter, 914.4 mm: 1400 mm" in ended.err
    assert not (order.parent / "bench-lay").exists()


ELSEWHERE = """
[item.panel_cloth]
panel = "{name}"

[[cloth]]
name = "{name}"
width = {width}
price_per_metre = 4
currency = "EUR"
"""


def test_a_cloth_that_only_single_panels_are_cut_from_is_held_against_the_plotter_first(
    clothwright, two_cloths
):
    wide = two_cloths.read_text("utf-8") + ELSEWHERE.format(name="felt", width=160)
    two_cloths.write_text(wide, "utf-8")
    ended = clothwright("lay", two_cloths, *QUICK, "--formats", "plt", "--plot-width", "150 cm")
    assert (ended.status, ended.out) == (2, "")
    assert "utilisation" not in ended.err  # it was not laid in vain
    assert '"felt" as HP-GL' in ended.err
    assert "1600 mm" in ended.err


def test_a_cloth_that_nothing_is_cut_from_may_be_wider_than_the_plotter(clothwright, two_cloths):
    wide = two_cloths.read_text("utf-8").replace("width = 90", "width = 160")
    two_cloths.write_text(wide + ELSEWHERE.format(name="felt", width=100), "utf-8")
    ended = clothwright("lay", two_cloths, *QUICK, "--formats", "plt", "--plot-width", "150 cm")
    assert ended.status == 0, ended.err
    assert not (two_cloths.parent / "two-lay" / "lining.plt").exists()


def test_arcs_are_drawn_on_request(clothwright, order):
    round_one = order.read_text("utf-8").replace('"box-cushion"', '"round-cushion"')
    order.write_text(round_one.replace("length = 50\nwidth = 40", "diameter = 40"), "utf-8")
    sizes = []
    for more in ((), ("--arcs",)):
        assert clothwright("lay", order, *QUICK, "--formats", "dxf", *more).status == 0
        file = order.parent / "bench-lay" / "grey-wool-2.dxf"
        sizes.append(file.stat().st_size)
        assert clothwright("verify", file, "--order", order).status == 0
    assert sizes[1] < sizes[0]
