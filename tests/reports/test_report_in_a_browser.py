"""The report in a headless browser, opened from a file."""

import io
import re
from dataclasses import replace
from decimal import Decimal

import pypdf
import pytest
from browser import A4, CHROMIUM, LETTER, Browser
from large_lay import large_lay
from worked_lays import TWILL, mixed_lay, order_lay

from nesting.cloth.cloth import Price
from nesting.panels.drafting.draft import EdgeUse, Fact
from nesting.panels.drafting.seams import SeamMeasure
from nesting.panels.making import Made
from nesting.reports.page import report_page
from nesting.reports.panel_sheet import panel_sheet
from nesting.units import M

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="chromium is not installed here")

#: Phone, tablet, desk, wall.
WINDOWS = ((360, 740), (800, 1100), (1280, 900), (3840, 2160))

STAGE = ".stage"
SHOWN = "document.querySelector('.stage > svg').getAttribute('viewBox')"
CAPTION = "document.querySelector('output').textContent"


def _numbers(text):
    return [float(number) for number in text.split()]


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    with Browser(tmp_path_factory.mktemp("profile")) as opened:
        yield opened


@pytest.fixture(scope="module")
def report(tmp_path_factory):
    """A report of two cloths with everything that a report can have."""
    seam = SeamMeasure(
        "gore to gore", (EdgeUse("gore", "right"),), (EdgeUse("gore", "left"),), 600.0, 600.0, 0.0
    )
    made = Made(mixed_lay().panels, (seam,), (Fact("a fact of {}", (600.0,)),))
    page = report_page(
        order_lay(large_lay(copies=4), mixed_lay(replace(TWILL, name="linen"))),
        "in",
        made=[made],
        cautions=["Mind blades."],
        warnings=["The search was stopped early."],
    )
    path = tmp_path_factory.mktemp("report") / "report.html"
    path.write_bytes(page)
    return path


@pytest.fixture(scope="module")
def large_report(tmp_path_factory):
    path = tmp_path_factory.mktemp("large") / "report.html"
    path.write_bytes(report_page(order_lay(large_lay()), "cm"))
    return path


@pytest.fixture
def page(browser, report):
    """The report, freshly opened at the size of a desktop window."""
    browser.open(report)
    return browser


def _complaints(browser):
    return browser.seen("Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded")


def _requested(browser):
    return [event["request"]["url"] for event in browser.seen("Network.requestWillBeSent")]


@pytest.mark.parametrize("window", WINDOWS)
def test_the_page_opens_at_any_width_without_errors_network_or_sideways_scrolling(
    browser, report, window
):
    browser.open(report, *window, mobile=window[0] < 1000)
    assert _complaints(browser) == []
    assert _requested(browser) == [report.as_uri()]
    assert browser.run("document.documentElement.scrollWidth") == window[0]
    assert browser.run("document.querySelector('.stage').clientWidth") > 0.85 * window[0]


@pytest.mark.parametrize("width", [1050, 1200, 1280, 1400])
def test_no_column_is_out_of_sight_where_tables_are_side_by_side(browser, report, width):
    browser.open(report, width, 900)
    hidden = (
        "[...document.querySelectorAll('.halves .scroll')].map(e => e.scrollWidth - e.clientWidth)"
    )
    widths = browser.run(hidden)
    assert widths
    assert max(widths) == 0


def test_a_script_that_is_not_the_pages_own_never_runs(page):
    page.run(
        """(() => { const script = document.createElement("script");
        script.textContent = "window.smuggled = 1"; document.body.append(script) })()"""
    )
    assert page.run("window.smuggled") is None
    refused = page.run("fetch('https://example.org/').then(() => 'sent', () => 'refused')")
    assert refused == "refused"
    assert any("Content Security Policy" in e["entry"]["text"] for e in _complaints(page))


def test_buttons_zoom_and_show_the_whole_lay_again(page):
    whole = page.run(SHOWN)
    page.click("button[value=in]")
    nearer = page.run(SHOWN)
    assert _numbers(nearer)[2] == pytest.approx(_numbers(whole)[2] / 1.4, rel=1e-3)
    page.click("button[value=out]")
    assert page.run(SHOWN) == whole
    page.click("button[value=in]")
    page.click("button[value=whole]")
    assert page.run(SHOWN) == whole


def test_the_wheel_scrolls_the_page_until_the_drawing_is_in_use_and_then_zooms(
    page,
):
    x, y = page.middle(STAGE)
    whole, top = page.run(SHOWN), page.run("scrollY")
    page.mouse("Wheel", x, y, deltaX=0, deltaY=-40)
    assert page.run(SHOWN) == whole
    assert page.run("scrollY") < top
    page.click(STAGE)
    x, y = page.middle(STAGE)
    under = (
        f"(() => {{ const svg = document.querySelector('.stage > svg');"
        f"const at = new DOMPoint({x + 90}, {y + 30});"
        f"const {{ x, y }} = at.matrixTransform(svg.getScreenCTM().inverse()); return [x, y] }})()"
    )
    before = page.run(under)
    page.mouse("Wheel", x + 90, y + 30, deltaX=0, deltaY=-300)
    assert _numbers(page.run(SHOWN))[2] < 0.6 * _numbers(whole)[2]
    pixel = _numbers(whole)[2] / page.run("document.querySelector('.stage').clientWidth")
    assert page.run(under) == pytest.approx(before, abs=pixel)


def test_dragging_and_arrow_keys_move_the_zoomed_drawing(page):
    for _ in range(3):  # so far that there is more than is seen in either direction
        page.click("button[value=in]")
    start = _numbers(page.run(SHOWN))
    x, y = page.middle(STAGE)
    scale = start[2] / page.run("document.querySelector('.stage').clientWidth")
    page.mouse("Pressed", x, y, button="left", clickCount=1)
    page.mouse("Moved", x - 50, y + 20, button="left")
    page.mouse("Released", x - 50, y + 20, button="left", clickCount=1)
    moved = _numbers(page.run(SHOWN))
    assert moved[:2] == pytest.approx([start[0] + 50 * scale, start[1] - 20 * scale], abs=0.05)
    page.run("document.querySelector('.stage').focus()")
    page.key("ArrowLeft")
    assert _numbers(page.run(SHOWN))[0] < moved[0]
    page.key("0", text="0")
    for _ in range(3):
        page.key("+", text="+")
    assert _numbers(page.run(SHOWN)) == pytest.approx(start, abs=0.05)


def test_two_fingers_zoom(browser, report):
    browser.open(report, *WINDOWS[0], mobile=True)
    browser.call("Emulation.setTouchEmulationEnabled", enabled=True, maxTouchPoints=2)
    whole = _numbers(browser.run(SHOWN))
    x, y = browser.middle(STAGE)
    browser.touch("Start", (x - 20, y), (x + 20, y))
    for reach in (30, 45, 60):
        browser.touch("Move", (x - reach, y), (x + reach, y))
    browser.touch("End")
    browser.call("Emulation.setTouchEmulationEnabled", enabled=False)
    # from 40 to 120 px apart, less the first few, which do not count as a move
    assert whole[2] / 3.1 < _numbers(browser.run(SHOWN))[2] < whole[2] / 2


def test_pointing_at_a_panel_names_it_and_lights_up_its_twins(page):
    nothing = page.run(CAPTION)
    x, y = page.middle(".panel[data-kind='3'] use")
    page.mouse("Moved", x, y)
    shown = page.run(CAPTION)
    # 42 and 32 cm are 16.54 and 12.60 in
    assert "cushion / plate / 1.1, 16 9/16 in × 12 5/8 in" in shown
    assert shown.endswith("3 more like it, highlighted.")
    lit = "[...document.querySelectorAll('.here, .twin')]"
    kinds = f"{lit}.map((g) => [g.dataset.kind, g.classList[1]])"
    assert sorted(page.run(kinds)) == [["3", "here"], *[["3", "twin"]] * 3]
    page.mouse("Moved", 1, 1)
    assert page.run(CAPTION) == nothing
    assert page.run(kinds) == []


def test_keys_go_from_panel_to_panel_in_the_order_of_their_numbers(page):
    page.run("document.querySelector('.stage').focus()")
    shown = []
    for key, code in (("Tab", 9), ("ArrowRight", 39), ("ArrowRight", 39), ("ArrowLeft", 37)):
        page.key(key, code)
        shown.append(page.run(CAPTION).split(":")[0])
    assert shown == ["1", "2", "3", "2"]
    page.key("Escape", 27)
    assert page.run("document.querySelectorAll('.here, .twin').length") == 0


def test_a_panel_of_the_list_is_lit_up_in_the_drawing(page):
    page.click("#cloth-2 a[data-kind='1']")
    assert page.run("[...document.querySelectorAll('.twin')].map((g) => g.dataset.kind)") == [
        "1",
        "1",
    ]
    assert page.run("document.querySelector('.twin').closest('figure').id") == "lay-cloth-2"
    assert page.run("document.querySelector('#lay-cloth-2').getBoundingClientRect().top") < 1


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_parts_of_the_drawing_can_be_hidden_and_shown_with_and_without_scripts(
    browser, report, scripts
):
    browser.open(report, 800, 700, scripts=scripts)
    clip = browser.run(
        "(({ x, y, width, height }) => ({ x, y, width, height }))"
        "(document.querySelector('.stage').getBoundingClientRect())"
    )
    whole = browser.picture(**clip)
    for what in ("names", "stitch-lines", "marks", "grain", "remnants"):
        pictures = []
        for _ in range(2):
            browser.run(f"document.querySelector('.show-{what}').click()")
            browser.rest()
            pictures.append(browser.picture(**clip))
        assert pictures[0] != whole, what
        assert pictures[1] == whole, what


def test_without_scripts_the_whole_lay_is_shown_and_no_useless_control(browser, report):
    browser.open(report, *WINDOWS[0], mobile=True, scripts=False)
    assert browser.run("document.querySelectorAll('.live').length") == 0
    seen = (
        "(selector) => [...document.querySelectorAll(selector)].filter((e) => e.checkVisibility())"
    )
    assert browser.run(f"({seen})('button, output, .how').length") == 0
    assert browser.run(f"({seen})('.panel').length") == 46
    assert browser.run("document.documentElement.scrollWidth") == WINDOWS[0][0]


def test_every_control_has_a_name_and_the_page_has_landmarks(page):
    nodes = page.call("Accessibility.getFullAXTree")["nodes"]
    named = [
        (node["role"]["value"], node.get("name", {}).get("value", ""))
        for node in nodes
        if not node["ignored"]
    ]
    roles = {role for role, _ in named}
    assert {"main", "banner", "contentinfo", "heading", "table", "status"} <= roles
    unnamed = {role for role, name in named if not name}
    assert unnamed.isdisjoint(
        {"button", "checkbox", "link", "region", "image", "figure"} - {"figure"}
    )
    assert ("button", "Zoom in") in named
    assert ("checkbox", "stitch lines") in named
    assert any(role == "image" and "pouf / gore / 1.2" in name for role, name in named)


def _luminance(colour):
    """Relative luminance of a colour, as WCAG 2.2 (W3C, 2023) defines it."""
    channels = [int(n) / 255 for n in re.findall(r"\d+", colour)[:3]]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one, other):
    """Contrast ratio, from the same source."""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_text_is_legible_and_uses_of_cloth_differ_in_grey(page):
    """WCAG 2.2 asks for a contrast of 4.5 for text, and of 3 for parts to be distinguished."""
    colour = {
        name: page.run(
            f"""(() => {{ document.body.style.color = "var(--{name})";
            return getComputedStyle(document.body).color }})()"""
        )
        for name in ("ink", "soft", "paper", "tint", "twin", "here", "keep")
    }
    for text, ground in (
        ("ink", "paper"), ("ink", "tint"), ("ink", "twin"), ("ink", "here"),
        ("soft", "paper"), ("soft", "tint"), ("keep", "paper"),
    ):  # fmt: skip
        assert _contrast(colour[text], colour[ground]) >= 4.5, (text, ground)
    panels, between, gaps = (
        page.run(f"getComputedStyle(document.querySelector('#fill-{use} rect')).fill")
        for use in ("panels", "fall-out", "spacing")
    )
    assert _luminance(panels) > 1.3 * _luminance(between) > 1.3 * 1.3 * _luminance(gaps)
    assert (
        _luminance(panels)
        > 1.2 * _luminance(colour["twin"])
        > 1.2 * 1.2 * _luminance(colour["here"])
    )


def test_paper_shows_the_whole_lay_and_nothing_to_click(page):
    page.click("button[value=in]")
    before = page.run(SHOWN)
    pages = pypdf.PdfReader(io.BytesIO(page.pdf())).pages
    text = " ".join(" ".join(sheet.extract_text() for sheet in pages).split())
    # A4 in points
    assert [round(float(side)) for side in pages[0].mediabox[2:]] == pytest.approx(
        [595, 842], abs=2
    )
    for word in (
        "Length to buy",
        "pouf / gore / 1.2",
        "to buy",
        "Mind blades.",
        "Rules of the cloth",
    ):
        assert word in text
    assert "Whole width" not in text
    assert page.run(SHOWN) == before


def test_the_report_of_a_thousand_panels_is_small_and_responsive(browser, large_report):
    assert large_report.stat().st_size < 3_000_000
    browser.open(large_report)
    assert browser.run("document.querySelectorAll('.panel').length") == 1000
    start = browser.run(SHOWN)
    browser.click("button[value=in]")
    assert browser.run(SHOWN) != start
    x, y = browser.middle(STAGE)
    for nudge in (0, 40):
        browser.mouse("Moved", x + nudge, y + 5)
    assert "pouf / gore" in browser.run(CAPTION)
    assert browser.run("document.querySelectorAll('.here, .twin').length") == 700
    assert _complaints(browser) == []


def test_a_long_lay_is_printed_in_strips_that_show_every_number(browser, tmp_path):
    path = tmp_path / "long.html"
    path.write_bytes(report_page(order_lay(large_lay(copies=12)), "cm"))
    browser.open(path)
    pages = pypdf.PdfReader(io.BytesIO(browser.pdf())).pages
    words = set(" ".join(sheet.extract_text() for sheet in pages).split())
    # letters are printed twice, first their pale edge
    assert {2 * str(number) for number in range(1, 121)} <= words
    assert browser.run("document.querySelectorAll('.strip').length") == 0


#: The longest names that seams have, and longer: two edges in a run, an item of one long word.
LONG_SEAMS = (
    SeamMeasure(
        "wrap to gusset round three edges",
        (EdgeUse("wrap over bottom, back and slope", "long edge"), EdgeUse("zip half", "inner")),
        (EdgeUse("left gusset", "front, bottom and back"),),
        1234.5,
        1260.25,
        2.0,
    ),
    SeamMeasure(
        "boxing closed to a ring",
        (EdgeUse("boxing", "start"),),
        (EdgeUse("boxing", "end"),),
        1600.0,
        1580.0,
        0.0,
        overlap_mm=20.0,
    ),
)


@pytest.fixture(scope="module", params=["report", "panel sheet"])
def seams_page(request, tmp_path_factory):
    """A page whose seams, panels and items have long names."""
    item = "Sitzbankauflagenüberzug with a long name"
    panels = tuple(
        replace(panel, item=item, name=f"{panel.name} over bottom, back and slope")
        for panel in mixed_lay().panels
    )
    images = dict(zip(mixed_lay().panels, panels, strict=True))
    placed = tuple(replace(one, panel=images[one.panel]) for one in mixed_lay().placed)
    lay = replace(mixed_lay(), panels=panels, placed=placed)
    made = Made(panels, LONG_SEAMS, ())
    page = (
        report_page(order_lay(lay), "in", made=[made])
        if request.param == "report"
        else panel_sheet("Garden room", "in", [made], panels, ())
    )
    path = tmp_path_factory.mktemp("seams") / "page.html"
    path.write_bytes(page)
    return path


def _printed(pdf):
    """Every run of text with its page, its left end and its size, in points."""
    runs = []
    for number, sheet in enumerate(pypdf.PdfReader(io.BytesIO(pdf)).pages):

        def keep(text, cm, tm, _font, size, number=number):
            x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
            if text.strip():
                runs.append((text.strip(), number, x, abs(size * tm[3] * cm[3])))

        sheet.extract_text(visitor_text=keep)
    return runs


@pytest.mark.parametrize("paper", [A4, LETTER], ids=["A4", "Letter"])
def test_the_seam_table_is_printed_with_all_its_columns_at_full_letter_size(
    browser, seams_page, paper
):
    browser.open(seams_page)
    runs = _printed(browser.pdf(paper))
    (aside,) = [run for run in runs if run[0].startswith("The two edges of every seam")]
    assert aside[3] == pytest.approx(9.5, rel=0.01)  # the style sheet's size of letters on paper
    right = 72 * paper[0] - 72 * 12 / 25.4  # a margin of 12 mm
    words = [run for run in runs if run[0] in ("Result", "DOES NOT FIT", "fits")]
    assert [word for word, *_ in words].count("Result") == 1
    for text, _, x, size in words:
        assert x + 0.5 * size * len(text.split()[0]) <= right
        assert size > 7.9  # headings are 0.85 of the rest
    assert "fits" in " ".join(text for text, *_ in runs)
    assert "FIT" in " ".join(text for text, *_ in runs)


def test_on_a_phone_seams_stack_and_each_figure_keeps_its_name(browser, seams_page):
    browser.open(seams_page, 390, 844, mobile=True)
    assert browser.run("document.documentElement.scrollWidth") == 390
    cells = "[...document.querySelectorAll('.seams tbody tr:first-child > *')]"
    boxes = browser.run(
        f"{cells}.map(e => e.getBoundingClientRect()).map(b => [b.left, b.right, b.top])"
    )
    assert len(boxes) == 9
    assert all(0 <= left < right <= 390 for left, right, _ in boxes)
    assert [top for *_, top in boxes] == sorted({top for *_, top in boxes})
    hidden = "(e => e.scrollWidth - e.clientWidth)(document.querySelector('.seams').parentElement)"
    assert browser.run(hidden) == 0
    named = browser.run(f"{cells}.map(e => getComputedStyle(e, '::before').content)")
    headings = [
        "Item", "Seam", "Edge", "Length", "Sewn to", "Length", "Ease", "Difference", "Result",
    ]  # fmt: skip
    assert named == [f'"{heading}"' for heading in headings]


def test_on_a_phone_panels_to_cut_stack_and_each_figure_keeps_its_name(browser, report):
    browser.open(report, 390, 844, mobile=True)
    table = "document.querySelector('[aria-label=\"Panels to cut\"]')"
    assert browser.run(f"{table}.scrollWidth - {table}.clientWidth") == 0
    cells = f"[...{table}.querySelectorAll('tbody tr:first-child > *')]"
    named = browser.run(f"{cells}.map(e => getComputedStyle(e, '::before').content)")
    headings = [
        "Item", "Panel", "Cut size", "Per item", "Total to cut", "Area of one", "Grain",
        "Allowance", "Numbers",
    ]  # fmt: skip
    assert named == [f'"{heading}"' for heading in headings]
    tops = browser.run(f"{cells}.map(e => e.getBoundingClientRect().top)")
    assert tops == sorted(set(tops))


def test_on_a_phone_where_the_cloth_goes_fits_the_window_even_if_it_is_dear(browser, tmp_path):
    dear = replace(TWILL, price=Price(Decimal(19_999), M, "EUR"))
    lay = mixed_lay(dear)
    path = tmp_path / "dear.html"
    path.write_bytes(report_page(order_lay(lay), "in"))
    browser.open(path, 390, 844, mobile=True)
    shown = "[...document.querySelectorAll('.bar, .bar rect, .short tfoot > tr > *')]"
    boxes = browser.run(f"{shown}.map(e => e.getBoundingClientRect()).map(b => [b.left, b.right])")
    assert len(boxes) > 6
    assert all(0 <= left <= right <= 390 for left, right in boxes)
    assert "13999.30 EUR" in browser.run("document.querySelector('tfoot').textContent")  # 0.7 m


def test_bars_have_a_line_on_every_side(page):
    for side in ("Left", "Right", "Top", "Bottom"):
        width = f"getComputedStyle(document.querySelector('.bar')).border{side}Width"
        assert page.run(width) == "1px"
