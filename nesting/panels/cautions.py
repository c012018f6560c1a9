"""Warnings printed with an article, shared by the products they concern.

They remind and defer: the sources named here are where a reader finds the rule
itself. What is from memory says so in its words.
"""

from collections.abc import Iterable
from typing import Final

#: CPSC recall of 16 March 1995 (5 deaths, at least 27 incidents) and its later release on
#: 2.2 million chairs; scope of ASTM F1912-21 (its closures from a secondary source); the
#: Australian regulator's page on bean bags.
BEADS: Final = (
    "Beads suffocate: children have opened bean bags, breathed beads in and died (US recall of "
    "1995: five deaths). Keep the beads in an inner bag of their own that is put in empty, filled "
    "through a funnel and sewn shut by machine, twice. Every zip (zipper) on the way to them must "
    "lock and need a special tool to open; a zip without a pull tab is not enough: children have "
    "opened such zips. Or sew the cover shut for good. Sew in a permanent warning label. Look up "
    "ASTM F1912 (US) and the Consumer Goods (Bean Bags) Safety Standard 2014 (Australia, which "
    "also covers cushions, footstools and pet beds that can be opened)."
)

#: AAP, Pediatrics, July 2022; the Lullaby Trust; 16 CFR 1243 (89 FR 87467); CPSIA;
#: Directive 2009/48/EC and Regulation (EU) 2025/2509; Regulation (EU) 2023/988; the UK's
#: Toys (Safety) Regulations 2011 and, from memory, its product safety regulations of 2005.
CHILDREN: Final = (
    "Children: never leave a baby to sleep on a cushion, pouf (pouffe) or bean bag, and put "
    "nothing soft in a cot (crib). What is made for children, or looks like a soft toy, has rules "
    "of its own. US: CPSIA (up to 12 years) and 16 CFR 1243 (infant support cushions). UK: Toys "
    "(Safety) Regulations 2011, or else General Product Safety Regulations 2005 (from memory). EU: "
    "toys, 2009/48/EC and from 1 August 2030 Regulation 2025/2509; other products, Regulation "
    "2023/988."
)

#: 16 CFR 1501.4, as extracted on federalstatelaw.com.
SMALL_PARTS: Final = (
    "Small parts: buttons, zip pulls and beads can choke children under three. Nothing that comes "
    "off, even after rough use, may fit the test cylinder of 16 CFR 1501.4 (US). Leave buttons off "
    "what is made for them."
)

#: UK SI 1988/1324, its schedules 1 and 5, and SI 2025/531; 16 CFR 1640, which adopts
#: California's TB 117-2013. That the EU has no common rule: EFIC, safefurniture.eu.
FIRE: Final = (
    "Fire: seating, floor cushions and their fillings must pass ignition tests and carry a "
    "permanent label in many countries (UK: SI 1988/1324, changed by SI 2025/531; US: 16 CFR 1640; "
    "EU: rules of each state). Use combustion-modified foam where the law asks for it, and ask "
    "for the test papers of cloth and filling. Foam and beads burn fast, with toxic smoke: keep "
    "them away from heaters and flames."
)

#: What is cut from an outline or as a flat panel may become a seat.
FIRE_IF_SEATING: Final = (
    "If this becomes part of a seat or a cushion, fire rules apply to it and to its filling (UK: "
    "SI 1988/1324, changed by SI 2025/531; US: 16 CFR 1640; EU: rules of each state)."
)

#: EN 71-1:2005+A8, clause 5.4, in its text of 2009; ASTM F963 from memory. No standard for the
#: ties of cushions was found.
TIES: Final = (
    "Ties and cords: a cord, or two that knot to a loop, can strangle a child. No standard for "
    "cushions is known to us; those for toys allow a cord that can form a noose at most 220 mm (EN "
    "71-1, clause 5.4, text of 2009) or 12 in (ASTM F963, from memory). Keep ties no longer than "
    "that where children are."
)

#: americanlawlabel.com and guidedmakers.com on US law labels; the UK's rule: SI 2025/531 and
#: 1988/1324.
LABELS: Final = (
    "Labels: about 31 US states ask for a law label on stuffed articles, with the filling by "
    "weight and a registry number; furniture sold in the UK needs its permanent fire label."
)

#: HSE (UK) guidance on cutting textiles, 2023; ISO 13999-1 is for hand knives; with round
#: powered knives sources disagree about the glove.
BLADES: Final = (
    "Blades: set the guard just above the cloth; wear a chain-mail glove as the machine's manual "
    "says (for hand knives ISO 13999-1); unplug before you change or clean a blade; put used "
    "blades in a sharps bin."
)

#: The same where there is room for one line only.
BLADES_IN_SHORT: Final = (
    "Blades: guard just above the cloth; chain-mail glove as the machine's manual says; unplug "
    "before you change a blade; used blades go in a sharps bin."
)

LOCAL_RULES: Final = "Check local rules before you sell; this is not legal advice."

#: Those that are printed under the title, where they cannot be overlooked.
FOREMOST: Final = (BEADS, CHILDREN)


def cautions_for(product: Iterable[str], *, beads: bool, small_parts: bool) -> tuple[str, ...]:
    """The cautions printed with an article, in order.

    ``beads`` says that it is filled with beads; ``small_parts`` that it has
    parts which a small child could swallow.
    """
    concerning = [caution for caution in product if beads or caution != BEADS]
    return in_order([*concerning, *([SMALL_PARTS] if small_parts else [])])


def in_order(cautions: Iterable[str]) -> tuple[str, ...]:
    """Each caution once: the foremost first, and that on local rules always there and last."""
    given = [*cautions]
    foremost = [caution for caution in FOREMOST if caution in given]
    others = [caution for caution in given if caution != LOCAL_RULES]
    return tuple(dict.fromkeys((*foremost, *others, LOCAL_RULES)))
