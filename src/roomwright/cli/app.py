"""The commands and their options. What a command needs is imported when it runs."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Annotated

import typer

from roomwright.cli.crews import crews
from roomwright.cli.import_work import import_work
from roomwright.cli.order_options import Confidence, Line, Samples, Together
from roomwright.cli.people import calls, change_orders, choices, feed
from roomwright.cli.trouble import Commands

app = typer.Typer(
    name="roomwright",
    cls=Commands,
    help=(
        "Runs a house through its finish phase: what fits, what to order by when, what is still "
        "missing, and what hangs on each wall. HOUSE is a house folder or the name of a stored "
        "house. Status: 0 fine, 1 findings (only with --strict), 2 bad input."
    ),
    rich_markup_mode=None,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)

House = Annotated[str, typer.Argument(help="a house folder, or the name of a stored house")]
Room = Annotated[str, typer.Argument(help="the room's number, such as 101")]
AsOf = Annotated[
    datetime | None,
    typer.Option("--as-of", formats=["%Y-%m-%d"], help="the day for which the answer holds"),
]
Json = Annotated[bool, typer.Option("--json", help="print JSON (docs/json.md)")]
Strict = Annotated[bool, typer.Option("--strict", help="end with status 1 if there are findings")]
Where = Annotated[
    str | None,
    typer.Option("--store", help="URL of the store; else ROOMWRIGHT_STORE, else a file of yours"),
]


def _day(when: datetime | None) -> date | None:
    return None if when is None else when.date()


def _print(subject: str, house: str, key: tuple[str | int, ...], as_of: datetime | None,
           as_json: bool, strict: bool, store: str | None) -> None:  # fmt: skip
    from roomwright.cli import read

    raise typer.Exit(read.show(subject, house, key, _day(as_of), as_json, strict, store))


@app.command()
def fit(house: House, room: Room, as_of: AsOf = None, json: Json = False,
        strict: Strict = False, store: Where = None) -> None:  # fmt: skip
    """What fits in a room: each side of each piece, walk paths, swings, findings."""
    _print("fit", house, (room,), as_of, json, strict, store)


@app.command()
def paths(
    house: House,
    from_room: Annotated[str, typer.Option("--from", help="only those from this room")] = "",
    to_room: Annotated[str, typer.Option("--to", help='only those to this room, or "out"')] = "",
    as_of: AsOf = None,
    json: Json = False,
    strict: Strict = False,
    store: Where = None,
) -> None:
    """Walk paths through the house: who walks where, and the tightest place on the way."""
    _print("paths", house, (from_room, to_room), as_of, json, strict, store)


@app.command("what-fits")
def what_fits(
    house: House,
    room: Room,
    kind: Annotated[
        str, typer.Argument(help='the kind of piece, such as bed, island or "round dining table"')
    ] = "dining table",
    width: Annotated[str, typer.Option("--width", help='"72", "36..96" or "36..96 by 2"')] = "",
    depth: Annotated[str, typer.Option("--depth", help="the same for its depth")] = "",
    sizes: Annotated[
        str, typer.Option("--sizes", help='a list: "Queen 60 x 80, King 76 x 80"')
    ] = "",
    place: Annotated[
        str,
        typer.Option(
            "--place", help='anywhere, against, "against B", "centered on W3", "at 120 84"'
        ),
    ] = "",
    turn: Annotated[str, typer.Option("--turn", help="degrees that it may lie, such as 0 90")] = "",
    without: Annotated[
        str | None, typer.Option("--without", help="pieces that make way: T1, S1")
    ] = None,
    slides: Annotated[
        str, typer.Option("--slides", help="pieces that may move, and how far: S1 6 x 3")
    ] = "",
    seats: Annotated[str, typer.Option("--seats", help='"24 in. rule" or handbook')] = "",
    features: Annotated[
        str, typer.Option("--features", help='as in pieces.csv: "legs pedestal; leaf 18"')
    ] = "",
    pdf: Annotated[
        Path | None, typer.Option("--pdf", help="write the owner's page to this file")
    ] = None,
    as_of: AsOf = None,
    json: Json = False,
    strict: Strict = False,
    store: Where = None,
) -> None:
    """What fits: the largest piece of a kind, its place, what stops it, size against room."""
    from roomwright.cli import what_fits as finding

    asked = finding.Asked(kind, width, depth, sizes, place, turn, without, slides, seats, features)
    raise typer.Exit(
        finding.show(house, room, asked.wanted(), pdf, _day(as_of), json, strict, store)
    )


@app.command()
def walls(
    house: House,
    room: Room,
    pdf: Annotated[Path | None, typer.Option("--pdf", help="write the sheet to this file")] = None,
    as_of: AsOf = None,
    json: Json = False,
    strict: Strict = False,
    store: Where = None,
) -> None:
    """Each wall of a room from inside: heights, what eyes see, windows for escape, glass."""
    from roomwright.cli import walls as walling

    raise typer.Exit(walling.show(house, room, pdf, _day(as_of), json, strict, store))


@app.command("mark-out")
def mark_out(
    house: House,
    room: Room,
    piece: Annotated[
        list[str] | None, typer.Option("--piece", help="a piece to mark; again for more")
    ] = None,
    method: Annotated[
        str, typer.Option("--method", help="ties (to two fixed points) or baseline (off a wall)")
    ] = "ties",
    extra: Annotated[
        list[str] | None, typer.Option("--with", help="chairs, clearances or lights too")
    ] = None,
    standing: Annotated[
        list[str] | None, typer.Option("--standing", help="a piece that is in the room now")
    ] = None,
    aloud: Annotated[bool, typer.Option("--aloud", help="lengths in words, to read out")] = False,
    pdf: Annotated[Path | None, typer.Option("--pdf", help="write the sheet to this file")] = None,
    pole: Annotated[
        Path | None, typer.Option("--pole", help="write a story pole to this file")
    ] = None,
    which: Annotated[
        str, typer.Option("--which", help="which pole: along, off or heights")
    ] = "along",
    as_of: AsOf = None,
    json: Json = False,
    strict: Strict = False,
    store: Where = None,
) -> None:
    """How to put a layout on the floor full size: ties, baseline, checks, sticks, story pole."""
    from roomwright.cli import mark_out as marking

    wanted = marking.asked(piece or (), method, extra or (), standing or ())
    papers = marking.Papers(pdf, pole, which)
    raise typer.Exit(
        marking.show(house, room, wanted, papers, _day(as_of), json, strict, aloud, store)
    )


@app.command()
def survey(
    house: House,
    room: Room,
    read: Annotated[
        list[str] | None,
        typer.Option("--read", help='record a reading first: "A to B 12 4 3/8"; again for more'),
    ] = None,
    on: Annotated[
        datetime | None,
        typer.Option("--on", formats=["%Y-%m-%d"], help="the day they were taken; else today"),
    ] = None,
    by: Annotated[str, typer.Option("--by", help="who took them")] = "",
    face: Annotated[
        str, typer.Option("--face", help="what they were taken to: stud, board or finished")
    ] = "board",
    as_of: AsOf = None,
    json: Json = False,
    strict: Strict = False,
    store: Where = None,
) -> None:
    """A room from the tape: which reading is doubtful, what to tape next, planned against taped."""
    if read:
        from roomwright.cli import survey as taping

        day = _day(on) or datetime.now(UTC).astimezone().date()
        taping.record(house, room, read, taping.Taken(day, by, face), store)
    _print("survey", house, (room,), as_of, json, strict, store)


On = Annotated[
    datetime | None, typer.Option("--on", formats=["%Y-%m-%d"], help="who is where on this day")
]
InRoom = Annotated[str, typer.Option("--room", help="who is in this room, such as 101")]
Days = Annotated[int, typer.Option("--days", min=1, max=28, help="so many days from then on")]


@app.command()
def dates(house: House, on: On = None, room: InRoom = "", days: Days = 1, as_of: AsOf = None,
          json: Json = False, strict: Strict = False, store: Where = None) -> None:  # fmt: skip
    """Early and late dates, days to spare, the critical path; or who is where on a day."""
    if on is None and not room:
        _print("dates", house, (), as_of, json, strict, store)
    first = "" if on is None else on.date().isoformat()
    _print("who", house, (first, room, days), as_of, json, strict, store)


app.command()(crews)


@app.command()
def orders(house: House, line: Line = "", confidence: Confidence = "", samples: Samples = "",
           together: Together = False,
           as_of: AsOf = None, json: Json = False,
           strict: Strict = False, store: Where = None) -> None:  # fmt: skip
    """Each plan line: when it is needed, when to order, whether it comes in time, days it costs.

    With --line what is to be decided about one: by when to order it and how sure, what a week's
    wait costs, what having it sooner is worth. With --together the days to order all lines so that
    the house's limits of room, cash and receiving are kept.
    """
    if together:
        _print("order-plan", house, (), as_of, json, strict, store)
    if line:
        _print("decision", house, (line, confidence, samples), as_of, json, strict, store)
    _print("orders", house, (), as_of, json, strict, store)


@app.command()
def chances(house: House, line: Line = "", confidence: Confidence = "", samples: Samples = "",
            as_of: AsOf = None, json: Json = False,
            strict: Strict = False, store: Where = None) -> None:  # fmt: skip
    """How sure the end and each milestone are, and which orders and works cost the most days."""
    _print("chances", house, (confidence, line, samples), as_of, json, strict, store)


@app.command()
def history(house: House, as_of: AsOf = None, json: Json = False,
            strict: Strict = False, store: Where = None) -> None:  # fmt: skip
    """What makers and crews did so far against what was promised; how past 80 % days came true."""
    _print("history", house, (), as_of, json, strict, store)


@app.command(name="schedule-check")
def schedule_check(house: House, as_of: AsOf = None, json: Json = False,
                   strict: Strict = False, store: Where = None) -> None:  # fmt: skip
    """What is missing, doubtful or out of order in the network; its critical paths one by one."""
    _print("schedule-check", house, (), as_of, json, strict, store)


@app.command()
def counts(house: House, as_of: AsOf = None, json: Json = False,
           strict: Strict = False, store: Where = None) -> None:  # fmt: skip
    """Plan, ordered and received held against each other; kits expanded."""
    _print("counts", house, (), as_of, json, strict, store)


@app.command()
def today(house: House, as_of: AsOf = None, json: Json = False,
          strict: Strict = False, store: Where = None) -> None:  # fmt: skip
    """What to do now, most days of move-in saved first, and why."""
    _print("today", house, (), as_of, json, strict, store)


@app.command()
def check(house: House, as_of: AsOf = None, json: Json = False,
          strict: Strict = False, store: Where = None) -> None:  # fmt: skip
    """What is wrong or doubtful in the facts of a house."""
    _print("check", house, (), as_of, json, strict, store)


@app.command()
def sheets(
    house: House,
    room: Annotated[str | None, typer.Argument(help="one room; else every room")] = None,
    out: Annotated[Path, typer.Option("--out", help="folder to write the PDF files to")] = Path(
        "sheets"
    ),
    as_of: AsOf = None,
    json: Json = False,
    store: Where = None,
    url: Annotated[
        str, typer.Option("--url", help="address of the pages, for the QR code")
    ] = "http://127.0.0.1:8484",
) -> None:
    """Write a wall sheet for each room as PDF; with --json list the sheets instead."""
    from roomwright.cli import papers

    raise typer.Exit(papers.write(house, room, out, _day(as_of), json, store, url))


@app.command()
def load(
    folder: Annotated[Path, typer.Argument(help="the house folder to read")],
    name: Annotated[str | None, typer.Option("--name", help="name of the stored house")] = None,
    store: Where = None,
) -> None:
    """Read a house folder into the store; again: update what changed, and say what that was."""
    from roomwright.cli import write

    raise typer.Exit(write.load(folder, name, store))


app.command("import-work")(import_work)
app.command()(choices)
app.command()(calls)
app.command("change-orders")(change_orders)
app.command()(feed)


@app.command()
def export(
    house: Annotated[str, typer.Argument(help="the name of a stored house")],
    folder: Annotated[
        Path | None, typer.Argument(help="the folder to write; else one of the house's name here")
    ] = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="write over the house that is in the folder")
    ] = False,
    store: Where = None,
) -> None:
    """Write a stored house out as a house folder; loaded again it is the same house."""
    from roomwright.cli import write

    raise typer.Exit(write.export(house, folder, replace, store))


@app.command()
def new(
    name: Annotated[str, typer.Argument(help="name of the house; its folder is made here")],
    answers: Annotated[
        list[str] | None,
        typer.Option("--answer", "-a", help="question=answer; without any, you are asked"),
    ] = None,
    defaults: Annotated[bool, typer.Option("--defaults", help="take every usual answer")] = False,
) -> None:
    """Start a house of your own: ten plain questions, then a folder of plain files."""
    from roomwright.cli import write

    raise typer.Exit(write.new(name, answers or [], defaults))


@app.command()
def serve(
    host: Annotated[str, typer.Option("--host", help="address to listen on")] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", min=0, max=65535)] = 8484,
    lan: Annotated[
        bool, typer.Option("--lan", help="let phones on this network in (anyone on it can write)")
    ] = False,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="open it")] = True,
    store: Where = None,
) -> None:
    """Open the pages in a browser."""
    from roomwright.cli import write

    raise typer.Exit(write.serve(host, port, lan, browser, store))


@app.command()
def demo(
    port: Annotated[int, typer.Option("--port", min=0, max=65535)] = 8484,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="open it")] = True,
    load_only: Annotated[bool, typer.Option("--load-only", help="load it, open nothing")] = False,
    again: Annotated[
        bool, typer.Option("--again", help="load it anew over what is there (undo brings it back)")
    ] = False,
    store: Where = None,
) -> None:
    """Load the invented house Tern Hollow, its dates shifted to this week, and open it."""
    from roomwright.cli import write

    raise typer.Exit(write.demo(port, browser, load_only, again, store))


@app.command()
def doctor(store: Where = None, json: Json = False) -> None:
    """Hold the journal, the facts and the database against each other; say where they live."""
    from roomwright.cli import write

    raise typer.Exit(write.doctor(store, json))
