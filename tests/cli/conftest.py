"""Commands run in this process, in a folder of their own."""

from dataclasses import dataclass

import pytest

from cli.app import run

ORDER = """\
version = 1
name = "Hall bench"
units = "cm"

[[cloth]]
name = "Grey Wool 2"
width = 140
selvedge = 1.5
price_per_metre = 20
currency = "EUR"
buy_step = 10
gap = 0.3
end_allowance = 2

[[item]]
product = "box-cushion"
name = "seat"
quantity = 1
cloth = "Grey Wool 2"
length = 50
width = 40
thickness = 8
"""

SECOND_CLOTH = """
[[cloth]]
name = "lining"
width = 90
nap = "either-way"
price_per_metre = 4
currency = "EUR"

[[item]]
product = "panel"
name = "under"
quantity = 2
cloth = "lining"
length = 50
width = 40
"""


@dataclass(frozen=True)
class Ended:
    """The status and output of a command."""

    status: int
    out: str
    err: str


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """An empty folder to work in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def order(folder):
    """A small order that can be laid at once."""
    path = folder / "bench.toml"
    path.write_text(ORDER, encoding="utf-8")
    return path


@pytest.fixture
def two_cloths(folder):
    """The small order with one more panel from a second cloth."""
    path = folder / "two.toml"
    path.write_text(ORDER + SECOND_CLOTH, encoding="utf-8")
    return path


@pytest.fixture
def clothwright(capsys):
    """Run a command; no message of any command may ever be a traceback."""

    def ended(*arguments):
        status = run([str(each) for each in arguments])
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return Ended(status, out, err)

    return ended
