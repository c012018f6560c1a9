"""Help and version, and how little is loaded to show them."""

import subprocess
import sys

import pytest
import typer

from cli.app import app

COMMANDS = ("new", "products", "panels", "lay", "widths", "recut", "verify", "stock")
HEAVY = ("numba", "ortools", "shapely")


def loaded_by(*arguments):
    """Names of all modules that are loaded after a command line."""
    code = (
        "import sys\n"
        "from cli.app import run\n"
        f"status = run({list(arguments)!r})\n"
        "print(*sys.modules, file=sys.stderr)\n"
        "sys.exit(status)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert "Usage: clothwright" in done.stdout
    return set(done.stderr.split())


@pytest.mark.parametrize("command", [(), *((name,) for name in COMMANDS)])
def test_help_loads_no_heavy_library(command):
    assert loaded_by(*command, "--help").isdisjoint(HEAVY)


def test_exactly_the_commands_that_work_are_registered():
    assert tuple(typer.main.get_command(app).commands) == COMMANDS


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_option_and_argument_has_help(command):
    found = typer.main.get_command(app).commands[command]
    assert found.help
    assert all(parameter.help for parameter in found.params)


def test_without_a_command_the_help_is_shown(clothwright):
    bare, asked = clothwright(), clothwright("--help")
    assert bare == asked
    assert bare.status == 0


def test_version_is_that_of_the_installed_distribution(clothwright):
    from importlib.metadata import version

    assert clothwright("--version").out == f"clothwright {version('clothwright')}\n"


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        (("cut",), "cut"),
        (("lay",), "ORDER"),
        (("lay", "order.toml", "--second", "3"), "--second"),
        (("verify",), "FILE"),
        (("lay", "a.toml", "b.toml"), "b.toml"),
        (("widths", "a.toml", "--width"), "--width"),
    ],
)
def test_a_wrong_command_line_is_named_and_ends_with_2(clothwright, folder, arguments, named):
    ended = clothwright(*arguments)
    assert ended.status == 2
    assert named in ended.err
    assert "--help" in ended.err
    assert ended.out == ""
    assert list(folder.iterdir()) == []


def test_an_unexpected_error_is_one_line_that_blames_the_program(clothwright, monkeypatch):
    def broken():
        raise ZeroDivisionError("division\nby zero")

    monkeypatch.setattr("nesting.panels.product.products", broken)
    ended = clothwright("products")
    assert ended.status == 70
    assert ended.err.count("\n") == 1
    assert "fault in the program" in ended.err
    assert "ZeroDivisionError: division by zero" in ended.err
    assert "test_help.py" in ended.err


def test_output_that_cannot_be_written_ends_with_3(clothwright, monkeypatch):
    def full(*_, **__):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("cli.commands.products.say", full)
    ended = clothwright("products")
    assert ended.status == 3
    assert "No space left on device" in ended.err
