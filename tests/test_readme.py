"""What the README shows is what happens.

Its shell sessions and its Python sessions are run in one folder, one after the
other. Words, sizes of panels, bounds and every whole number must agree to the
last digit. The figures of a search may differ by the share that the README
itself states, since arithmetic on another processor can lead a search another
way; they must still agree with one another. The set-up commands make whole
environments: `.ci/run` takes them from the README and runs them.
"""

import doctest
import math
import os
import re
import shutil
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest
import shapely
from oracles import svg_shapes

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")

MEASURED = re.compile(r"\d+\.\d+")

#: What the README says of the figures of a search.
(SHARE,) = (float(share) / 100 for share in re.findall(r"may differ by up to (\d+) %", README))

#: A row about a lay that a search found: its length, its efficiency, the bound and by how much it
#: is longer than that end the row.
SEARCHED = re.compile(
    r"^.*?(?P<lay>[\d.]+) cm +(?P<efficiency>[\d.]+) % .*?(?P<bound>[\d.]+) cm"
    r".*?(?P<longer>[\d.]+) % longer.*$",
    re.MULTILINE,
)

#: A tuple that begins with whole numbers or none and then has the length of a lay.
LENGTHS = re.compile(r"^\((?:\d+, )?(?P<lay>\d+\.\d+)(?:, [\d.]+|, '[\d.]+')*\)$", re.MULTILINE)


def blocks(language):
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)


def agree(expected, found):
    """Whether two texts say the same but for what a search may find differently."""
    if words(expected) != words(found):
        return False
    shares = shares_by_place(expected)
    pairs = zip(MEASURED.finditer(expected), MEASURED.finditer(found), strict=True)
    return longer_as_told(found) and all(
        a[0] == b[0] or abs(float(b[0]) / float(a[0]) - 1) <= shares.get(a.start(), 0)
        for a, b in pairs
    )


def shares_by_place(text):
    """By how much a figure may differ that begins at a place, if it comes from a search.

    Bounds are proved, and so is a lay as long as its bound. How much longer than its bound a lay
    is follows from both, which `longer_as_told` checks.
    """
    shares = {}
    for row in SEARCHED.finditer(text):
        shares |= dict.fromkeys(places(row), SHARE)
        shares |= {row.start("bound"): 0, row.start("longer"): math.inf}
    for row in LENGTHS.finditer(text):
        if row[0].count(row["lay"]) == 1:
            shares |= dict.fromkeys(places(row), SHARE)
    return shares


def places(row):
    return [row.start() + figure.start() for figure in MEASURED.finditer(row[0])]


def longer_as_told(text):
    """Whether the lay of each row is longer than its bound by the share that the row says."""
    return all(
        abs(float(row["lay"]) / float(row["bound"]) - 1 - float(row["longer"]) / 100) < 0.001
        for row in SEARCHED.finditer(text)
    )


def words(text):
    return MEASURED.sub("#", text).split()


class AgreeingFigures(doctest.OutputChecker):
    """Compares what is printed as `agree` does."""

    def check_output(self, want, got, optionflags):
        return agree(want, got)


@pytest.fixture(scope="module")
def workplace(tmp_path_factory):
    """A folder in which the shell sessions have been run: what they said, by command."""
    folder = tmp_path_factory.mktemp("readme")
    shutil.copytree(ROOT / "samples", folder / "samples")
    scripts = sysconfig.get_path("scripts")
    environment = {
        **os.environ,
        "PATH": os.pathsep.join((scripts, os.environ["PATH"])),
        "COLUMNS": "80",
        "PYTHONUTF8": "1",
    }
    said = {}
    for command, _ in sessions():
        done = subprocess.run(
            command, shell=True, cwd=folder, env=environment, capture_output=True,
            encoding="utf-8", check=False, timeout=120,
        )  # fmt: skip
        said[command] = (done.returncode, done.stdout, done.stderr)
    return folder, said


def sessions():
    """Commands of the shell sessions, each with the lines that follow it."""
    text = "".join(blocks("console"))
    return [
        tuple(part.split("\n", 1)) for part in re.split(r"^\$ ", text, flags=re.MULTILINE) if part
    ]


@pytest.mark.parametrize(("command", "shown"), sessions(), ids=[each[0] for each in sessions()])
def test_commands_say_what_the_readme_shows(workplace, command, shown):
    _, said = workplace
    status, out, err = said[command]
    assert status == 0, err
    assert agree(shown, out), out


def test_the_python_sessions_say_what_the_readme_shows(workplace, monkeypatch, capsys):
    folder, _ = workplace
    monkeypatch.chdir(folder)
    session = "".join(blocks("python"))
    test = doctest.DocTestParser().get_doctest(session, {}, "README", "README.md", 0)
    assert len(test.examples) > 20
    results = doctest.DocTestRunner(checker=AgreeingFigures()).run(test)
    assert results.failed == 0, capsys.readouterr().out


@pytest.mark.parametrize("session", blocks("python"))
def test_a_python_session_is_no_longer_than_ten_lines(session):
    assert 0 < len(re.findall(r"^(?:>>>|\.\.\.) ", session, re.MULTILINE)) <= 10


def test_the_sessions_show_something_with_figures():
    assert len(sessions()) > 5
    assert len(MEASURED.findall("".join(shown for _, shown in sessions()))) > 20


@pytest.mark.parametrize(
    ("found", "right"),
    [
        ("panel 2, 101.5 cm", True),
        ("panel  2,\n101.5 cm", True),
        ("panel 3, 101.5 cm", False),
        ("panel 2, 101.6 cm", False),
        ("panel 2, 101.5 in", False),
        ("panel 2, 101.5 cm 7.5", False),
    ],
)
def test_what_no_search_finds_must_agree_to_the_last_digit(found, right):
    assert agree("panel 2, 101.5 cm", found) is right


ROW = "serge  {}0.0 cm  {}.00 EUR  {} cm  {} %  {} cm; this plan is {} % longer"


@pytest.mark.parametrize(
    ("found", "right"),
    [
        ((34, 68, 330.0, 84.5, 300.0, 10.0), True),
        ((34, 68, 333.0, 83.7, 300.0, 11.0), True),  # 1 % longer
        ((34, 68, 333.0, 83.7, 300.0, 10.0), False),  # not as it tells itself
        ((34, 68, 330.0, 84.5, 299.9, 10.0), False),  # a bound is no search's
        ((34, 68, 360.0, 77.5, 300.0, 20.0), False),  # 9 % longer
        ((38, 68, 330.0, 84.5, 300.0, 10.0), False),
    ],
)
def test_what_a_search_finds_may_differ_by_the_share_that_the_readme_states(found, right):
    assert agree(ROW.format(34, 68, 330.0, 84.5, 300.0, 10.0), ROW.format(*found)) is right


@pytest.mark.parametrize(
    ("expected", "found", "right"),
    [
        ("(42, 572.094)\n", "(42, 580.0)\n", True),
        ("(42, 572.094)\n", "(43, 572.094)\n", False),
        ("(42, 572.094)\n", "(42, 672.094)\n", False),
        ("(24, 274.8, 274.8, '58.81')\n", "(24, 274.9, 274.9, '58.81')\n", False),  # proved
        ("709.22\n", "709.23\n", False),
    ],
)
def test_lengths_in_python_may_differ_unless_they_are_proved(expected, found, right):
    assert agree(expected, found) is right


def test_searches_are_found_in_what_the_readme_shows():
    """Otherwise `longer_as_told` would say nothing."""
    assert len(SEARCHED.findall(README)) == 4
    assert len(LENGTHS.findall(README)) == 3


def test_two_commands_set_up_the_main_job_and_the_tests():
    main_job, tests = (block.splitlines() for block in blocks("sh"))
    assert len(main_job) == len(tests) == 1
    assert main_job[0].endswith("clothwright lay samples/poufs/order.toml")
    assert tests[0].endswith("-m pytest --numprocesses 2")
    assert (ROOT / "constraints.lock").is_file()


def test_the_check_takes_both_commands_from_the_readme():
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    found = re.findall(r"\$\(readme_command '(.*)'\)", script)
    lines = "".join(blocks("sh")).splitlines()
    assert [[line for line in lines if text in line] for text in found] == [[lines[1]], [lines[0]]]


def test_every_link_leads_somewhere():
    links = re.findall(r"\]\(([^)]+)\)", README)
    assert len(links) > 5
    assert [link for link in links if not (ROOT / link).exists()] == []


def test_the_picture_is_as_long_as_its_caption_says():
    (picture,) = re.findall(r"!\[.*\]\((.*)\)", README)
    ((panels, length),) = re.findall(r"(\d+) panels on .*?([\d.]+) cm long", README, re.DOTALL)
    shapes = svg_shapes((ROOT / picture).read_bytes())
    cut = [shapely.Polygon(points) for pen, _, points in shapes if pen == "cut"]
    least, _, greatest, _ = shapely.total_bounds(cut)
    assert len(cut) == int(panels)
    assert (greatest - least) / 10 == pytest.approx(float(length), abs=0.05)


def test_the_readme_names_a_python_that_the_project_takes():
    (named,) = re.findall(r"Python (\d+\.\d+) or later", README)
    project = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert f'requires-python = ">={named}"' in project
    assert sys.version_info >= tuple(map(int, named.split(".")))
