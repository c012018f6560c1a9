"""The set-up commands for PowerShell are those for Linux and a Mac, which `.ci/run` runs."""

import re
from pathlib import Path

import pytest

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")


def commands(language):
    """The set-up commands of each block, as lists of their single steps."""
    found = re.findall(rf"^```{language}\n(.*?)\n```$", README, re.DOTALL | re.MULTILINE)
    return [re.split(r" && |\n", block) for block in found]


def for_a_shell(line):
    """A line for PowerShell as it is typed elsewhere."""
    return line.replace("py -3 ", "python3 ").replace("\\Scripts\\", "/bin/")


@pytest.mark.parametrize("which", [0, 1], ids=["main job", "tests"])
def test_the_commands_for_powershell_do_what_those_of_a_shell_do(which):
    shell, powershell = commands("sh"), commands("powershell")
    assert [for_a_shell(line) for line in powershell[which]] == shell[which]


def test_powershell_gets_nothing_that_its_older_versions_do_not_know():
    """Windows PowerShell 5.1, which comes with Windows, has no ``&&`` (from memory)."""
    lines = [line for block in commands("powershell") for line in block]
    assert len(lines) == 6
    assert not [line for line in lines if re.search(r"&&|\|\|", line)]
