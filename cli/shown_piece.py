"""Which cloth, and which piece of it, the drawing of a lay shows."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from nesting.errors import Fault, OrderError

if TYPE_CHECKING:
    from nesting.cloth.cloth import Cloth
    from nesting.cloth.stock import ClothPiece
    from nesting.drawings.drawing import Drawing


def find_cloth(
    cloths: "Sequence[Cloth]", named: str | None, drawing: "Drawing", file: Path
) -> "Cloth":
    """The cloth that a drawing shows: as given, by title, by file name, or the only one.

    Raises
    ------
    OrderError
        When nothing is cut from the given one, or it is not clear which it is.
    """
    known = {cloth.name: cloth for cloth in cloths}
    if named is not None:
        return known[_known("--cloth", "nothing is cut from this cloth", named, known)]
    titles = [cloth for cloth in cloths if drawing.title in _titles(cloth)]
    by_file = [cloth for cloth in cloths if file.name.split(".")[0] in _file_names(cloth)]
    for found in (titles, by_file, [*cloths]):
        if len(found) == 1:
            return found[0]
    rule = "must say which cloth the drawing shows"
    raise OrderError([Fault("--cloth", rule, "", _listed(known))])


def find_piece(cloth: "Cloth", named: str | None, drawing: "Drawing", file: Path) -> "ClothPiece":
    """The piece of a cloth that a drawing shows, found in the same way.

    Raises
    ------
    OrderError
        When the cloth has no piece of the given name, or it is not clear which it is.
    """
    known = {piece.name: piece for piece in cloth.pieces}
    if named is not None:
        return known[_known("--piece", f'"{cloth.name}" has no piece of this name', named, known)]
    by_title, by_file = _titles(cloth), _file_names(cloth)
    stem = file.name.split(".")[0]
    name = by_title.get(drawing.title) or by_file.get(stem)
    if name is None and len(known) == 1:
        (name,) = known
    if name is None:
        rule = f'must say which piece of "{cloth.name}" the drawing shows'
        raise OrderError([Fault("--piece", rule, "", _listed(known))])
    return known[name]


def _titles(cloth: "Cloth") -> dict[str, str | None]:
    """Titles of drawings of a cloth, each with the piece that it names."""
    pieces = {f"{cloth.name}, {piece.name}": piece.name for piece in cloth.pieces}
    return {cloth.name: None, **pieces}


def _file_names(cloth: "Cloth") -> dict[str, str | None]:
    """Names of files of a cloth without their endings, each with the piece that it names."""
    from nesting.cloth.naming import file_name

    own = file_name(cloth.name)
    pieces = {f"{own}-{file_name(piece.name)}": piece.name for piece in cloth.pieces}
    return {own: None, **pieces}


def _known(option: str, rule: str, named: str, known: Mapping[str, object]) -> str:
    if named not in known:
        raise OrderError([Fault(option, rule, named, _listed(known))])
    return named


def _listed(known: Mapping[str, object]) -> str:
    return "one of " + ", ".join(f'"{name}"' for name in known)
