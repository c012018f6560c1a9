"""The register of products, and what a product tells about itself."""

import subprocess
import sys
from itertools import pairwise

import pytest

from nesting.errors import Fault
from nesting.panels import product as register_module
from nesting.panels.cautions import LOCAL_RULES
from nesting.panels.drafting.draft import Draft
from nesting.panels.drafting.finished import FinishedPanel, rectangle
from nesting.panels.making import make_panels
from nesting.panels.measurements import Measurement, MeasurementKind
from nesting.panels.product import products, register

#: Names and defaults that an order relies on; None and True: must be given.
PROMISED = {
    "gored-pouf": {
        "diameter": (None, True),
        "height": (None, False),
        "gores": (8, False),
        "cap_diameter": (0.0, False),
    },
    "box-cushion": {
        "length": (None, True),
        "width": (None, True),
        "thickness": (None, True),
        "strips": (4, False),
        "strip_grain": ("across", False),
    },
    "round-cushion": {
        "diameter": (None, True),
        "thickness": (None, True),
        "strips": (1, False),
        "strip_grain": ("across", False),
    },
    "panel": {"length": (None, True), "width": (None, True)},
}


@pytest.fixture
def clean_register(monkeypatch):
    monkeypatch.setattr(register_module, "_register", dict(products()))


@pytest.mark.parametrize("name", PROMISED)
def test_measurements_and_defaults_are_as_promised(name):
    """Others may join them, but none that must be given."""
    found = {m.name: (m.default, m.required) for m in products()[name].measurements}
    assert found == found | PROMISED[name]
    assert not [key for key in found.keys() - PROMISED[name] if found[key][1]]


@pytest.mark.parametrize("name", sorted(products()))
def test_every_measurement_says_what_it_is_and_has_limits_or_choices(name):
    for measurement in products()[name].measurements:
        assert len(measurement.meaning) > 10
        if measurement.kind is MeasurementKind.CHOICE:
            assert measurement.default in (*measurement.choices, None)
            assert measurement.choices
        elif measurement.kind not in (MeasurementKind.FLAG, MeasurementKind.FILE):
            assert 0 <= measurement.least < measurement.greatest


def test_three_gores_are_below_the_limit():
    (gores,) = [m for m in products()["gored-pouf"].measurements if m.name == "gores"]
    assert gores.least == 4
    assert gores.greatest == 48


@pytest.mark.parametrize("name", sorted(products()))
def test_cautions_end_by_deferring_to_local_rules(name):
    assert products()[name].cautions[-1] == LOCAL_RULES


def test_a_pouf_warns_of_beads_fire_and_blades():
    text = " ".join(products()["gored-pouf"].cautions)
    for word in ("suffocate", "inner bag", "ASTM F1912", "SI 1988/1324", "16 CFR 1640", "Blades"):
        assert word in text


@pytest.mark.parametrize("name", sorted(products()))
def test_whatever_is_filled_warns_of_fire_and_of_what_children_need(name):
    """Cushions and poufs alike; handles, ties and welt are neither, outlines may become seats."""
    text = " ".join(products()[name].cautions)
    filled = name not in ("panel", "outline", "handle", "tie", "welt")
    assert ("16 CFR 1640" in text) is (filled or name in ("panel", "outline"))
    assert ("law label" in text) is filled
    assert ("CPSIA" in text) is filled
    assert "Blades" in text


class Bunting:
    """A product from outside: a pennant with nothing sewn to it."""

    name = "bunting"
    summary = "a strip of cloth for a line of bunting"
    measurements = (Measurement("drop", MeasurementKind.LENGTH, "how far it hangs", required=True),)
    cautions = ()

    def faults(self, values, allowance_mm):
        return (Fault("drop", "too short for its allowance"),) if allowance_mm > 5 else ()

    def draft(self, values):
        shape = rectangle("flag", 1, values["drop"], 80, ("lower", "tip", "upper", "band"))
        return Draft((shape,), ())


@pytest.mark.usefixtures("clean_register")
def test_a_product_from_outside_is_made_like_our_own():
    register(Bunting())
    made = make_panels(
        products()["bunting"],
        {"drop": 120.0},
        item="line",
        cloth="cotton",
        quantity=1,
        allowance_mm=0,
    )
    assert made.panels[0].cut.bounds == (0, 0, 12_000, 8_000)


@pytest.mark.usefixtures("clean_register")
def test_two_products_cannot_share_a_name():
    register(Bunting())
    with pytest.raises(ValueError, match="two products are named 'bunting'"):
        register(Bunting())


def test_a_shape_whose_edges_do_not_join_is_refused():
    edges = rectangle("flag", 1, 120, 80, ("lower", "tip", "upper", "band")).edges
    with pytest.raises(ValueError, match="must join"):
        FinishedPanel("flag", 1, {k: v for k, v in edges.items() if k != "tip"})


def test_edges_run_round_a_panel_in_order():
    edges = list(rectangle("flag", 1, 120, 80, ("a", "b", "c", "d")).edges.values())
    assert all(one.points[-1] == other.points[0] for one, other in pairwise((*edges, edges[0])))


def test_listing_the_products_loads_no_heavy_library():
    code = (
        "import sys\n"
        "from nesting.panels.product import products\n"
        "assert len(products()) >= 4\n"
        "print(*{'shapely', 'numpy', 'numba', 'ortools'} & set(sys.modules))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == ""
