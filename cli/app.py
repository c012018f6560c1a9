"""The command ``clothwright``: its subcommands, and how each of them ends."""

import io
import multiprocessing
import os
import sys
import threading
import time
import traceback
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Annotated, Final

import typer

from cli.commands.lay import lay_order
from cli.commands.new import write_starter
from cli.commands.panels import write_panels
from cli.commands.products import show_products
from cli.commands.recut import recut_lay
from cli.commands.stock import stock
from cli.commands.verify import verify_file
from cli.commands.widths import compare_widths
from cli.screen import ExitStatus, complain, remark, status_of
from nesting.errors import ClothwrightError

NAME: Final = "clothwright"

#: Seconds that searches have to end after they were asked to.
_GRACE: Final = 0.5

app = typer.Typer(
    name=NAME,
    help="From finished sizes to checked lay plans on fabric rolls.",
    epilog="Exit status: 0 done, 1 faults found or no lay plan possible, 2 the order or the "
    "command is wrong, 3 a file cannot be read or written, 130 ended by Ctrl-C, best lay plan "
    "kept.",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
app.command("new")(write_starter)
app.command("products")(show_products)
app.command("panels")(write_panels)
app.command("lay")(lay_order)
app.command("widths")(compare_widths)
app.command("recut")(recut_lay)
app.command("verify")(verify_file)
app.add_typer(stock, name="stock")


def _show_version(wanted: bool) -> None:
    if wanted:
        from nesting import __version__

        print(f"{NAME} {__version__}")
        raise typer.Exit


@app.callback()
def _common(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_show_version, is_eager=True, help="Show the version."),
    ] = False,
) -> None:
    """From finished sizes to checked lay plans on fabric rolls."""


def main() -> None:
    """Run the command line and end the process with its exit status."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal may lack some characters
    status = run(sys.argv[1:])
    with suppress(BrokenPipeError):
        sys.stdout.flush()
    if status == ExitStatus.INTERRUPTED:
        _end_searches(status)
    sys.exit(status)


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit status."""
    try:
        return int(app(list(arguments) or ["--help"], prog_name=NAME, standalone_mode=False) or 0)
    except ClothwrightError as error:
        complain(error)
        return status_of(error)
    except typer.TyperException as error:
        remark(f"{NAME}: {error.format_message()}")
        remark(f"    {_command_of(error)} --help shows what is possible")
        return ExitStatus.WRONG_ORDER
    except OSError as error:
        remark(f"{NAME}: a file or the output cannot be used: {error}")
        return ExitStatus.NO_ACCESS
    except Exception as error:  # a user gets one line whatever the error is
        remark(_bug_report(error))
        return ExitStatus.OUR_FAULT


def _command_of(error: typer.TyperException) -> str:
    """The subcommand of a wrong command line."""
    context = getattr(error, "ctx", None)
    return context.command_path if context else NAME


def _bug_report(error: Exception) -> str:
    """One line about an unexpected error, with what is needed to fix it."""
    frames = traceback.extract_tb(error.__traceback__)
    where = f" ({Path(frames[-1].filename).name}, line {frames[-1].lineno})" if frames else ""
    what = " ".join(f"{type(error).__name__}: {error}".split())
    return (
        f"{NAME}: a fault in the program, not in your order: {what}{where}; nothing was written. "
        "Please send this line, the command and the order file to whoever gave you the program"
    )


def _end_searches(status: int) -> None:
    """End searches that a second Ctrl-C left running, in processes or in threads of this one.

    They have already been asked to end. Processes that end in time leave
    nothing behind in the system; the others are killed.
    """
    patience = time.monotonic() + _GRACE
    for process in multiprocessing.active_children():
        process.join(max(0.0, patience - time.monotonic()))
        process.kill()
    threads = [each for each in threading.enumerate() if each is not threading.current_thread()]
    for thread in threads:
        thread.join(max(0.1, patience - time.monotonic()))
    if any(thread.is_alive() for thread in threads):
        sys.stderr.flush()
        os._exit(status)  # the interpreter would wait for them
