"""The options of the command `crews`."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer


def crews(
    house: Annotated[str, typer.Argument(help="a house folder, or the name of a stored house")],
    first: Annotated[
        datetime | None,
        typer.Option("--from", formats=["%Y-%m-%d"], help="first day of the weeks ahead"),
    ] = None,
    weeks: Annotated[int, typer.Option("--weeks", min=1, max=6, help="how many weeks")] = 3,
    later: Annotated[
        str, typer.Option("--later", help="working days that all may be done later, or any")
    ] = "0",
    long: Annotated[bool, typer.Option("--long", help="search for minutes, not seconds")] = False,
    pdf: Annotated[
        Path | None, typer.Option("--pdf", help="write the weeks ahead for the wall to this file")
    ] = None,
    as_of: Annotated[
        datetime | None,
        typer.Option("--as-of", formats=["%Y-%m-%d"], help="the day for which the answer holds"),
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="print JSON (docs/json.md)")] = False,
    strict: Annotated[
        bool, typer.Option("--strict", help="end with status 1 if there are findings")
    ] = False,
    store: Annotated[
        str | None,
        typer.Option(
            "--store", help="URL of the store; else ROOMWRIGHT_STORE, else a file of yours"
        ),
    ] = None,
) -> None:  # fmt: skip
    """A plan that crews and rooms can keep: what it costs, whom to call, the weeks ahead."""
    from roomwright.cli import crew_plan

    asked = crew_plan.Asked(first and first.date(), weeks, later, long, pdf)
    raise typer.Exit(crew_plan.show(house, asked, as_of and as_of.date(), json, strict, store))
