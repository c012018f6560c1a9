"""Every file made from an order's cut panels, before anything is laid.

Files for machines are checked after they are written.
`PANEL_WRITERS` is the register: one line for each format.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from importlib.metadata import version
from typing import Final

from nesting.drawings.ascii_names import ascii_names, ascii_notes
from nesting.drawings.hpgl.writer import Plotter
from nesting.drawings.print.typeface import spelling_notes
from nesting.drawings.tool import Tool
from nesting.exporters.formats import PANEL_DEFAULTS, Export, Format, joined
from nesting.exporters.panel_drawing import SHEET_WIDTH, panel_drawing
from nesting.exporters.pieces import pieces_dxf
from nesting.exporters.plot_labels import with_texts_in_frames
from nesting.exporters.templates.printing import TemplatePrinting, printed_templates
from nesting.orders.order import Order
from nesting.panels.making import Made
from nesting.panels.panel import Panel
from nesting.planning.auto_from_quick_lays import choose_pieces
from nesting.planning.items import order_cautions
from nesting.planning.order_panels import make_order
from nesting.planning.proved_panels import must_show_pieces, plot_of_panels, svg_of_panels
from nesting.reports.machine_cautions import cautions_in_file, machine_cautions, machine_note
from nesting.reports.make_up import Article, make_up_pages
from nesting.reports.panel_sheet import panel_sheet
from nesting.units import to_grid


@dataclass(frozen=True)
class PanelSettings:
    """How panel files are to be written, apart from their format.

    ``created`` is the date written in a DXF file of pattern pieces; ``tool`` is
    what stands in the head of the machine that SVG and HP-GL are for.
    """

    printing: TemplatePrinting = field(default_factory=TemplatePrinting)
    plotter: Plotter = field(default_factory=Plotter)
    created: date = field(default_factory=date.today)
    tool: Tool = Tool.PEN


@dataclass(frozen=True)
class PanelTask:
    """Panels whose files are to be written, and how."""

    order: Order
    made: tuple[Made, ...]
    panels: tuple[Panel, ...]
    settings: PanelSettings


def panel_export(
    order: Order,
    formats: Iterable[Format] = PANEL_DEFAULTS,
    settings: PanelSettings | None = None,
) -> Export:
    """The files of an order's panels, drawn so that they fit their cloths.

    Raises
    ------
    SeamError
        When edges that are sewn together differ.
    PanelTooLargeError
        When panels do not fit their cloth in any allowed turn.
    OrderError
        When the paper or the plotter is too small for them.
    UnprovenLayError
        When a file for a machine does not show the panels: a fault in the program.
    """
    ready = make_order(order, *choose_pieces(order))
    task = PanelTask(ready.order, ready.made, ready.panels, settings or PanelSettings())
    return joined(tuple(PANEL_WRITERS[each](task) for each in formats))


def _pieces(task: PanelTask) -> Export:
    halves = task.settings.printing.halves
    pieces = pieces_dxf(
        task.panels,
        task.order.name,
        task.order.units,
        created=task.settings.created,
        author=f"clothwright {version('clothwright')}",
        halves=halves,
        remarks=cautions_in_file(task.order.cloths),
    )
    return _for_a_machine(task, must_show_pieces(pieces, task.panels, halves=halves))


def _for_a_machine(task: PanelTask, export: Export) -> Export:
    """The files, with a caution for whoever runs the machine."""
    return Export(export.files, (*export.notes, machine_note(task.order.cloths)))


def _templates(task: PanelTask) -> Export:
    order, settings = task.order, task.settings
    data = printed_templates(task.panels, order.name, order.units, settings.printing)
    named = (name for panel in task.panels for name in (panel.item, panel.name, panel.cloth))
    return Export({"templates.pdf": data}, spelling_notes([order.name, *named]))


def _svg(task: PanelTask) -> Export:
    tool = task.settings.tool
    drawing = panel_drawing(task.panels, task.order.name, tool=tool)
    drawing = replace(drawing, comments=cautions_in_file(task.order.cloths))
    return _for_a_machine(task, Export({"panels.svg": svg_of_panels(drawing, task.panels, tool)}))


def _plt(task: PanelTask) -> Export:
    plotter, tool = task.settings.plotter, task.settings.tool
    room = SHEET_WIDTH if plotter.width is None else to_grid(plotter.width)
    items = ascii_names(panel.item for panel in task.panels)
    names = ascii_names(panel.name for panel in task.panels)
    plain = [replace(p, item=items[p.item], name=names[p.name]) for p in task.panels]
    drawing = with_texts_in_frames(panel_drawing(plain, task.order.name, room, tool), plotter)
    notes = (*ascii_notes(items), *ascii_notes(names)) if drawing.texts else ()
    data = plot_of_panels(drawing, task.panels, tool, plotter)
    return _for_a_machine(task, Export({"panels.plt": data}, notes))


def _sheet(task: PanelTask) -> Export:
    order = task.order
    page = panel_sheet(
        order.name,
        order.units,
        task.made,
        task.panels,
        order_cautions(task.made),
        machine_cautions(order.cloths),
    )
    return Export({"panel-sheet.html": page})


def _make_up(task: PanelTask) -> Export:
    return make_up_files(task.order, task.made)


def make_up_files(order: Order, made: Iterable[Made]) -> Export:
    """``make-up.html``: the instructions for sewing each item, the same before and after laying."""
    articles = [
        Article(each, item.made_as.summary) for item, each in zip(order.items, made, strict=True)
    ]
    return Export({"make-up.html": make_up_pages(order.name, order.units, articles)})


#: One line for each format of `nesting.exporters.formats.PANEL_FORMATS`.
PANEL_WRITERS: Final[Mapping[Format, Callable[[PanelTask], Export]]] = {
    Format.DXF: _pieces,
    Format.SVG: _svg,
    Format.PLT: _plt,
    Format.PDF: _templates,
    Format.HTML: _sheet,
    Format.MAKE_UP: _make_up,
}
