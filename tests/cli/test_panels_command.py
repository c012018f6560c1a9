"""`clothwright panels`."""

import io
import json

import ezdxf
import pytest


def written(folder):
    return {path.name for path in folder.iterdir()} - {".clothwright"}


def test_panels_writes_the_files_of_the_contract_beside_the_order(clothwright, order):
    ended = clothwright("panels", order)
    assert ended.status == 0
    assert "never cut PVC" in ended.err
    folder = order.parent / "bench-panels"
    assert written(folder) == {
        "pieces.dxf", "templates.pdf", "panel-sheet.html", "make-up.html",
    }  # fmt: skip
    assert "bench-panels" in ended.out
    document = ezdxf.read(io.StringIO((folder / "pieces.dxf").read_text("ascii")))
    # a box cushion: plate, long and short boxing
    assert len(document.modelspace().query("INSERT")) == 3


def test_formats_choose_what_is_written(clothwright, order):
    assert clothwright("panels", order, "--formats", "svg,plt", "--out", "p").status == 0
    assert written(order.parent / "p") == {"panels.svg", "panels.plt"}


def test_json_lists_the_files_and_what_was_respelled(clothwright, order):
    order.write_text(order.read_text("utf-8").replace("Grey Wool 2", "Größe"), "utf-8")
    ended = clothwright("panels", order, "--json", "--quiet")
    shown = json.loads(ended.out)
    assert shown["files"] == ["make-up.html", "panel-sheet.html", "pieces.dxf", "templates.pdf"]
    assert any('"Größe" is spelled "Groesse"' in note for note in shown["notes"])


@pytest.mark.parametrize(
    ("option", "value", "shown"),
    [
        ("--formats", "csv", "known are dxf, svg, plt, pdf, html"),
        ("--plot-origin", "middle", "corner or centre"),
        ("--plot-frame", "3 mm", "at least 50 mm"),
        ("--plot-pens", "cut=1,ruler=2", '"ruler=2"'),
        ("--paper", "foolscap", "--paper"),
    ],
)
def test_wrong_options_end_with_2_and_write_nothing(clothwright, order, option, value, shown):
    ended = clothwright("panels", order, option, value)
    assert (ended.status, ended.out) == (2, "")
    assert shown in ended.err
    assert not (order.parent / "bench-panels").exists()


def test_all_wrong_options_of_a_plotter_are_reported_together(clothwright, order):
    ended = clothwright(
        "panels", order, "--plot-frame", "x", "--plot-width", "-1", "--plot-origin", "up"
    )
    assert ended.status == 2
    assert all(name in ended.err for name in ("--plot-frame", "--plot-width", "--plot-origin"))


@pytest.mark.parametrize("command", ["lay", "panels"])
def test_a_pen_above_eight_is_warned_of_and_drawn(clothwright, order, command):
    search = ("--steps", "1", "--workers", "1") if command == "lay" else ()
    more = (*search, "--formats", "plt", "--plot-pens", "stitch=9,grain=8")
    ended = clothwright(command, order, *more)
    assert ended.status == 0
    assert "pen 9 for stitch: a plotter of eight pens" in ended.err
    assert "pen 8" not in ended.err
    (plot,) = (order.parent / f"bench-{command}").glob("*.plt")
    assert b"SP9;" in plot.read_bytes()
    assert "pen 9" not in clothwright(command, order, *more, "--quiet").err
    assert "pen 9" not in clothwright(command, order, *more[:-2]).err


def test_a_panel_wider_than_the_plotter_is_refused_with_the_reason(clothwright, order):
    # The plate is 42 x 52 cm with its allowance.
    ended = clothwright("panels", order, "--formats", "plt", "--plot-width", "30 cm")
    assert (ended.status, ended.out) == (2, "")
    assert "no wider than the plotter, 300 mm" in ended.err
    assert not (order.parent / "bench-panels").exists()


def test_a_panel_that_does_not_fit_its_cloth_ends_with_1(clothwright, order):
    order.write_text(order.read_text().replace("width = 140", "width = 41"))
    ended = clothwright("panels", order)
    assert (ended.status, ended.out) == (1, "")
    assert 'panel "plate"' in ended.err


@pytest.mark.parametrize("formats", ["dxf", "svg", "plt"])
def test_a_file_that_does_not_show_the_panels_ends_the_run_and_nothing_is_written(
    clothwright, order, monkeypatch, formats
):
    """Every file is held back: the sheet and the templates, which are sound, too."""
    from nesting.drawings.hpgl import writer as hpgl
    from nesting.drawings.pieces import writer as pieces
    from nesting.drawings.svg import writer as svg

    writer = {"dxf": pieces, "svg": svg, "plt": hpgl}[formats]
    sound = writer.write
    wrong = {"dxf": (b"Quantity: 2", b"Quantity: 3"), "svg": (b"50", b"51"), "plt": (b"40", b"41")}
    monkeypatch.setattr(writer, "write", lambda *given: sound(*given).replace(*wrong[formats]))
    ended = clothwright("panels", order, "--formats", f"html,pdf,{formats}")
    assert (ended.status, ended.out) == (1, "")
    assert "nothing was written" in ended.err
    assert not (order.parent / "bench-panels").exists()
