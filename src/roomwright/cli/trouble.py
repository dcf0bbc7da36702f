"""What goes wrong outside the program ends as one plain message and status 2, never a traceback."""

from __future__ import annotations

import codecs
import contextlib
import os
import sys
from typing import IO, Any

import typer
from typer.core import TyperGroup

from roomwright.job.errors import StoreError


class BadInputError(Exception):
    """Input we cannot work with; its text says what and what to do. Ends with status 2."""


class Commands(TyperGroup):
    """The group of all commands: each ends with status 0, 1 or 2."""

    def invoke(self, ctx: Any) -> Any:
        """Run a command; what it could not do is said on standard error."""
        try:
            try:
                return super().invoke(ctx)
            finally:
                sys.stdout.flush()
        except BrokenPipeError:  # whoever read us has enough, as `head` does
            _let_go(sys.stdout)
            raise typer.Exit(0) from None
        except (BadInputError, StoreError) as error:
            print(error, file=sys.stderr)
        except OSError as error:
            print(in_words(error), file=sys.stderr)
        except ValueError as error:
            from roomwright.days import HorizonError  # here, as it brings numpy along

            if not isinstance(error, HorizonError):
                raise
            print(error, file=sys.stderr)
        raise typer.Exit(2)


def in_words(error: OSError) -> str:
    """Return what the system would not do.

    >>> in_words(FileNotFoundError(2, "No such file or directory", "plan/house.toml"))
    'plan/house.toml: no such file or directory.'
    """
    why = error.strerror or str(error) or "the system gives no reason"
    where = f"{error.filename}: " if isinstance(error.filename, str) else ""
    return f"{where}{why[:1].lower() if where else why[:1].upper()}{why[1:]}."


def _let_go(stream: IO[str]) -> None:
    """Point a stream that nobody reads at nothing, so that its last flush does not fail."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


_PLAIN = str.maketrans({
    "“": '"', "”": '"', "‘": "'", "’": "'", "′": "'", "″": '"', "×": "x", "–": "-", "—": "-",
    "→": "->", "½": "1/2", "¼": "1/4", "¾": "3/4", "…": "...", "\u00a0": " ",
})  # fmt: skip


def plainly(error: UnicodeError) -> tuple[str, int]:
    """Return what stands for a character that a terminal cannot print.

    >>> "15″ × “½”".encode("ascii", "roomwright-plainly").decode()
    '15" x "1/2"'
    """
    if not isinstance(error, UnicodeEncodeError):
        raise error
    text = error.object[error.start : error.end].translate(_PLAIN)
    return "".join(c if c.isascii() else "?" for c in text), error.end


codecs.register_error("roomwright-plainly", plainly)
