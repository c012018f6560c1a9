"""The make-up pages of an order, whether its panels are laid or not."""

from collections.abc import Iterable

from nesting.exporters.formats import Export
from nesting.orders.order import Order
from nesting.panels.making import Made
from nesting.panels.product import products
from nesting.reports.make_up import Article, make_up_pages


def make_up_files(order: Order, made: Iterable[Made]) -> Export:
    """``make-up.html``: what the sewer gets for each item."""
    known = products()
    articles = [
        Article(each, known[item.product].summary, tuple(known[item.product].cautions))
        for item, each in zip(order.items, made, strict=True)
    ]
    return Export({"make-up.html": make_up_pages(order.name, order.units, articles)})
