"""What each rule of the cloth asks for, and its effect on the lay."""

from dataclasses import dataclass
from fractions import Fraction

from nesting.cloth.cloth import Nap
from nesting.layouts.lay import ClothLay
from nesting.panels.panel import GrainRule
from nesting.reports.waste import Account, Use
from nesting.reports.wording import area, count_of, per_cent
from nesting.units import format_length

_NAPS = {
    Nap.ONE_WAY: "one-way: every panel points the same way",
    Nap.UP_AND_DOWN: "up and down: the panels of one item point the same way, items may differ",
    Nap.EITHER_WAY: "either way: each panel may be turned end for end",
}


@dataclass(frozen=True)
class RuleReport:
    """One rule: its name, what it asks for, and what it did."""

    rule: str
    asks: str
    did: str


def rule_reports(lay: ClothLay, account: Account, units: str) -> tuple[RuleReport, ...]:
    """Every rule of the cloth with its effect on this lay."""
    reports = [
        _nap(lay),
        _grain(lay),
        _gap(lay, account, units),
        _selvedge(lay, account, units),
        _ends(lay, account, units),
        _buying_step(lay, account, units),
    ]
    if lay.cloth.roll_length is not None:
        reports.append(_roll(lay, lay.cloth.roll_length, units))
    return tuple(reports)


def _nap(lay: ClothLay) -> RuleReport:
    """Report how many panels or items point the other way: turned by 180 degrees or more."""
    reversed_panels = [placed for placed in lay.placed if placed.turn >= 180]
    if lay.cloth.nap is Nap.UP_AND_DOWN:
        items = {(placed.panel.item, placed.copy) for placed in lay.placed}
        turned = {(placed.panel.item, placed.copy) for placed in reversed_panels}
        did = f"{_some_are(len(turned), len(items), 'item')} laid pointing the other way."
    else:
        turned_panels = _some_are(len(reversed_panels), len(lay.placed), "panel")
        did = f"{turned_panels} turned end for end."
    return RuleReport("Nap", _NAPS[lay.cloth.nap], did)


def _grain(lay: ClothLay) -> RuleReport:
    free = sum(placed.panel.grain_rule is GrainRule.ANY for placed in lay.placed)
    quarter = sum(placed.turn % 180 == 90 for placed in lay.placed)
    if lay.cloth.nap is Nap.ONE_WAY:
        asks = "along the roll, as each panel is drawn"
    elif lay.cloth.cross_grain:
        asks = "panels may also be turned by a quarter"
    else:
        asks = (
            f"along the roll; {count_of(free, 'panel')} may lie any way"
            if free
            else "along the roll"
        )
    did = f"{_some_are(quarter, len(lay.placed), 'panel')} turned by a quarter."
    return RuleReport("Grain", asks, did)


def _gap(lay: ClothLay, account: Account, units: str) -> RuleReport:
    gap = lay.cloth.gap
    if not gap:
        did = "Neighbours may share one cut line."
        return RuleReport("Gap", "none: panels may touch", did)
    asks = f"{format_length(gap, units)} clear between panels, none to the edges"
    did = f"Half of it around every panel: {_part(account.areas2[Use.GAPS], account, units)}."
    return RuleReport("Gap", asks, did)


def _selvedge(lay: ClothLay, account: Account, units: str) -> RuleReport:
    cloth = lay.cloth
    if not cloth.selvedge:
        return RuleReport("Selvedge", "none", "The whole width can be used.")
    usable, width = format_length(cloth.usable_width, units), format_length(cloth.width, units)
    lost = _part(account.areas2[Use.SELVEDGES], account, units)
    asks = f"{format_length(cloth.selvedge, units)} unusable at each edge"
    did = f"{usable} of {width} can be used; {lost} is lost."
    return RuleReport("Selvedge", asks, did)


def _ends(lay: ClothLay, account: Account, units: str) -> RuleReport:
    if not lay.cloth.end_allowance:
        return RuleReport("Ends", "no allowance", "The lay begins at the cut end.")
    asks = f"{format_length(lay.cloth.end_allowance, units)} at each cut end"
    lost = _part(account.areas2[Use.ENDS], account, units)
    return RuleReport("Ends", asks, f"Both ends together: {lost}.")


def _buying_step(lay: ClothLay, account: Account, units: str) -> RuleReport:
    asks = f"sold in steps of {format_length(lay.cloth.buy_step, units)}"
    added = lay.buy_length - lay.used_length - 2 * lay.cloth.end_allowance
    if not added:
        return RuleReport("Buying step", asks, "The lay ends on a step; nothing is added.")
    lost = _part(account.areas2[Use.BUYING_STEP], account, units)
    did = f"Rounding up added {format_length(added, units)}: {lost}."
    return RuleReport("Buying step", asks, did)


def _roll(lay: ClothLay, roll_length: int, units: str) -> RuleReport:
    asks = f"at most {format_length(roll_length, units)} in one piece"
    rest = format_length(roll_length - lay.buy_length, units)
    return RuleReport("Roll", asks, f"{rest} stays on it.")


def _some_are(some: int, number: int, noun: str) -> str:
    """The beginning of a sentence about some of a number of things, with its verb."""
    if number == 1:
        return f"The only {noun} is{'' if some else ' not'}"
    amount = {0: "None", number: "All"}.get(some, str(some))
    return f"{amount} of the {count_of(number, noun)} {'is' if some == 1 else 'are'}"


def _part(area2: int, account: Account, units: str) -> str:
    """An area and its share of the bought cloth, in words."""
    return f"{area(area2, units)} ({per_cent(Fraction(area2, account.bought2))})"
