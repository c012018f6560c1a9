"""What the pieces of a cloth require of a lay, and its effect: one sentence for each rule."""

from collections.abc import Iterable, Iterator, Sequence

import shapely

from nesting.cloth.stock import ClothPiece, Flaw
from nesting.layouts.cloth_figure import ClothFigure, cloth_figure
from nesting.layouts.lay import ClothLay
from nesting.reports.rule_report import RuleReport
from nesting.reports.waste import Account, Use
from nesting.reports.wording import count_of, share_of_cloth
from nesting.units import format_length


def piece_reports(
    lay: ClothLay, account: Account, units: str, lays: Sequence[ClothLay] = ()
) -> Iterator[RuleReport]:
    """The rules that hold because of what a lay lies on; none for a roll without flaws.

    ``lays`` are those of the same cloth, this one among them.
    """
    piece, figure = lay.on, cloth_figure(lay)
    if piece.length is not None:
        yield _left(lay, account, units)
    if piece.outline:
        yield _edge(piece, account, units)
    if piece.widths:
        yield _widths(piece, figure, account, units)
    if piece.splices:
        yield _splices(piece, units)
    if piece.flaws:
        yield _flaws(lay, figure, account, units)
    if any(each.shade for each in lay.cloth.as_sold.pieces):
        yield _shades(lay)
    if lay.cloth.as_sold.stock:
        yield _pieces(lay, lays or (lay,))


def _left(lay: ClothLay, account: Account, units: str) -> RuleReport:
    length = format_length(lay.cloth_length, units)
    rest = lay.cloth_length - lay.used_length - 2 * lay.cloth.end_allowance
    required = f"{length} long, all of it there already"
    if rest <= 0:
        return RuleReport("Piece", required, "It is used up to its end.")
    lost = share_of_cloth(account.areas2[Use.LEFT], account.whole2, units, lay.on)
    effect = f"The last {format_length(rest, units)} are left on it: {lost}."
    return RuleReport("Piece", required, effect)


def _edge(piece: ClothPiece, account: Account, units: str) -> RuleReport:
    holes = f" and clear of its {count_of(len(piece.holes), 'hole')}" if piece.holes else ""
    lost = share_of_cloth(account.areas2[Use.OUTSIDE], account.whole2, units, piece)
    effect = f"No cloth: {lost}."
    return RuleReport("Edge", f"every panel inside the edge of the piece{holes}", effect)


def _widths(piece: ClothPiece, figure: ClothFigure, account: Account, units: str) -> RuleReport:
    widths = [section.width for section in figure.sections]
    least, most = (format_length(width, units) for width in (min(widths), max(widths)))
    found = f"{least} wide all along" if least == most else f"{least} to {most} wide"
    lost = share_of_cloth(account.areas2[Use.OUTSIDE], account.whole2, units, piece)
    required = "as measured along the piece; between two places the narrower counts"
    effect = f"The piece is taken to be {found}. Missing from its full width: {lost}."
    return RuleReport("Widths", required, effect)


def _splices(piece: ClothPiece, units: str) -> RuleReport:
    places = ", ".join(format_length(x, units) for x in piece.splices)
    effect = f"{count_of(len(piece.splices), 'splice')}, {places} from the cut end."
    return RuleReport("Splices", "no panel lies across a splice", effect)


def _flaws(lay: ClothLay, figure: ClothFigure, account: Account, units: str) -> RuleReport:
    """How many flaws are avoided, and how many minor ones lie under hidden panels."""
    here = len(figure.flaws)
    covered = sum(flaw.minor and _is_covered(lay, flaw) for flaw in figure.flaws)
    sentences = [f"{count_of(here - covered, 'flaw')} avoided."]
    if covered:
        sentences.append(f"{count_of(covered, 'minor flaw')} under hidden panels.")
    beyond = len(lay.on.flaws) - here
    if beyond > 0:
        sentences.append(f"{beyond} more on the roll, beyond the length that is bought.")
    lost = share_of_cloth(account.areas2[Use.FLAWS], account.whole2, units, lay.on)
    sentences.append(f"Flaws in the lay plan take {lost}.")
    required = "no panel on a flaw; only hidden panels may lie on a minor one"
    return RuleReport("Flaws", required, " ".join(sentences))


def _is_covered(lay: ClothLay, flaw: Flaw) -> bool:
    """Whether a hidden panel lies on a part of a flaw."""
    hidden = [shapely.Polygon(p.outline.points) for p in lay.placed if p.panel.hidden]
    spot = shapely.Polygon(flaw.outline.points)
    return bool((shapely.area(shapely.intersection(hidden, spot)) > 0).any())


def _shades(lay: ClothLay) -> RuleReport:
    own = f'shade "{lay.on.shade}"' if lay.on.shade else "no shade of its own"
    free = dict.fromkeys(p.panel.item for p in lay.placed if not p.panel.one_shade)
    effect = f"This piece has {own}."
    if free:
        effect += f" {_listed(free)} may come from several shades."
    return RuleReport("Shade", "all panels of one copy of an item from one shade", effect)


def _pieces(lay: ClothLay, lays: Sequence[ClothLay]) -> RuleReport:
    """Which pieces of the cloth are used, and which are left as they are."""
    cloth = lay.cloth.as_sold
    used = [each.on.name for each in lays]
    untouched = [piece.name for piece in cloth.stock if piece.name not in used]
    more = "more may be bought" if cloth.may_buy else "nothing is bought"
    required = f"{count_of(len(cloth.stock), 'piece')} in stock; {more}"
    effect = f"Used: {_listed(used)}."
    if untouched:
        effect += f" Left untouched: {_listed(untouched)}."
    return RuleReport("Pieces", required, effect)


def _listed(names: Iterable[str]) -> str:
    return ", ".join(names)
