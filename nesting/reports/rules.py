"""What each rule of the cloth requires, and its effect on the lay."""

from collections.abc import Sequence

from nesting.cloth.cloth import Nap
from nesting.layouts.lay import ClothLay
from nesting.panels.panel import GrainRule
from nesting.reports.piece_rules import piece_reports
from nesting.reports.rule_report import RuleReport
from nesting.reports.waste import Account, Use
from nesting.reports.wording import count_of, share_of_cloth
from nesting.units import format_length

_NAPS = {
    Nap.ONE_WAY: "one way: every panel points the same way",
    Nap.UP_AND_DOWN: "up and down: the panels of one item point the same way; items may differ",
    Nap.EITHER_WAY: "either way: each panel may be turned end for end",
}


def rule_reports(
    lay: ClothLay, account: Account, units: str, lays: Sequence[ClothLay] = ()
) -> tuple[RuleReport, ...]:
    """Every rule of the cloth, and of the piece of it, with its effect on this lay.

    ``lays`` are those of the same cloth, this one among them; none is needed for a
    cloth without pieces.
    """
    piece = lay.on
    reports = [_nap(lay), _grain(lay), _gap(lay, account, units)]
    if piece.selvedge or not piece.outline:
        reports.append(_selvedge(lay, account, units))
    if not piece.outline:
        reports.append(_ends(lay, account, units))
    if piece.length is None:
        reports.append(_buying_step(lay, account, units))
        if lay.cloth.roll_length is not None:
            reports.append(_roll(lay, lay.cloth.roll_length, units))
    return (*reports, *piece_reports(lay, account, units, lays))


def _nap(lay: ClothLay) -> RuleReport:
    """Report how many panels or items point the other way: turned by 180 degrees or more."""
    reversed_panels = [placed for placed in lay.placed if placed.turn >= 180]
    if lay.cloth.nap is Nap.UP_AND_DOWN:
        items = {(placed.panel.item, placed.copy) for placed in lay.placed}
        turned = {(placed.panel.item, placed.copy) for placed in reversed_panels}
        effect = f"{_some_are(len(turned), len(items), 'item')} turned end for end."
    else:
        turned_panels = _some_are(len(reversed_panels), len(lay.placed), "panel")
        effect = f"{turned_panels} turned end for end."
    return RuleReport("Nap", _NAPS[lay.cloth.nap], effect)


def _grain(lay: ClothLay) -> RuleReport:
    free = sum(placed.panel.grain_rule is GrainRule.ANY for placed in lay.placed)
    quarter = sum(placed.turn % 180 == 90 for placed in lay.placed)
    if lay.cloth.nap is Nap.ONE_WAY:
        required = "along the roll; no panel may be turned"
    elif lay.cloth.cross_grain:
        required = "along the roll or across it: panels may be turned by a quarter"
    else:
        required = (
            f"along the roll; {count_of(free, 'panel')} may lie any way"
            if free
            else "along the roll"
        )
    effect = f"{_some_are(quarter, len(lay.placed), 'panel')} turned by a quarter."
    return RuleReport("Grain", required, effect)


def _gap(lay: ClothLay, account: Account, units: str) -> RuleReport:
    gap = lay.cloth.gap
    if not gap:
        effect = "Neighbours may share one cut line."
        return RuleReport("Spacing", "none: panels may touch", effect)
    required = (
        f"at least {format_length(gap, units)} between panels; none at the edges of the cloth"
    )
    effect = f"It takes {_part(lay, Use.GAPS, account, units)}."
    return RuleReport("Spacing", required, effect)


def _selvedge(lay: ClothLay, account: Account, units: str) -> RuleReport:
    cloth = lay.cloth
    if not cloth.selvedge:
        return RuleReport("Selvedge", "none", "The whole width can be used.")
    usable, width = format_length(cloth.usable_width, units), format_length(cloth.width, units)
    lost = _part(lay, Use.SELVEDGES, account, units)
    required = f"{format_length(cloth.selvedge, units)} at each edge is not used"
    effect = f"{usable} of the width of {width} can be used. Selvedges take {lost}."
    if lay.on.widths:
        effect = f"Selvedges take {lost}."
    return RuleReport("Selvedge", required, effect)


def _ends(lay: ClothLay, account: Account, units: str) -> RuleReport:
    if not lay.cloth.end_allowance:
        return RuleReport("End allowance", "none", "The lay plan begins at the cut end.")
    required = f"{format_length(lay.cloth.end_allowance, units)} at each end of the length"
    lost = _part(lay, Use.ENDS, account, units)
    return RuleReport("End allowance", required, f"Both ends take {lost}.")


def _buying_step(lay: ClothLay, account: Account, units: str) -> RuleReport:
    required = f"sold in steps of {format_length(lay.cloth.buy_step, units)}"
    added = lay.buy_length - lay.used_length - 2 * lay.cloth.end_allowance
    if not added:
        return RuleReport("Rounding to sale length", required, "Nothing is added.")
    lost = _part(lay, Use.BUYING_STEP, account, units)
    effect = f"{format_length(added, units)} is bought but not needed: {lost}."
    return RuleReport("Rounding to sale length", required, effect)


def _roll(lay: ClothLay, roll_length: int, units: str) -> RuleReport:
    required = f"at most {format_length(roll_length, units)} in one length"
    rest = format_length(roll_length - lay.buy_length, units)
    return RuleReport("Roll", required, f"{rest} stays on the roll.")


def _some_are(some: int, number: int, noun: str) -> str:
    """The beginning of a sentence about some of a number of things, with its verb."""
    if number == 1:
        return f"The only {noun} is{'' if some else ' not'}"
    amount = {0: "None", number: "All"}.get(some, str(some))
    return f"{amount} of the {count_of(number, noun)} {'is' if some == 1 else 'are'}"


def _part(lay: ClothLay, use: Use, account: Account, units: str) -> str:
    """The area that a use takes, and its share of the cloth, in words."""
    return share_of_cloth(account.areas2[use], account.whole2, units, lay.on)
