"""Cautions for whoever runs a cutting machine, with what each cloth's coating means for heat."""

from collections.abc import Iterable, Iterator
from typing import Final

from nesting.cloth.cloth import Cloth, Coating

#: Machine: HSE (UK) on textile cutting, common practice. Heat and smoke: never unattended,
#: and foams that ignite: the Canadian Conservation Institute's and Kansas State University's
#: pages on laser cutting.
_GENERAL: Final = (
    "Keep hands, hair and clothes clear of a moving head; know where the emergency stop is; never "
    "leave a cutter or a laser unattended.",
    "Unplug before you change or clean a blade; put used blades in a sharps bin.",
    "Heat (laser, hot knife): use extraction and keep a fire extinguisher within reach. Synthetic "
    "cloth melts and can ignite; foam and beads ignite: keep them away.",
    "Try each new file first on paper, with a pen in the head.",
    "Follow the machine's manual and local rules.",
)

#: PVC: Huggett and Levin, Fire and Materials 11 (1987) 131. Polyurethane: McKenna and Hull, Fire
#: Science Reviews 5:3 (2016). That an unknown coating counts as PVC is common practice.
_HEAT: Final = {
    Coating.NONE: "no coating according to the order. If it is vinyl or coated after all, do not "
    "cut it hot.",
    Coating.PVC: "coated with PVC. Never cut it with a laser or a hot knife: it gives off hydrogen "
    "chloride.",
    Coating.POLYURETHANE: "coated with polyurethane, which gives off carbon monoxide and hydrogen "
    "cyanide when it burns. Cut it cold; hot only where the machine's maker and local rules "
    "allow it.",
    Coating.UNKNOWN: "coating unknown, so treat it as PVC. Never cut it with a laser or a hot "
    "knife: PVC gives off hydrogen chloride.",
}


def machine_cautions(cloths: Iterable[Cloth]) -> tuple[str, ...]:
    """One sentence or more about heat for each cloth, then what holds for every machine."""
    return (*_heat(cloths), *_GENERAL)


def _heat(cloths: Iterable[Cloth]) -> Iterator[str]:
    for cloth in cloths:
        yield f"{cloth.name}: {_HEAT[cloth.coating]}"


#: The short form, for the top of a file; sources as above.
_IN_FILE: Final = (
    "CAUTION. Keep hands clear of the moving head, know the emergency stop, and never leave the "
    "machine unattended.",
    "Never cut PVC (vinyl, much faux leather) or an unknown coating with a laser or a hot knife: "
    "PVC gives off hydrogen chloride.",
)
_READ_ON: Final = (
    "Read all cautions in the report or on the panel sheet, the machine's manual and local rules."
)


def cautions_in_file(cloths: Iterable[Cloth]) -> tuple[str, ...]:
    """The short form for a file that a machine follows, where a person who opens it sees it.

    DXF and SVG have a place for it; HP-GL has no comments.
    """
    return (*_IN_FILE, *_heat(cloths), _READ_ON)


def machine_note(cloths: Iterable[Cloth]) -> str:
    """The shortest warning, for the screen: what must not be cut hot, and where to read on."""
    hot = [cloth.name for cloth in cloths if cloth.coating is not Coating.NONE]
    named = f" ({', '.join(hot)})" if hot else ""
    return (
        "cutting machine: keep hands clear, know the emergency stop, and never cut PVC or an "
        f"unknown coating hot{named}; the report and the panel sheet have all cautions"
    )
