"""The whole article that a product makes: cover and liner, with openings for the filling.

Whatever needs the draft of an item asks here, so that every product has them.
"""

from nesting.errors import Fault
from nesting.panels.drafting.draft import Draft
from nesting.panels.measurements import Values
from nesting.panels.parts.filling import bead_faults, with_openings
from nesting.panels.parts.liner import values_of_liner, with_liner
from nesting.panels.product import Product


def article_draft(product: Product, values: Values, *, lined: bool = False) -> Draft:
    """The draft of an article, with its liner if it is ``lined``."""
    cover = with_openings(product.draft(values), values)
    if not lined:
        return cover
    liner = product.draft(values_of_liner(values, product.measurements))
    return with_liner(cover, liner, values)


def article_faults(product: Product, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
    """Measurements that contradict each other, the allowance, or what a filling asks for."""
    return (*product.faults(values, allowance_mm), *bead_faults(values))
