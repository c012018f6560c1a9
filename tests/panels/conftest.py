"""Panels made in one line."""

import pytest

from nesting.errors import Fault
from nesting.panels.making import make_panels
from nesting.panels.product import products


def with_defaults(product, given):
    return {m.name: given.get(m.name, m.default) for m in products()[product].measurements}


@pytest.fixture(scope="session")
def make():
    """The panels of one item; values that are not given take their defaults."""

    def made(product, allowance_mm=0.0, **given):
        values = with_defaults(product, given)
        product = products()[product]
        assert product.faults(values, allowance_mm) == ()
        return make_panels(
            product, values, item="seat", cloth="twill", quantity=2, allowance_mm=allowance_mm
        )

    return made


@pytest.fixture(scope="session")
def draft():
    """The draft of one item."""

    def drafted(product, **given):
        return products()[product].draft(with_defaults(product, given))

    return drafted


@pytest.fixture(scope="session")
def faults():
    """What is wrong with an item, by the place of each fault, as text in millimetres."""

    def found(product, allowance_mm=0.0, **given):
        values = with_defaults(product, given)
        faults = products()[product].faults(values, allowance_mm)
        return {fault.place: Fault(*fault.texts("mm")) for fault in faults}

    return found


@pytest.fixture(scope="session")
def by_name():
    """Panels by their names."""

    def named(panels):
        return {panel.name: panel for panel in panels}

    return named
