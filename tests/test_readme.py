"""What the README shows is what happens.

Its shell sessions and its Python sessions are run in one folder, one after the
other. Words must agree exactly, and so must whole numbers; a number with
decimals may come from a search, which arithmetic on another processor can lead
another way, and has to agree by and large. The set-up commands make whole
environments: `.ci/run` takes them from the README and runs them.
"""

import doctest
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


def blocks(language):
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)


def agree(expected, found):
    """Whether two texts say the same but for what a search may find differently."""
    pairs = zip(MEASURED.findall(expected), MEASURED.findall(found), strict=True)
    return words(expected) == words(found) and all(
        abs(float(a) - float(b)) <= 3 + 0.05 * float(a) for a, b in pairs
    )


def words(text):
    return MEASURED.sub("#", text).split()


class ByAndLarge(doctest.OutputChecker):
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
    results = doctest.DocTestRunner(checker=ByAndLarge()).run(test)
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
        ("buy 2 rolls, 101.5 cm", True),
        ("buy  2 rolls,\n103.9 cm", True),
        ("buy 3 rolls, 101.5 cm", False),
        ("buy 2 rolls, 151.5 cm", False),
        ("buy 2 rolls, 101.5 in", False),
        ("buy 2 rolls, 101.5 cm 7.5", False),
    ],
)
def test_by_and_large_means_equal_words_and_near_figures(found, right):
    assert agree("buy 2 rolls, 101.5 cm", found) is right


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
