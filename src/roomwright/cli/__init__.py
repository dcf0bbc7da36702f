"""The command line: parse, take an answer or run a command, print."""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command line; bad input ends with status 2 and one plain sentence."""
    from roomwright.cli.app import app

    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:  # in the terminal's own letters; see cli.trouble
            reconfigure(errors="roomwright-plainly")
    app()
