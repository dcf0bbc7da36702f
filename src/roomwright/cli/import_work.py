"""import-work: activities and links out of a spreadsheet, shown first, stored with --keep."""

from __future__ import annotations

import sys
from collections.abc import Collection, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from roomwright.cli.trouble import BadInputError

if TYPE_CHECKING:
    from roomwright.exchange.grids import Grid
    from roomwright.exchange.work_sheet import Mapped, Use

Where = typer.Option(
    "--store", help="URL of the store; else ROOMWRIGHT_STORE, else a file of yours"
)


def import_work(
    house: Annotated[str, typer.Argument(help="the name of a stored house")],
    file: Annotated[Path, typer.Argument(help="a workbook (.xlsx) or comma-separated text")],
    keep: Annotated[bool, typer.Option("--keep", help="store it; else it is only shown")] = False,
    change: Annotated[
        bool, typer.Option("--change", help="change work that is here under the same id")
    ] = False,
    columns: Annotated[
        list[str] | None,
        typer.Option(
            "--column",
            help='"B=days_likely" or "Plan!B=days_likely": what a column is; again for more',
        ),
    ] = None,
    heads: Annotated[
        list[str] | None,
        typer.Option("--head", help='"3" or "Plan=3": the row that names the columns'),
    ] = None,
    store: Annotated[str | None, Where] = None,
) -> None:
    """Take activities and links from a spreadsheet: all of them or none, errors by cell."""
    from roomwright import commands
    from roomwright.cli.source import open_store
    from roomwright.exchange.grids import SheetError, read_sheets
    from roomwright.exchange.work_sheet import guess, read_work
    from roomwright.job.entities import Activity, Room
    from roomwright.job.store import slug

    try:
        grids = read_sheets(file.name, file.read_bytes())
    except SheetError as no:
        raise BadInputError(str(no)) from None
    _known([grid.name for grid in grids], [*(columns or ()), *(heads or ())])
    how = [_said(guess(grid), grid, columns or (), heads or ()) for grid in grids]
    kept = open_store(store)
    try:
        facts = kept.facts(slug(house))
        known = {a.id: a.name for a in facts.all(Activity)}
        found = read_work(grids, how, known, facts.ids(Room))
        for note in found.notes:
            print(note, file=sys.stderr)
        for error in found.errors:
            print(error, file=sys.stderr)
        if found.errors:
            raise typer.Exit(2)
        command = commands.parse("import work", {
            "activities": found.activities, "links": found.links, "source": file.name[:80],
            "clash": "change" if change else "refuse",
        })  # fmt: skip
        try:
            if keep:
                print(commands.run(kept, slug(house), command, who="command line").sentence)
            else:
                print(command.work(facts, lambda _: []).sentence)
                print("Nothing was stored yet: say --keep to store it.")
        except commands.BadCommandError as no:
            for field, what in no.problems:
                print(f"{found.cells.get(field, field)}: {what}", file=sys.stderr)
            raise typer.Exit(2) from None
    finally:
        kept.close()


def _said(how: Mapped, grid: Grid, columns: Iterable[str], heads: Iterable[str]) -> Mapped:
    """Return how a sheet is read, with what was said over what was guessed."""
    from roomwright.exchange.grids import MOST_COLUMNS, letters
    from roomwright.exchange.work_sheet import ACTIVITY_FIELDS, LINK_FIELDS, Mapped

    found = dict(how.columns)
    use: Use = how.use
    for said in columns:
        place, told, name = said.rpartition("=")
        sheet, _, letter = place.rpartition("!")
        if not told or (sheet and sheet != grid.name):
            continue
        column = next((c for c in range(MOST_COLUMNS) if letters(c) == letter.upper()), None)
        if column is None or name not in {*ACTIVITY_FIELDS, *LINK_FIELDS, ""}:
            fields = ", ".join({**ACTIVITY_FIELDS, **LINK_FIELDS})
            raise BadInputError(
                f"--column {said}: write like Plan!B=days_likely; there are {fields}"
            )
        found = {c: n for c, n in found.items() if n != name and c != column}
        if name:
            found[column] = name
        use = use or ("activities" if name in ACTIVITY_FIELDS else "links")
    head = how.head
    for said in heads:
        sheet, _, row = said.rpartition("=")
        if sheet and sheet != grid.name:
            continue
        if not row.isdecimal() or not 0 < int(row) < 10_000:
            raise BadInputError(f"--head {said}: write like 3 or Plan=3")
        head = int(row) - 1
    return Mapped(use, head, found)


def _known(names: Collection[str], said: Iterable[str]) -> None:
    """Refuse what was said of a sheet that is not there."""
    for each in said:
        sheet = (
            each.rpartition("=")[0].rpartition("!")[0] if "!" in each else each.rpartition("=")[0]
        )
        if sheet and sheet not in names and ("!" in each or not sheet.isalpha() or len(sheet) > 3):
            raise BadInputError(f"{each}: there is no sheet {sheet}; there are {', '.join(names)}")
