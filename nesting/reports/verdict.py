"""What is proved about the length of a lay, in plain words."""

from nesting.layouts.lay import ClothLay
from nesting.layouts.measures import gap_to_bound
from nesting.reports.waste import Account
from nesting.reports.wording import length_to_buy, per_cent
from nesting.units import format_length


def saving(lay: ClothLay, figures: Account) -> tuple[str, str]:
    """How much of the length could still be saved, and a note on that."""
    if _proved(lay, figures):
        return "nothing", "no plan is shorter (proved)"
    return f"at most {per_cent(figures.possible_saving)}", "of the length, by any other plan"


def verdict(lay: ClothLay, figures: Account, units: str) -> str:
    """What the lower bound says, and what it means for the length to buy."""
    bound = f"Minimum {format_length(lay.lower_bound, units)} (proved)"
    if _proved(lay, figures):
        return f"{bound}; no plan is shorter."
    proved = f"{bound}; this plan is {100 * gap_to_bound(lay):.1f} % longer."
    if lay.on.length is not None:
        return proved
    if figures.least_buy_length == lay.buy_length:
        return f"{proved} A shorter plan would not change the length to buy."
    least = length_to_buy(figures.least_buy_length, units, lay.cloth.price)
    return f"{proved} For a plan as short as the minimum you would buy {least}."


def _proved(lay: ClothLay, figures: Account) -> bool:
    return lay.proved_optimal or not figures.possible_saving
