"""What DEVELOPERS.md says of the tree is so."""

import re
from pathlib import Path, PurePosixPath

ROOT = Path(__file__).parent.parent
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def house():
    """Paths in the picture of the house: each line indented below its folder."""
    (picture,) = re.findall(r"^```\n(nesting/.*?)^```$", TEXT, re.DOTALL | re.MULTILINE)
    above: list[PurePosixPath] = []
    paths = []
    for line in picture.splitlines():
        depth = (len(line) - len(line.lstrip())) // 2
        names = re.split(r"\s{2,}", line.strip())[0].split()
        folder = above[depth - 1] if depth else PurePosixPath()
        paths += [folder / name for name in names]
        above[depth:] = [folder / names[0]]
    return paths


def test_every_path_in_the_house_exists():
    assert len(house()) > 50
    assert [str(path) for path in house() if not (ROOT / path).exists()] == []


def test_every_room_stands_in_the_house():
    rooms = {
        path.parent.relative_to(ROOT).as_posix()
        for package in ("nesting", "cli")
        for path in (ROOT / package).rglob("__init__.py")
    }
    assert len(rooms) > 15
    assert rooms - {str(path) for path in house()} == set()


def test_every_path_named_in_the_text_exists():
    prose = re.sub(r"^```\nnesting/.*?^```$", "", TEXT, flags=re.DOTALL | re.MULTILINE)
    named = re.findall(r"`((?:nesting|cli|tests|benchmarks|samples)/[\w./-]+)`", prose)
    assert len(named) > 10
    assert [path for path in named if not (ROOT / path).exists()] == []


def test_every_library_of_the_project_is_named_with_its_licence():
    project = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    lists = re.findall(r"^(?:dependencies|test) = \[\n(.*?)^\]", project, re.DOTALL | re.MULTILINE)
    wanted = set(re.findall(r'^  "([\w-]+)', "".join(lists), re.MULTILINE))
    rows = re.findall(r"^\| ([\w, ()-]+) \| [^|]+ \| [^|]+ \|$", TEXT, re.MULTILINE)
    named = {name for row in rows for name in re.findall(r"[\w-]+", row)}
    assert len(wanted) > 10
    assert wanted - named == set()
