"""Makes cut panels from a product and its measurements.

Finished shapes are rounded outward to the grid once; the cut line is the
stitch line grown by the allowance of each edge.
"""

import math
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

from nesting.geometry.curves import Point
from nesting.geometry.offsetting import grown, grown_by_edge
from nesting.geometry.outline import Outline, rounded_outward
from nesting.geometry.transforms import shifted
from nesting.panels.article import article_draft
from nesting.panels.cautions import cautions_for
from nesting.panels.drafting import notches
from nesting.panels.drafting.draft import Draft, Fact
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.grain import grain_and_label
from nesting.panels.drafting.seams import SeamMeasure, measure_seams, sewn_length
from nesting.panels.drafting.sewing import Notion, NotionKind, Step, Stitch, thread
from nesting.panels.drafting.unlike_parts import divide_unlike_parts
from nesting.panels.measurements import Values
from nesting.panels.panel import DrillMark, Notch, Panel, PanelEdge
from nesting.panels.parts.filling import INNER_BAG
from nesting.panels.product import Product
from nesting.units import GRID_PER_MM, to_grid

#: Notions with parts that a small child could swallow: buttons, and the pulls of zips.
_SMALL: Final = frozenset({NotionKind.BUTTON, NotionKind.ZIP})


@dataclass(frozen=True)
class Made:
    """The cut panels of one item, its measured seams, and what the sewer needs with them.

    ``steps`` are in sewing order and ``notions`` include thread, both for one
    item; ``area_mm2`` is the surface of the finished article and
    ``volume_litres`` its volume, if it has one. ``cautions`` are those to print with it.
    """

    panels: tuple[Panel, ...]
    seams: tuple[SeamMeasure, ...]
    facts: tuple[Fact, ...]
    steps: tuple[Step, ...] = ()
    notions: tuple[Notion, ...] = ()
    area_mm2: float = 0.0
    volume_litres: float | None = None
    cautions: tuple[str, ...] = ()


def make_panels(  # noqa: PLR0913 - each is named by its caller
    product: Product,
    values: Values,
    *,
    item: str,
    cloth: str,
    quantity: int,
    allowance_mm: float,
    panel_cloths: Mapping[str, str] | None = None,
    railroad: bool = False,
    liner: str | None = None,
    hidden: Collection[str] = (),
    one_shade: bool = True,
) -> Made:
    """The cut panels of an item whose measurements have no faults.

    ``panel_cloths`` names another cloth for a panel, or for one of its parts.
    ``railroad`` draws all panels turned by 90 degrees. ``liner`` is the cloth of
    an inner bag, if there is to be one. ``hidden`` names panels and parts of
    panels that are not seen, as ``panel_cloths`` does; with ``one_shade`` the
    panels of one copy come from one shade of their cloth. A panel without any
    allowance is cut at its given size and has no stitch line and no notches.
    """
    draft, was = divide_unlike_parts(article_draft(product, values, lined=liner is not None))
    draft = draft.railroaded() if railroad else draft
    ordered = partial(
        Panel,
        item=item,
        quantity=quantity,
        allowance=to_grid(allowance_mm),
        railroaded=railroad,
        one_shade=one_shade,
    )
    marked = notches.marked_places(draft)
    cloths = dict(panel_cloths or {})
    unseen = {*hidden, *(part for part, name in was.items() if name in hidden)}
    cloths |= {part: cloths.get(part, cloths[name]) for part, name in was.items() if name in cloths}
    panels = tuple(
        cut
        for finished in draft.panels
        for cut in _divided(
            _cut(
                finished,
                draft,
                marked,
                allowance_mm,
                partial(ordered, cloth=cloth if liner is None or not finished.lining else liner),
            ),
            finished.parts,
            cloths,
            unseen,
        )
    )
    seams = measure_seams(draft, allowance_mm, {each.drafted_as for each in panels if each.parts})
    notions = _notions(draft)
    return Made(
        panels,
        seams,
        (*draft.facts, *(each.fact for each in draft.joinings if not each.usual)),
        steps=draft.steps or tuple(Step(f"sew {s.name}", (s.name,), s.stitch) for s in draft.seams),
        notions=notions,
        area_mm2=draft.area_mm2,
        volume_litres=draft.volume_litres,
        cautions=_cautions(product, notions),
    )


def _cautions(product: Product, notions: Iterable[Notion]) -> tuple[str, ...]:
    """The product's cautions that concern an article with these notions."""
    beads = any(notion.litres for notion in notions)
    small = beads or any(notion.kind in _SMALL for notion in notions)
    return cautions_for(product.cautions, beads=beads, small_parts=small)


def _notions(draft: Draft) -> tuple[Notion, ...]:
    """The draft's notions, and thread for every sewn seam, including those of an inner bag."""
    seams = [(seam.stitch, sewn_length(draft, seam)) for seam in draft.seams]
    bagged = INNER_BAG in draft.notions
    if bagged:  # beads: a bag like the cover, sewn twice
        seams += [(Stitch.LOCKSTITCH, 2 * s.times * draft.run_mm(s.second)) for s in draft.seams]
    sewing = thread(seams, bagged=bagged)
    ours = (sewing,) if sewing.lengths_mm[0] and sewing.kind is NotionKind.THREAD else ()
    return (*ours, *draft.notions)


def _divided(
    panel: Panel, parts: tuple[str, ...], cloths: Mapping[str, str], hidden: Collection[str]
) -> Iterator[Panel]:
    """A panel divided by what the order says of it and of its parts: their cloths, and if seen."""
    cloth, unseen = cloths.get(panel.name, panel.cloth), panel.name in hidden
    named = [part for part in parts if part in cloths or (part in hidden and not unseen)]
    others = tuple(part for part in parts if part not in named) if named else ()
    rest = panel.per_item - len(named)
    if rest:
        yield replace(panel, per_item=rest, cloth=cloth, parts=others, hidden=unseen)
    for part in named:
        yield replace(
            panel,
            name=part,
            per_item=1,
            cloth=cloths.get(part, cloth),
            parts=(part,),
            hidden=unseen or part in hidden,
        )


def _cut(
    finished: FinishedPanel,
    draft: Draft,
    marked: notches.Marked,
    allowance_mm: float,
    ordered: Callable[..., Panel],
) -> Panel:
    """One panel with its allowances; the lower left corner of its cut line is the origin."""
    given = finished.given
    allowances = {
        name: to_grid(
            given.allowance_mm
            if given
            else draft.allowances_mm.get(finished.sort(name), allowance_mm)
        )
        for name in finished.edges
    }
    ring = rounded_outward(finished.ring)
    stitch, cut = Outline(ring), _cut_line(finished, ring, allowances)
    uniform: set[int] = set() if given else set(allowances.values())
    grain, label = grain_and_label(cut, stitch, uniform)
    panel = ordered(
        name=finished.name,
        drafted_as=finished.name,
        per_item=finished.per_item,
        cut=cut,
        stitch=stitch if max(allowances.values()) else None,
        notches=tuple(_notches(finished, marked, cut, allowances)),
        grain=grain,
        label=label,
        grain_rule=finished.grain_rule,
        edges=tuple(_edges(finished, ring, allowances)),
        drills=tuple(DrillMark(_on_grid((d.at,))[0], d.name) for d in finished.drills),
        lines=tuple(map(_on_grid, finished.lines)),
        inner_cuts=tuple(map(_on_grid, finished.inner_cuts)),
    )
    dx, dy = -cut.bounds[0], -cut.bounds[1]
    return panel.mapped(lambda points: shifted(points, dx, dy))


def _cut_line(
    finished: FinishedPanel, ring: tuple[tuple[int, int], ...], allowances: Mapping[str, int]
) -> Outline:
    if finished.given:
        return Outline(rounded_outward(finished.given.ring))
    widths = set(allowances.values())
    if len(widths) == 1:
        return grown(Outline(ring), widths.pop())
    chords = {name: len(edge.points) - 1 for name, edge in finished.edges.items()}
    return grown_by_edge(ring, [allowances[name] for name in chords for _ in range(chords[name])])


def _edges(
    finished: FinishedPanel,
    ring: tuple[tuple[int, int], ...],
    allowances: Mapping[str, int],
) -> Iterator[PanelEdge]:
    """Each edge of the stitch line on the grid."""
    closed, start = (*ring, ring[0]), 0
    for name, edge in finished.edges.items():
        end = start + len(edge.points) - 1
        sort = finished.sort(name).value
        yield PanelEdge(name, sort, allowances[name], closed[start : end + 1])
        start = end


def _notches(
    finished: FinishedPanel, marked: notches.Marked, cut: Outline, allowances: Mapping[str, int]
) -> Iterator[Notch]:
    """Notches of every edge with an allowance, the panel's own notches, and corner clips."""
    around, curves = [], list(finished.edges.values())
    for before, (name, edge) in zip(
        (curves[-1], *curves[:-1]), finished.edges.items(), strict=True
    ):
        around += [(_grid_point(point), allowances[name]) for point in edge.points[:-1]]
        for at, double in sorted(marked.get((finished.name, name), ())) if allowances[name] else ():
            for point, out in notches.notch_points(before, edge, at, double=double):
                yield notches.notch_facing(cut, _grid_point(point), out, allowances[name])
    for foot, tip in finished.notched:
        yield from _own_notch(finished, foot, tip, cut, max(allowances.values()))
    if finished.given is None:
        yield from notches.corner_clips(cut, around)


def _own_notch(
    finished: FinishedPanel, foot: Point, tip: Point, cut: Outline, allowance: int
) -> Iterator[Notch]:
    """One of the panel's own notches: unchanged on a given cut line, else across the allowance."""
    if finished.given:
        on_cut, inside = _on_grid((foot, tip))
        yield Notch(on_cut, inside)
    elif allowance:
        away = math.dist(foot, tip)
        out = (foot[0] - tip[0]) / away, (foot[1] - tip[1]) / away
        yield notches.notch_facing(cut, _grid_point(foot), out, allowance)


def _grid_point(point: Point) -> Point:
    return point[0] * GRID_PER_MM, point[1] * GRID_PER_MM


def _on_grid(points: tuple[Point, ...]) -> tuple[tuple[int, int], ...]:
    return tuple((to_grid(x), to_grid(y)) for x, y in points)
