"""The report: one page of HTML that needs nothing else, on a screen or on paper."""

import hashlib
from base64 import b64encode
from collections.abc import Iterable, Mapping
from importlib.resources import files

import jinja2

from nesting.layouts.lay import OrderLay
from nesting.panels.making import Made
from nesting.reports.cloth_part import cloth_part
from nesting.reports.seam_table import SeamRow, seam_rows

_TEMPLATES = jinja2.Environment(
    loader=jinja2.PackageLoader("nesting.reports"),
    autoescape=True,
    undefined=jinja2.StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def page_template(name: str) -> jinja2.Template:
    """A page of this package, to be filled in."""
    return _TEMPLATES.get_template(name)


def report_page(
    lay: OrderLay,
    units: str,
    *,
    made: Iterable[Made] = (),
    cautions: Iterable[str] = (),
    warnings: Iterable[str] = (),
    search: Mapping[str, str] | None = None,
    travel: Mapping[str, str] | None = None,
) -> bytes:
    """The report of an order's lays as HTML, in the maker's ``units``.

    The page loads nothing: its policy forbids that, and lets no script run
    but its own. Without that script only zoom and pointing out are missing.

    Parameters
    ----------
    lay, units
        What was laid, and whether to speak in mm, cm or in.
    made
        The items' panels with their seams and facts, for the seam audit.
    cautions
        Warnings that belong to the products; equal ones are printed once.
    warnings
        What the maker must know about this run before anything else.
    search
        By name of cloth, one sentence on how its lay was searched for.
    travel
        By name of cloth, one sentence on the way of a cutter's head.
    """
    items = tuple(made)
    script = _script()
    page = page_template("page.html").render(
        order=lay.order,
        parts=[
            cloth_part(
                i,
                one,
                units,
                search=(search or {}).get(one.cloth.name, ""),
                travel=(travel or {}).get(one.cloth.name, ""),
            )
            for i, one in enumerate(lay.cloths, start=1)
        ],
        seams=_seams(items, units),
        facts=[
            (one.panels[0].item, [fact.text(units) for fact in one.facts])
            for one in items
            if one.facts
        ],
        cautions=list(dict.fromkeys(cautions)),
        warnings=list(warnings),
        script=script,
        script_hash=b64encode(hashlib.sha256(script.encode()).digest()).decode(),
    )
    return page.encode()


def _script() -> str:
    return files("nesting.reports").joinpath("templates/viewer.js").read_text(encoding="utf-8")


def _seams(items: tuple[Made, ...], units: str) -> list[SeamRow]:
    return [row for made in items for row in seam_rows(made, units)]
