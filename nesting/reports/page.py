"""The report: one HTML page that needs no other file, for a screen or for paper."""

import hashlib
from base64 import b64encode
from collections.abc import Iterable, Mapping
from importlib.resources import files

import jinja2

from nesting.layouts.lay import OrderLay
from nesting.panels.cautions import FOREMOST
from nesting.panels.making import Made
from nesting.reports.cloth_part import cloth_part
from nesting.reports.machine_cautions import machine_cautions
from nesting.reports.seam_table import seam_rows

_TEMPLATES = jinja2.Environment(
    loader=jinja2.PackageLoader("nesting.reports"),
    autoescape=True,
    undefined=jinja2.StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def page_template(name: str) -> jinja2.Template:
    """The template of a page of this package."""
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

    The page loads nothing: its policy forbids that, and allows no script but
    its own. Without the script, only zooming and pointing at panels are missing.

    Parameters
    ----------
    lay, units
        The lays, and the unit of lengths: mm, cm or in.
    made
        The made items, whose seams and facts the page lists.
    cautions
        Cautions of the products; equal ones are shown once.
    warnings
        What the maker must know about this run; shown first.
    search
        By name of cloth, a sentence about the search for its lay.
    travel
        By title of a lay, a sentence about the travel of a cutter's head.
    """
    script = _script()
    page = page_template("page.html").render(
        order=lay.order,
        parts=[
            cloth_part(
                i,
                one,
                units,
                search=(search or {}).get(one.cloth.name, ""),
                travel=(travel or {}).get(one.title, ""),
                lays=[each for each in lay.cloths if each.cloth.name == one.cloth.name],
            )
            for i, one in enumerate(lay.cloths, start=1)
        ],
        irregular=any(not one.on.is_plain for one in lay.cloths),
        from_stock=any(one.on.length is not None for one in lay.cloths),
        warnings=list(warnings),
        at_the_machine=machine_cautions(lays[0].cloth for lays in lay.by_cloth),
        script=script,
        script_hash=b64encode(hashlib.sha256(script.encode()).digest()).decode(),
        **about_items(made, units, cautions),
    )
    return page.encode()


def about_items(made: Iterable[Made], units: str, cautions: Iterable[str]) -> dict[str, object]:
    """What the sections about the items of an order show: seams, facts and cautions.

    The ``foremost`` cautions stand under the title.
    """
    items, given = tuple(made), tuple(dict.fromkeys(cautions))
    return {
        "seams": [row for one in items for row in seam_rows(one, units)],
        "facts": [
            (one.panels[0].item, [fact.in_unit(units) for fact in one.facts])
            for one in items
            if one.facts
        ],
        "foremost": [each for each in given if each in FOREMOST],
        "cautions": [each for each in given if each not in FOREMOST],
    }


def _script() -> str:
    return files("nesting.reports").joinpath("templates/viewer.js").read_text(encoding="utf-8")
