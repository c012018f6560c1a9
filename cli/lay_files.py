"""Which files of a lay to write and how, and writing them."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from cli.out import write_out
from cli.screen import remark
from nesting.exporters.formats import Format

if TYPE_CHECKING:
    from pathlib import Path

    from nesting.drawings.hpgl.writer import Plotter
    from nesting.drawings.tool import Tool
    from nesting.exporters.cut_path import Corner
    from nesting.exporters.marking.table import Separator
    from nesting.layouts.mirroring import Face
    from nesting.planning.files import Settings
    from nesting.planning.plan import Plan


@dataclass(frozen=True)
class Wanted:
    """What to write and how; heavy libraries are loaded only when it is written."""

    formats: tuple[Format, ...]
    face: "Face"
    corner: "Corner"
    arcs: bool
    plotter: "Plotter"
    separator: "Separator"
    tool: "Tool"

    def settings(self) -> "Settings":
        """How files are to be written, for the library."""
        from nesting.planning.files import Settings

        return Settings(self.face, self.arcs, self.plotter, self.corner, self.separator, self.tool)


def write_lay(
    folder: "Path", plan: "Plan", wanted: Wanted, order_file: "Path", *, quiet: bool
) -> str:
    """Write every file of a plan and return the text of the layout file."""
    from nesting.planning.files import lay_export

    export = lay_export(plan, wanted.formats, wanted.settings())
    write_out(folder, dict(export.files), order_file)
    if not quiet:
        for note in export.notes:
            remark(note)
    return export.files["layout.json"].decode().rstrip("\n")
