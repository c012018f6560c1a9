"""The make-up pages as `lay` and `panels` write them."""

import json
import re

ORDER = """
version = 1
name = "Nook"
units = "cm"
[[cloth]]
name = "twill"
width = 140
[[item]]
product = "box-cushion"
name = "seat"
quantity = 2
cloth = "twill"
length = 52
width = 45
thickness = 8
strips = "auto"
"""


def test_lay_and_panels_write_the_same_pages_even_where_the_plan_chooses_the_strips(
    clothwright, tmp_path
):
    """Both choose by the same quick lays; the page names the panels that are laid."""
    order = tmp_path / "nook.toml"
    order.write_text(ORDER)
    quick = ("--steps", "1", "--workers", "1", "--formats", "make-up")
    assert clothwright("lay", order, *quick).status == 0
    assert clothwright("panels", order, "--formats", "make-up").status == 0
    laid = (tmp_path / "nook-lay" / "make-up.html").read_text("utf-8")
    assert laid == (tmp_path / "nook-panels" / "make-up.html").read_text("utf-8")
    layout = json.loads((tmp_path / "nook-lay" / "layout.json").read_text("utf-8"))
    named = {(p["panel"], p["quantity"]) for p in layout["cloths"][0]["panels"]}
    shown = re.findall(r"<strong>\d+\. (.+?)</strong>, \d+ in each, (\d+) in total", laid)
    assert {(name, int(count)) for name, count in shown} == named
    assert "chosen by quick lays" in laid
