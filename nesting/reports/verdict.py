"""What is proved about the length of a lay, in plain words."""

from nesting.layouts.lay import ClothLay
from nesting.reports.waste import Account
from nesting.reports.wording import length_to_buy, per_cent
from nesting.units import format_length


def saving(lay: ClothLay, figures: Account) -> tuple[str, str]:
    """How much of the length could still be saved, and a note on that."""
    if _proved(lay, figures):
        return "nothing", "proved shortest"
    return f"at most {per_cent(figures.possible_saving)}", "of the length, by any other lay"


def verdict(lay: ClothLay, figures: Account, units: str) -> str:
    """What the lower bound says, and what it means for the length to buy."""
    bought = lay.on.length is None
    where = "on this cloth" if bought else "on this piece"
    if _proved(lay, figures):
        return f"Proved shortest: no layout of these panels {where} needs less length."
    bound = format_length(lay.lower_bound, units)
    proved = (
        f"No layout of these panels {where} can be shorter than {bound}, "
        f"so {saving(lay, figures)[0]} could still be saved."
    )
    if not bought:
        return proved
    if figures.least_buy_length == lay.buy_length:
        return f"{proved} Even for the shortest you would buy the same length."
    least = length_to_buy(figures.least_buy_length, units, lay.cloth.price)
    return f"{proved} For a lay as short as that you would buy {least}."


def _proved(lay: ClothLay, figures: Account) -> bool:
    return lay.proved_optimal or not figures.possible_saving
