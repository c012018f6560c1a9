"""Fillings, and the last sewing steps of a filled article."""

from enum import StrEnum

from nesting.panels.drafting.sewing import Notion, NotionKind, Step, Stitch, beads, fibre
from nesting.panels.measurements import Measurement, MeasurementKind, Values, word
from nesting.panels.parts.closures import Closing


class Fill(StrEnum):
    """Fillings that take the shape of their cover, and foam, which has its own."""

    BEADS = "beads"
    FIBRE = "fibre"
    FOAM = "foam"


def fill_measurement(*fills: Fill) -> Measurement:
    """The key by which an order chooses the filling; the first is the default."""
    return Measurement(
        "fill",
        MeasurementKind.CHOICE,
        "what it is filled with",
        default=fills[0].value,
        choices=tuple(each.value for each in fills),
    )


def loose_fill(values: Values, litres: float) -> tuple[Notion, ...]:
    """Beads with their inner bag, or fibre, for a cover of that volume."""
    if Fill(word(values, "fill")) is Fill.FIBRE:
        return (fibre(litres),)
    bag = Notion(NotionKind.OTHER, "close-woven cotton for the inner bag, as much as the cover")
    return (beads(litres), bag)


def filling_steps(values: Values, shut: Closing | None) -> tuple[Step, ...]:
    """The steps from the sewn cover, face in, to the filled article."""
    fill = Fill(word(values, "fill"))
    through = "by its opening" if shut is None else f"by its {shut.kind}"
    inner = Step(
        "sew an inner bag from the cotton, its panels cut like those of the cover, every seam "
        "twice; fill it while no child is near and sew it shut twice",
        stitch=Stitch.NONE,
    )
    what = {Fill.BEADS: "the inner bag", Fill.FIBRE: "the fibre", Fill.FOAM: "the foam"}[fill]
    return (
        *([inner] if fill is Fill.BEADS else []),
        Step(f"turn the cover face out {through} and put {what} in", stitch=Stitch.NONE),
        _shutting(shut, fill),
    )


def _shutting(shut: Closing | None, fill: Fill) -> Step:
    if shut is None:
        return Step("close the opening by hand, small stitches", stitch=Stitch.HAND)
    if not shut.zip and fill is Fill.BEADS:
        words = "close the slit by hand, so firmly that no child can open it"
        return Step(words, stitch=Stitch.HAND)
    if not shut.zip:
        return Step("close the slit with its tape or hooks, or by hand", stitch=Stitch.HAND)
    if fill is Fill.BEADS:
        words = "close the zip, check that it locks, and take its pull tab off"
        return Step(words, stitch=Stitch.NONE)
    return Step("close the zip", stitch=Stitch.NONE)
