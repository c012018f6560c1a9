"""What is proved of a lay's length, in plain words."""

from nesting.layouts.lay import ClothLay
from nesting.reports.waste import Account
from nesting.reports.wording import length_to_buy, per_cent
from nesting.units import format_length


def saving(lay: ClothLay, figures: Account) -> tuple[str, str]:
    """How much of the length could still be saved, and why so much."""
    if _proved(lay, figures):
        return "nothing", "proved shortest"
    return f"at most {per_cent(figures.possible_saving)}", "of the length, by any other lay"


def verdict(lay: ClothLay, figures: Account, units: str) -> str:
    """What the bound says, and what it means at the shop."""
    if _proved(lay, figures):
        return "Proved shortest: no layout of these panels on this cloth needs less length."
    bound = format_length(lay.lower_bound, units)
    proved = (
        f"No layout of these panels on this cloth can be shorter than {bound}, "
        f"so {saving(lay, figures)[0]} could still be saved."
    )
    if figures.least_buy_length == lay.buy_length:
        return f"{proved} Even the shortest would be bought at the same length."
    least = length_to_buy(figures.least_buy_length, units)
    return f"{proved} A lay as short as that would be bought as {least}."


def _proved(lay: ClothLay, figures: Account) -> bool:
    return lay.proved_optimal or not figures.possible_saving
