"""The command `what-fits`: any kind of piece, with progress; Ctrl-C gives the best so far."""

from __future__ import annotations

import json
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from types import FrameType

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn

from roomwright.answers import what_fits_json, wire
from roomwright.answers import what_fits_words as words
from roomwright.answers.what_fits import StoppedError, watched, what_fits
from roomwright.cli.source import BadInputError, find
from roomwright.fit.search_found import Found, Option
from roomwright.fit.search_wanted import Wanted, WantedError, parse
from roomwright.job.entities import Room
from roomwright.job.facts import MissingFactError
from roomwright.lengths import tape


@dataclass(frozen=True, slots=True)
class Asked:
    """What the options of the command say; empty where they say nothing."""

    kind: str = "dining table"
    width: str = ""
    depth: str = ""
    sizes: str = ""
    place: str = ""
    turn: str = ""
    without: str | None = None
    slides: str = ""
    seats: str = ""
    features: str = ""

    def wanted(self) -> Wanted:
        """Return the wish.

        Raises
        ------
        BadInputError
            With the option that cannot be read and what to write there.
        """
        parts = [self.kind]
        for name in ("width", "depth", "sizes", "place", "turn", "slides", "seats", "features"):
            said = getattr(self, name).replace(";", "+")
            if said.strip():
                parts.append(f"{name}: {said}")
        if self.without is not None:
            parts.append(f"without: {self.without}")
        try:
            return parse("; ".join(parts))
        except WantedError as error:
            raise BadInputError(f"{error}.") from error


def show(house: str, room: str, wanted: Wanted, pdf: Path | None, as_of: date | None,
         as_json: bool, strict: bool, store_url: str | None) -> int:  # fmt: skip
    """Print what fits; return the exit status."""
    answers = find(house, store_url).answers(as_of, datetime.now(UTC).astimezone().date())
    stopped = False
    try:
        with _waiting():
            found = answers.ask(what_fits, room, wanted)
    except StoppedError as error:
        found, stopped = error.found, True
    except MissingFactError as error:
        print(f"{error}. Its rooms: {', '.join(answers.facts.ids(Room))}.", file=sys.stderr)
        return 2
    except (WantedError, ValueError) as error:
        print(f"{str(error).rstrip('.')}.", file=sys.stderr)
        return 2
    if pdf is not None:
        from roomwright.sheets import owner

        pdf.write_bytes(owner.pdf(answers, room, found))
        print(f"Written: {pdf}", file=sys.stderr)
    if as_json:
        body = what_fits_json.as_json(found)
        print(json.dumps(wire.envelope("what-fits", answers, body), indent=1))
    else:
        text(found)
    if stopped:
        return 130
    return 1 if strict and found.best is None else 0


@contextmanager
def _waiting() -> Iterator[None]:
    """A bar on standard error while somebody looks; Ctrl-C asks the search to stop."""
    asked_to_stop = False

    def stop(_number: int, _frame: FrameType | None) -> None:
        nonlocal asked_to_stop
        if asked_to_stop:
            raise KeyboardInterrupt
        asked_to_stop = True

    try:
        before = signal.signal(signal.SIGINT, stop)
    except ValueError:  # not the main thread: nobody presses a key
        before = None
    console = Console(stderr=True)
    bar = Progress(
        TextColumn("what fits"), BarColumn(), TextColumn("{task.description}"),
        console=console, transient=True, disable=not console.is_terminal,
    )  # fmt: skip
    try:
        with bar:
            task = bar.add_task("", total=1.0)
            with watched(
                lambda share, at: bar.update(task, completed=share, description=at),
                lambda: asked_to_stop,
            ):
                yield
    finally:
        if before is not None:
            signal.signal(signal.SIGINT, before)


def text(found: Found) -> None:
    """Print an answer."""
    from roomwright.cli.subjects import OUT

    kind = found.wanted.kind
    if found.best is None:
        if found.stopped:
            OUT.print(f"{found.no_larger[:1].upper()}{found.no_larger[1:]}.")
        else:
            why = found.no_larger or "see below"
            OUT.print(f"No {kind} fits here by the figures in force: {why}.")
        if found.stops is not None:
            OUT.print(f"What stops it: {words.in_words(found.stops)}")
    else:
        _best(found, found.best)
    if found.leaf_in:
        OUT.print(found.leaf_in)
    if found.walls:
        OUT.print()
        OUT.print("If a wall is nearer than measured", style="bold")
        for wall in found.walls:
            OUT.print(f"- {words.limit(wall)}")
    if found.others:
        OUT.print()
        OUT.print("Others that differ", style="bold")
        for other in found.others:
            OUT.print(f"- {other.where}: {words.in_words(other)} ({words.cost(other)})")
    if found.front:
        OUT.print()
        OUT.print("Seats vs. room" if found.seats_rule else "Size vs. room", style="bold")
        for option in found.front:
            OUT.print(f"- {words.in_words(option)}")
    OUT.print()
    OUT.print(f"{words.searched(found)}.")


def _best(found: Found, best: Option) -> None:
    from roomwright.cli.subjects import OUT

    x, y, _, _ = best.piece.where
    OUT.print(f"Best: {words.in_words(best)}")
    OUT.print(
        f"It stands {best.where}; its center is {tape(x)} east and {tape(y)} north of the house's "
        f"origin, turned {best.piece.turn:g} degrees."
    )
    if best.by_rules:
        OUT.print(f"Seats: {words.rules(best)}.")
    if best.slid:
        OUT.print(f"For it {words.slid(best)}.")
    if found.stops is not None:
        OUT.print(f"What stops more: {words.in_words(found.stops)}")
    elif found.no_larger:
        OUT.print(f"What stops more: {found.no_larger}.")
    half = found.if_short()
    OUT.print(
        "With 1/2 in. less than measured: "
        + ("nothing on the list holds." if half is None else words.in_words(half))
    )
