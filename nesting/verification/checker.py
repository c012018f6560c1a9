"""Checks a layout record again from its outlines and rules alone."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from nesting.errors import AccessError, Fault, OrderError
from nesting.verification.claims import Claim, Part
from nesting.verification.congruence import check_shapes
from nesting.verification.figures import check_figures
from nesting.verification.findings import Finding
from nesting.verification.on_piece import (
    check_bodies,
    check_pieces_used,
    check_shades,
    check_splices,
)
from nesting.verification.places import check_clearances, check_directions, check_strip
from nesting.verification.record import claims_of
from nesting.verification.roll_call import check_roll

#: Far above the size of the layout file of any order that can be planned.
LARGEST_BYTES: Final = 100_000_000


def check_record(record: object) -> tuple[Finding, ...]:
    """Every breach of a rule that the outlines of a layout record show.

    The record is trusted only for the outlines of its panels, how many of
    each are needed, and the lower bound.

    Raises
    ------
    OrderError
        When it is not a layout record of a known version; all faults together.
    """
    found: list[Finding] = []
    for claim, cloth in claims_of(record):
        found += [*check_claim(claim), *check_pieces_used(claim)]
        found += check_figures(claim, cloth)
    return tuple(found)


def check_file(path: Path) -> tuple[Finding, ...]:
    """Every breach of a rule in a layout file.

    Raises
    ------
    AccessError
        When the file cannot be read.
    OrderError
        When it is not a layout file of a known version; all faults together.
    """
    return check_record(read_json(path))


def check_claim(claim: Claim) -> list[Finding]:
    """Findings about the panels of one cloth: their number, shape, place and turn."""
    return [
        *check_roll(claim),
        *check_shapes(claim),
        *(found for part in claim.parts for found in _check_places(part)),
        *check_directions(claim),
        *check_shades(claim),
    ]


def _check_places(part: Part) -> Iterator[Finding]:
    """Findings about the places of the panels on one piece of a cloth."""
    if part.piece.outline is None:
        yield from check_strip(part)
    yield from check_bodies(part)
    yield from check_splices(part)
    yield from check_clearances(part)


def read_json(path: Path) -> object:
    """The contents of a layout file, of whatever form.

    Raises
    ------
    AccessError
        When it cannot be read.
    OrderError
        When it is too large or not JSON.
    """
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except OSError as error:
        msg = f"{path}: cannot be read: {error.strerror or error}"
        raise AccessError(msg) from error
    if len(data) > LARGEST_BYTES:
        rule = f"must not be larger than {LARGEST_BYTES // 1_000_000} MB"
        raise OrderError([Fault(str(path), rule)])
    try:
        return json.loads(data)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", None)
        fault = Fault(str(path), "must be a JSON file", str(error), line=line)
        raise OrderError([fault]) from error
