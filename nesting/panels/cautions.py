"""Warnings printed with a product, shared by the products they concern."""

from collections.abc import Iterable
from typing import Final

#: CPSC releases on deaths of children in bean bags, among them through zips without a pull
#: tab (2014); scope of ASTM F1912 and, from secondary pages, its two kinds of closure.
BEADS: Final = (
    "Bead filling: beads suffocate children who breathe them in. Keep the beads in a separate "
    "inner bag that is put in empty, filled through a funnel and sewn shut by machine, twice. "
    "Close the cover with a zip that locks and opens only with a special tool; a zip without a "
    "pull tab is not enough, children have opened such zips. Mind the rules for bean bags (US: "
    "ASTM F1912)."
)

#: UK SI 1988/1324; 16 CFR 1640, which adopts California's TB 117-2013.
FIRE: Final = (
    "Fire: upholstered seating and its filling must pass ignition tests and carry labels in many "
    "countries (UK: SI 1988/1324; US: 16 CFR 1640). Ask for the test papers of cloth and filling."
)

#: Consumer Product Safety Improvement Act (US): cpsc.gov on small batches, which are exempt
#: from some tests only; a child is 12 or younger (age from memory).
CHILDREN: Final = (
    "Children: what is made for children of 12 or under must pass stricter rules (US: CPSIA, with "
    "tests by a third party, a certificate and a tracking label; small batches are exempt from "
    "some tests only). Never put soft cushions in a cot."
)

#: Health and Safety Executive (UK), guidance on cutting textiles.
BLADES: Final = (
    "Blades: set the guard of a powered knife to the cloth and wear a chain-mail glove with all "
    "five fingers (textile cut gloves are no protection there); change and discard blades safely."
)

TIES: Final = (
    "Ties: keep them short on anything a child can reach; a long tie, or two that knot to a loop, "
    "can strangle."
)

LOCAL_RULES: Final = "Check local rules before sale; not legal advice."


def cautions_for(product: Iterable[str], *, beads: bool) -> tuple[str, ...]:
    """The cautions printed with an article; the one on beads only if it is filled with beads.

    The caution on local rules is always among them.
    """
    concerning = (caution for caution in product if beads or caution != BEADS)
    return tuple(dict.fromkeys((*concerning, LOCAL_RULES)))
