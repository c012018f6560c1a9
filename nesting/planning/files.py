"""Every file that tells of a plan, each drawing proved after it was written."""

from collections.abc import Iterator

from nesting.drawings import dxf, svg
from nesting.exporters.file_names import file_names
from nesting.exporters.lay import lay_drawing
from nesting.exporters.marking_out import marking_out
from nesting.layouts.storage import as_record, to_json
from nesting.panels.product import products
from nesting.planning.plan import Plan, Search, must_be_proved
from nesting.reports.page import report_page
from nesting.verification.drawn import check_drawing


def lay_files(plan: Plan) -> dict[str, bytes]:
    """Contents of all files of a lay, by name; nothing is written to a disk.

    Each DXF is read back from its bytes and checked against the order.

    Raises
    ------
    UnprovenLayError
        When a drawing does not show the lay: a fault of ours.
    """
    lay = plan.lay
    files = {
        "layout.json": to_json(as_record(lay)).encode(),
        "report.html": _report(plan),
        "marking-out.csv": marking_out(lay, plan.order.units),
    }
    names = file_names(one.cloth.name for one in lay.cloths)
    for name, one in zip(names, lay.cloths, strict=True):
        drawing = lay_drawing(one)
        files[f"{name}.dxf"] = dxf.write(drawing)
        files[f"{name}.svg"] = svg.write(drawing)
        read_back = dxf.read(files[f"{name}.dxf"])
        must_be_proved(check_drawing(read_back, one.cloth, one.panels))
    return files


def _report(plan: Plan) -> bytes:
    return report_page(
        plan.lay,
        plan.order.units,
        made=plan.made,
        cautions=_cautions(plan),
        warnings=_warnings(plan),
        search={search.cloth: _told(search) for search in plan.searches},
    )


def _cautions(plan: Plan) -> Iterator[str]:
    for item in plan.order.items:
        yield from products()[item.product].cautions


def _warnings(plan: Plan) -> Iterator[str]:
    if plan.interrupted:
        yield "The search was ended early; a longer one may find a shorter lay."


def _told(search: Search) -> str:
    counted = "1 step" if search.steps == 1 else f"{search.steps} steps"
    return f"Searched for {search.seconds:.1f} s in {counted}."
