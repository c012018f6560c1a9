"""What the machinist needs besides panels: steps, stitches, and notions with their quantities.

A product declares each `Step` and `Notion` in its draft; `thread` computes
thread from the seams for every product. Lengths are millimetres, volumes
litres, masses kilograms.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class Stitch(StrEnum):
    """How a seam or a step is sewn."""

    LOCKSTITCH = "lockstitch"
    TWO_ROWS = "lockstitch, two rows"
    GATHERING = "gathering stitch"
    TOPSTITCH = "topstitch"
    ROLLED_EDGE = "rolled edge by hand"
    HAND = "by hand"
    NONE = "no stitch"


#: Length of thread per length of seam, both threads together. Lockstitch: 2.5 to 1
#: (melgeecrafts: 220 cm of seam, 550 cm of thread); stitches sewn with it count the
#: same. By hand: one thread there and back through the cloth (common practice).
_THREAD_RATIO: Final = {
    Stitch.LOCKSTITCH: 2.5,
    Stitch.TWO_ROWS: 2 * 2.5,
    Stitch.GATHERING: 2 * 2.5,  # two rows
    Stitch.TOPSTITCH: 2.5,
    Stitch.ROLLED_EDGE: 4.0,
    Stitch.HAND: 2.0,
    Stitch.NONE: 0.0,
}

#: Share of thread lost to ends and breaks (apparelscience: 15 % waste).
_THREAD_WASTE: Final = 0.15

#: Share of a bead-filled cover that is filled (ITplast 2026: 65 to 80 %).
BEAD_FILL: Final = (0.65, 0.80)

#: Kilograms of fibre in a litre for a medium filling: 12 to 16 oz to the cubic
#: foot (upholstery workrooms, secondary); 1 oz/ft³ = 28.3495 g / 28.3168 l.
FIBRE_KG_PER_LITRE: Final = (12 * 0.0010011539, 16 * 0.0010011539)

#: Millimetres by which foam is larger than the finished length and width, so that
#: the cover is taut: 1/2 in (goodoldboat 117937).
FOAM_OVER_MM: Final = 12.7

#: Millimetres of a zip beyond each end of its opening, sewn in (common practice).
ZIP_BEYOND_MM: Final = 12.0


class NotionKind(StrEnum):
    """A kind of supply that is needed for sewing."""

    THREAD = "thread"
    CORD = "welt cord"
    ZIP = "zip"
    FILL = "fill"
    FOAM = "foam"
    BUTTON = "button"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Notion:
    """A supply that one item needs.

    ``lengths_mm`` are its sizes, in the order of the ``{}`` in ``words``, as
    in `Fact`; ``litres`` and ``kilograms`` are the least and the greatest of a
    range, or None; ``pieces`` is the number needed.
    """

    kind: NotionKind
    words: str
    lengths_mm: tuple[float, ...] = ()
    litres: tuple[float, float] | None = None
    kilograms: tuple[float, float] | None = None
    pieces: int = 1


class Task(StrEnum):
    """What a step does."""

    SEW = "sew"
    TURN = "turn"
    FILL = "fill"
    CLOSE = "close"


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the sewing order; ``seams`` names the seams that it closes.

    Each ``{}`` in ``words`` stands for one of ``lengths_mm``, and ``{opening}``
    for what stays open of one of the seams, for turning and filling.
    """

    words: str
    seams: tuple[str, ...] = ()
    stitch: Stitch = Stitch.LOCKSTITCH
    lengths_mm: tuple[float, ...] = ()
    task: Task = Task.SEW

    @property
    def leaves_an_opening(self) -> bool:
        """Whether one of its seams stays open in part."""
        return "{opening}" in self.words


def thread(seams: Iterable[tuple[Stitch, float]], *, bagged: bool = False) -> Notion:
    """Thread for all seams of an item, each given as its stitch and its sewn length.

    ``bagged`` says that the seams of an inner bag are among them.
    """
    needed = sum(_THREAD_RATIO[stitch] * length for stitch, length in seams)
    included = "the inner bag and 15 % for ends" if bagged else "15 % for ends"
    words = f"thread, about {{}} in total for needle and bobbin, including {included}"
    return Notion(NotionKind.THREAD, words, (needed * (1 + _THREAD_WASTE),))


def cord(length_mm: float, diameter_mm: float, pieces: int = 1) -> Notion:
    """Welt cord; each piece goes once round its seam."""
    return Notion(
        NotionKind.CORD, "welt cord {} thick, {} long", (diameter_mm, length_mm), pieces=pieces
    )


def zip_fastener(opening_mm: float, *, locking: bool = False) -> Notion:
    """A zip for an opening, a little longer than it; a ``locking`` one keeps children out.

    The kind that locks and needs a special tool is that of ASTM F1912 for bean bags which
    can be refilled (secondary); children have opened zips without a pull tab (CPSC, 2014).
    """
    sort = "child-resistant zip, which locks and opens only with a special tool," * locking
    words = f"{sort or 'zip'} at least {{}} long, for an opening of {{}}"
    return Notion(NotionKind.ZIP, words, (opening_mm + 2 * ZIP_BEYOND_MM, opening_mm))


def beads(volume_litres: float) -> Notion:
    """Bead filling for a cover of that volume, in an inner bag."""
    least, greatest = (share * volume_litres for share in BEAD_FILL)
    words = "beads, 65 to 80 % of the cover's volume, in a closed inner bag"
    return Notion(NotionKind.FILL, words, litres=(least, greatest))


def fibre(volume_litres: float) -> Notion:
    """Loose fibre for a cover of that volume."""
    least, greatest = (each * volume_litres for each in FIBRE_KG_PER_LITRE)
    return Notion(NotionKind.FILL, "fibre filling, medium", kilograms=(least, greatest))


def foam(length_mm: float, width_mm: float, thickness_mm: float) -> Notion:
    """Foam cut larger than the cover lengthways and across, so that the cover is taut."""
    sizes = (length_mm + FOAM_OVER_MM, width_mm + FOAM_OVER_MM, thickness_mm, FOAM_OVER_MM)
    words = "foam {} × {} × {}: {} over the cover's length and width, for a taut cover"
    return Notion(NotionKind.FOAM, words, sizes)


def round_foam(diameter_mm: float, thickness_mm: float) -> Notion:
    """A disc of foam cut larger than the cover all round, so that the cover is taut."""
    sizes = (diameter_mm + FOAM_OVER_MM, thickness_mm, FOAM_OVER_MM)
    words = "round foam {} across, {} thick: {} over the cover's diameter, for a taut cover"
    return Notion(NotionKind.FOAM, words, sizes)


def buttons(pieces: int) -> Notion:
    """Buttons with their twine, one for each drill mark."""
    return Notion(NotionKind.BUTTON, "buttons to cover, with twine", pieces=pieces)
