"""Every rule that a lay is checked against, with its number.

The hundreds group the rules: 1 which panels are laid, 2 their shape, 3 their
place, 4 the way they point, 5 the figures of a record, 6 the lines of a
drawing, 7 what a record has in common with its order. A number never changes
its meaning; a removed rule leaves a gap.
"""

from dataclasses import dataclass
from enum import Enum


class Rule(Enum):
    """A numbered rule; its words say what must hold."""

    ALL_THERE = 101, "every copy and part that the order needs must be laid"
    ONCE = 102, "each copy and part must be laid once"
    WANTED = 103, "only panels that the order needs may be laid"
    WHOLE_ITEMS = 104, "every item must need the same number of a panel"
    PIECE_USED = 105, "something must lie on every piece of a cloth that is named"

    SIMPLE = 201, "an outline must enclose an area and not cross or touch itself"
    CONGRUENT = 202, "the outline on the cloth must be the panel's own"
    NOT_MIRRORED = 203, "no panel may be mirrored"
    CORNER = 204, "x and y must be the least corner of the outline"

    SELVEDGE = 301, "panels must lie between the selvedge lines"
    CUT_END = 302, "the lay must start at the end allowance"
    OVERLAP = 303, "panels must not overlap"
    GAP = 304, "panels must keep the gap"
    FAR_END = 305, "the lay must end at the end allowance of its piece"
    NARROWED = 306, "panels must lie within the widths measured along their piece"
    EDGE = 307, "panels must lie inside the edge of their piece"
    HOLE = 308, "panels must lie clear of holes"
    FLAW = 309, "panels must lie clear of flaws; only hidden panels may have minor ones"
    SPLICE = 310, "no panel may lie across a splice"
    ONE_SHADE = 311, "the panels of one copy of an item must lie on cloth of one shade"

    TURN = 401, "a panel may be turned only as the nap and its grain allow"
    ONE_DIRECTION = 402, "all panels of one item must point the same way"

    USABLE_WIDTH = 501, "the usable width must be the width less both selvedges"
    USED_LENGTH = 502, "the used length must be that of the outlines"
    BUY_LENGTH = 503, "the length to buy must be the fewest steps that cover the lay and both ends"
    AREA = 504, "an area must be that of its outlines"
    EFFICIENCY = 505, "the efficiency must be panel area divided by the usable cloth in use"
    BOUND = 506, "a lower bound must not be above the used length"
    GAP_TO_BOUND = 507, "the gap to the bound must be used length divided by bound, less one"
    PROVED = 508, "a lay may be called proved optimal only if the bound equals the used length"
    COST = 509, "the cost must be bought length times price, rounded half up to cents"
    PIECE_COST = 510, "a piece must cost its own price, or its length at the price of its cloth"
    ROLL_WIDTH = 511, "the roll that is bought must have the width and the selvedges of its cloth"

    LABEL = 601, "every cut outline must contain one label ITEM / PANEL / COPY.PART"
    GRAIN_LINE = 602, "every cut outline must contain one grain line along its panel's grain"
    SELVEDGE_LINE = 603, "both selvedge lines must be drawn along the whole lay"
    CLOTH_EDGE = 604, "the edge of the bought cloth must be drawn"
    CLOSED = 605, "a cut line must be a closed ring of at least three points"
    MARK_DRAWN = 606, "every stitch line, notch, drill mark, line and cut in a panel must be drawn"
    MARK_PLACE = 607, "a mark must lie where its panel has it"
    MARK_WANTED = 608, "only the marks of the panels may be drawn"
    PLOTTED = 609, "a file must hold the lines and texts of its drawing, each with its pen"
    GRAIN_HEAD = 610, "a grain line must have one arrowhead, at its end and pointing on from it"
    KNOWN = 611, "a file may draw only lines and texts that are told apart by pen, layer or group"
    READABLE = 612, "a file that was written must be one that can be read"

    CLOTH_DRAWN = 613, "the holes, flaws, splices and measured widths of a piece must be drawn"
    CLOTH_LINE = 614, "only lines of the cloth that the piece has may be drawn"

    KNIFE = 620, "a file for a knife may hold only cuts, notches and drill marks"

    PIECE_THERE = 631, "every panel of the order must be one pattern piece"
    PIECE = 632, "a pattern piece must have the texts, lines and marks of its panel"

    SAME_ORDER = 701, "a record must be of its order"
    CLOTH_THERE = 702, "every cloth that the order cuts from must be laid"
    CLOTH_WANTED = 703, "only cloths that the order cuts from may be laid"
    CLOTH_RULE = 704, "a record must have the rules of its order"
    PANEL_THERE = 705, "every panel of the order must be in the record"
    PANEL_WANTED = 706, "only panels of the order may be in the record"
    QUANTITY = 707, "a panel must be needed as often as the order says"
    ORDERED_SHAPE = 708, "a panel must have the outline that the order gives it"
    ROLL = 709, "what is bought must fit the roll"
    CHOICE = 710, "only what the order leaves open may be chosen, and only so that it can be made"
    PIECE_WANTED = 711, "panels may lie only on pieces of cloth that the order has"
    PIECE_AS_ORDERED = 712, "a piece of cloth must be as the order has it"
    MAY_BUY = 713, "cloth may be bought only if the order allows it"

    @property
    def number(self) -> int:
        """The number that users see."""
        return self.value[0]

    @property
    def text(self) -> str:
        """The rule in words."""
        return self.value[1]


@dataclass(frozen=True, slots=True)
class Finding:
    """One breach of a rule.

    ``where`` names the panel or figure; ``detail`` gives the place and amount.
    """

    number: int
    rule: str
    where: str
    detail: str

    def __str__(self) -> str:
        return f"{self.number} {self.where}: {self.rule}: {self.detail}"


def finding(rule: Rule, where: str, detail: str) -> Finding:
    """A finding that a rule is broken."""
    return Finding(rule.number, rule.text, where, detail)
