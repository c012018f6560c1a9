"""The make-up pages of an order, whether its panels are laid or not."""

from collections.abc import Iterable

from nesting.exporters.formats import Export
from nesting.orders.order import Order
from nesting.panels.making import Made
from nesting.reports.make_up import Article, make_up_pages


def make_up_files(order: Order, made: Iterable[Made]) -> Export:
    """``make-up.html``: what the sewer gets for each item."""
    articles = [
        Article(each, item.made_as.summary, tuple(item.made_as.cautions))
        for item, each in zip(order.items, made, strict=True)
    ]
    return Export({"make-up.html": make_up_pages(order.name, order.units, articles)})
