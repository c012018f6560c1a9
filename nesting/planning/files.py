"""Every file made from a plan; each drawing is checked after it is written.

`LAY_WRITERS` is the register: for each format the function that makes the
files of a plan in it.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Final

from nesting.cloth.naming import file_name
from nesting.drawings.drawing import Drawing
from nesting.drawings.hpgl.writer import Plotter
from nesting.drawings.print.typeface import spelling_notes
from nesting.drawings.tool import Tool
from nesting.exporters.cut_path import Corner, CutPath, cut_path
from nesting.exporters.formats import LAY_DEFAULTS, Export, Format, joined
from nesting.exporters.lay import lay_drawing
from nesting.exporters.marking.pages import marking_pages
from nesting.exporters.marking.table import Separator, marking_out
from nesting.exporters.marking.wall_plan import printed_names, wall_plan
from nesting.layouts.lay import ClothLay, OrderLay
from nesting.layouts.mirroring import Face
from nesting.layouts.storage import as_record, to_json
from nesting.planning.drawing_files import DrawnLay, dxf_files, dxf_r12_files, plt_files, svg_files
from nesting.planning.items import order_cautions
from nesting.planning.panel_files import make_up_files
from nesting.planning.plan import Plan
from nesting.planning.run import Search
from nesting.reports.machine_cautions import cautions_in_file, machine_note
from nesting.reports.page import report_page
from nesting.reports.workbook import workbook
from nesting.writing.file_names import file_names

#: The name of the files for marking out by hand.
_MARKING_OUT: Final = "marking-out"


@dataclass(frozen=True)
class Settings:
    """How files are to be written, apart from their format.

    ``face`` is how the cloth lies while it is marked by hand; with ``arcs``,
    DXF holds arcs for the chords of smooth curves; ``corner`` is where the
    head of a cutter starts; ``separator`` stands between the cells of a table;
    ``tool`` is what stands in the head of the machine that the drawings are for.
    """

    face: Face = Face.UP
    arcs: bool = False
    plotter: Plotter = field(default_factory=Plotter)
    corner: Corner = Corner.CUT_END_LOWER
    separator: Separator = Separator.COMMA
    tool: Tool = Tool.PEN


@dataclass(frozen=True)
class Task:
    """A plan whose files are to be written, and how."""

    plan: Plan
    settings: Settings

    @cached_property
    def to_cut(self) -> OrderLay:
        """The lays of what is still to be marked and cut."""
        lays = (lay.to_cut for lay in self.plan.lay.cloths)
        return replace(self.plan.lay, cloths=tuple(lay for lay in lays if lay.placed))

    @cached_property
    def cut_paths(self) -> tuple[CutPath, ...]:
        """Each lay, drawn in the order of cutting, once for all formats."""
        corner, tool = self.settings.corner, self.settings.tool
        return tuple(cut_path(lay_drawing(lay, tool), corner) for lay in self.to_cut.cloths)

    @property
    def sheets(self) -> tuple[DrawnLay, ...]:
        """The drawing of each lay for a plotter or cutter."""
        named = zip(named_lays(self.to_cut), self.cut_paths, strict=True)
        return tuple(
            DrawnLay(name, lay, _with_cautions(path.drawing, lay), self.settings.tool)
            for (name, lay), path in named
        )


def _with_cautions(drawing: Drawing, lay: ClothLay) -> Drawing:
    return replace(drawing, comments=cautions_in_file([lay.cloth]))


def lay_files(plan: Plan, formats: Iterable[Format] = LAY_DEFAULTS) -> dict[str, bytes]:
    """Contents of the files of a lay, by name; nothing is written to disk.

    ``layout.json`` is always among them. The default ``formats`` are DXF, SVG,
    the report, the table for marking out and the make-up pages.

    Raises
    ------
    UnprovenLayError
        When a drawing does not show the lay: a fault in the program.
    """
    return dict(lay_export(plan, formats).files)


def lay_export(
    plan: Plan, formats: Iterable[Format] = LAY_DEFAULTS, settings: Settings = Settings()
) -> Export:
    """The files of a lay in some formats, always with its record.

    Each drawing is read back from its bytes and checked against the order.

    Raises
    ------
    UnprovenLayError
        When a drawing does not show the lay: a fault in the program.
    """
    record = Export({"layout.json": to_json(as_record(plan.lay)).encode()})
    task = Task(plan, settings)
    exports = (LAY_WRITERS[each](task) for each in formats)
    return joined((record, *exports))


def named_lays(lay: OrderLay) -> Iterator[tuple[str, ClothLay]]:
    """Each lay with the name of its files: that of its cloth, or ``CLOTH-PIECE``."""
    # A cloth called "marking-out" gets another file name: that one is taken.
    _, *names = file_names((_MARKING_OUT, *map(_stem, lay.cloths)))
    return zip(names, lay.cloths, strict=True)


def _stem(lay: ClothLay) -> str:
    name, has_pieces = lay.cloth.name, bool(lay.cloth.as_sold.stock)
    return f"{file_name(name)}-{file_name(lay.on.name)}" if has_pieces else name


def _for_a_machine(task: Task, export: Export) -> Export:
    """The files, how far the head of a cutter travels to cut them, and a caution."""
    travel = tuple(path.titled_sentence(task.plan.order.units) for path in task.cut_paths)
    return Export(export.files, (*export.notes, *travel, machine_note(task.plan.order.cloths)))


def _dxf(task: Task) -> Export:
    return _for_a_machine(task, dxf_files(task.sheets, arcs=task.settings.arcs))


def _dxf_r12(task: Task) -> Export:
    return _for_a_machine(task, dxf_r12_files(task.sheets, arcs=task.settings.arcs))


def _svg(task: Task) -> Export:
    return _for_a_machine(task, svg_files(task.sheets))


def _plt(task: Task) -> Export:
    return _for_a_machine(task, plt_files(task.sheets, task.settings.plotter))


def _marking_out(task: Task) -> Export:
    plan, settings = task.plan, task.settings
    data = marking_out(task.to_cut, plan.order.units, settings.face, settings.separator)
    return Export({f"{_MARKING_OUT}.csv": data}, _face_note(settings))


def _pdf(task: Task) -> Export:
    """The wall plan of each lay, and the pages for marking out."""
    plan, settings = task.plan, task.settings
    order, units, face = plan.order.name, plan.order.units, settings.face
    files = {
        f"{name}.pdf": wall_plan(one, order, units, face) for name, one in named_lays(task.to_cut)
    }
    files[f"{_MARKING_OUT}.pdf"] = marking_pages(task.to_cut, units, face)
    names = [order, *(name for one in task.to_cut.cloths for name in printed_names(one))]
    return Export(files, (*_face_note(settings), *spelling_notes(names)))


def _face_note(settings: Settings) -> tuple[str, ...]:
    if settings.face is Face.UP:
        return ()
    return (
        "The marking-out (CSV, PDF) and the wall plans are mirrored, for cloth that lies face "
        "down; the drawings for plotters and cutters and the report show it face up.",
    )


def _workbook(task: Task) -> Export:
    return Export({"workbook.xlsx": workbook(task.plan.lay, task.plan.order)})


def _report(task: Task) -> Export:
    plan = task.plan
    page = report_page(
        plan.lay,
        plan.order.units,
        made=plan.made,
        cautions=order_cautions(plan.made),
        warnings=_warnings(plan),
        search={search.cloth: _effort(search) for search in plan.searches},
        travel={p.drawing.title: p.sentence(plan.order.units) for p in task.cut_paths},
    )
    return Export({"report.html": page})


def _make_up(task: Task) -> Export:
    return make_up_files(task.plan.order, task.plan.made)


def _warnings(plan: Plan) -> Iterator[str]:
    if plan.interrupted:
        yield "The search was stopped early; a longer one may find a shorter lay plan."
    if again := plan.lay.again:
        yield (
            "Planned again after cutting had begun. In the pictures, panels that are cut already "
            "are grey, and those that are new where they lie are yellow with a bold line. "
            "Drawings, wall plans and the marking-out show only what is still to be cut."
        )
        yield f"Cut again: {'; '.join(again.spoiled)}."
        yield f"Moved: {'; '.join(again.moved)}." if again.moved else "Nothing else was moved."


def _effort(search: Search) -> str:
    steps = "1 step" if search.steps == 1 else f"{search.steps} steps"
    return f"Searched for {search.seconds:.1f} s in {steps}."


#: One line for each format of `nesting.exporters.formats.LAY_FORMATS`.
LAY_WRITERS: Final[Mapping[Format, Callable[[Task], Export]]] = {
    Format.DXF: _dxf,
    Format.DXF_R12: _dxf_r12,
    Format.SVG: _svg,
    Format.PLT: _plt,
    Format.PDF: _pdf,
    Format.XLSX: _workbook,
    Format.HTML: _report,
    Format.CSV: _marking_out,
    Format.MAKE_UP: _make_up,
}
