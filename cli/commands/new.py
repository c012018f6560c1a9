"""``new``: writes an order to start from."""

from pathlib import Path
from typing import Annotated

import typer

from cli.new_file import write_new
from cli.screen import ExitStatus, json_text, say
from nesting.errors import Fault, OrderError


def write_starter(
    file: Annotated[
        Path | None, typer.Argument(metavar="FILE", help="File to write; it must not exist.")
    ] = None,
    schema: Annotated[
        bool,
        typer.Option(
            "--schema", help="Write the JSON Schema of orders instead, to FILE or standard output."
        ),
    ] = False,
) -> ExitStatus:
    """Write an order with comments to start from; it can be laid as it is."""
    if file is None and not schema:
        advice = "give its name, for example: clothwright new order.toml"
        raise OrderError([Fault("FILE", "must be given", "", advice)])
    if schema:
        from nesting.orders.schema import json_schema

        text = json_text(json_schema())
    else:
        from nesting.orders.starter import STARTER

        text = STARTER
    if file is None:
        say(text)
        return ExitStatus.DONE
    write_new(file, (text.rstrip("\n") + "\n").encode())
    say(f"wrote {file}" if schema else f"wrote {file}; lay it with: clothwright lay {file}")
    return ExitStatus.DONE
