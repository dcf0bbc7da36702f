"""Writes docs/command-line.md from the commands themselves."""

from __future__ import annotations

import os

from typer.testing import CliRunner

HEAD = """# The command line

Written by `make docs` from the program's own help.

`HOUSE` is a house folder (any folder with a `house.toml`) or the name of a stored house. A folder
is read as it is and nothing is written to it. Answers hold for the day given with `--as-of`; else,
of a folder, for its `written_as_of`; else for today (a stored house that was written this week and
in which nothing has been recorded since: for the day it was written for).

Status: 0 fine, 1 findings (only with `--strict`; `doctor` always, for a store that is not whole is
nothing to read past), 2 bad input. `--json` prints the fields described
in [JSON](json.md).

"""


def page() -> str:
    """Return the text of the page."""
    from roomwright.cli.app import app

    os.environ["COLUMNS"] = os.environ["TERMINAL_WIDTH"] = "96"
    runner = CliRunner()

    def helped(*args: str) -> str:
        done = runner.invoke(app, [*args, "--help"], prog_name="roomwright")
        return "\n".join(line.rstrip() for line in done.output.strip().splitlines())

    names = [c.name or (c.callback.__name__ if c.callback else "") for c in app.registered_commands]
    parts = [HEAD, "```\n", helped(), "\n```\n"]
    for name in names:
        parts += [f"\n## {name}\n\n```\n", helped(name), "\n```\n"]
    return "".join(parts)
