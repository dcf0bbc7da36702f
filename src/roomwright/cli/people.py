"""The commands `choices`, `calls`, `change-orders` and `feed`: in words, as JSON, on paper."""

from __future__ import annotations

import json as json_
import sys
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from roomwright.answers import Answers

House = Annotated[str, typer.Argument(help="a house folder, or the name of a stored house")]
Pdf = Annotated[Path | None, typer.Option("--pdf", help="write the paper to this file")]
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


def choices(
    house: House,
    who: Annotated[str, typer.Option("--who", help="who decides; empty for everybody")] = "",
    pdf: Pdf = None,
    as_of: AsOf = None,
    json: Json = False,
    strict: Strict = False,
    store: Where = None,
) -> None:
    """What must be chosen: by whom, by when and why then, what a late answer costs."""
    from roomwright.answers.choices import choices as query
    from roomwright.answers.choices_words import owners_page
    from roomwright.cli.subjects import OUT

    answers = _answers(house, as_of, store)
    rows = [c for c in answers.ask(query) if not who or c.who.lower() == who.lower()]
    page = owners_page(answers, who)
    if pdf is not None:
        from roomwright.sheets import choices as paper

        _written(pdf, paper.pdf(answers, page, printed=_printed(answers.as_of)))

    def text() -> None:
        OUT.print(page.lead)
        for one in page.open:
            OUT.print()
            OUT.print(f"{one.id} {one.what} ({one.who}): {one.by}", style="bold")
            for words in filter(None, (one.asked, *one.options)):
                OUT.print(f"  {words}")
            for on, said in one.why:
                OUT.print(f"  {on}: {said}")
            for said in one.late:
                OUT.print(f"  late: {said}")
        for one in page.made:
            OUT.print(f"{one.id} {one.what}: {one.decided}")

    _told("choices", answers, {"choices": [c.as_json() for c in rows]}, json, text)
    raise typer.Exit(1 if strict and any(c.state == "overdue" for c in rows) else 0)


def calls(
    house: House,
    pdf: Pdf = None,
    as_of: AsOf = None,
    json: Json = False,
    strict: Strict = False,
    store: Where = None,
) -> None:
    """Whom to call two weeks and two days before each visit, and what to say."""
    from roomwright.answers.call_lists import call_list, to_say
    from roomwright.cli.subjects import OUT
    from roomwright.days import show_date

    answers = _answers(house, as_of, store)
    found = answers.ask(call_list)
    if pdf is not None:
        from roomwright.job.entities import House as HouseFact
        from roomwright.sheets import calls as paper

        name = answers.facts.get(HouseFact, "house").name
        _written(pdf, paper.pdf(found, house=name, printed=_printed(answers.as_of)))

    def text() -> None:
        for day in found.days:
            head = "Should have been called" if day.on is None else show_date(day.on, found.as_of)
            OUT.print(head, style="bold")
            for one in day.calls:
                name = ", ".join(filter(None, (one.trade, one.name, one.phone or "no number kept")))
                OUT.print(f"- {name}: {one.which}")
                for words in filter(None, (one.why, *to_say(one, found.as_of))):
                    OUT.print(f"  {words}")
        if not found.days:
            OUT.print("Nobody has to be called in the next two weeks.")

    _told("calls", answers, found.as_json(), json, text)
    raise typer.Exit(1 if strict and any(c.overdue for c in found.calls) else 0)


def change_orders(
    house: House,
    change: Annotated[str, typer.Argument(help="the id of one; else all of them")] = "",
    pdf: Pdf = None,
    as_of: AsOf = None,
    json: Json = False,
    strict: Strict = False,
    store: Where = None,
) -> None:
    """Change orders: price, days, what each does to move-in; with --pdf one to sign."""
    from roomwright.answers.change_orders import change_order
    from roomwright.answers.change_orders import change_orders as every
    from roomwright.cli.subjects import OUT
    from roomwright.cli.trouble import BadInputError
    from roomwright.job.facts import MissingFactError

    answers = _answers(house, as_of, store)
    try:
        found = (change_order(answers, change),) if change else every(answers)
    except MissingFactError as error:
        raise BadInputError(f"{error}. `roomwright change-orders {house}` lists them.") from None
    if pdf is not None:
        from roomwright.job.entities import House as HouseFact
        from roomwright.sheets import change_order as paper

        if len(found) != 1:
            raise BadInputError("Name the change order that is to be written.")
        name = answers.facts.get(HouseFact, "house").name
        _written(pdf, paper.pdf(found[0], house=name, printed=_printed(answers.as_of)))

    def text() -> None:
        for one in found:
            OUT.print(f"{one.id} {one.title}: {one.state}", style="bold")
            OUT.print(f"  {one.price_words}, {one.days_words}. {one.moves_words}")
            for line in one.lines:
                if line.anew:
                    OUT.print(f"  {line.name}: {line.anew}")
            for words in one.cautions:
                OUT.print(f"  CAUTION  {words}")
        OUT.print("Follow local code and licensed practice." if found else "No change orders.")

    _told("change-orders", answers, {"change_orders": [c.as_json() for c in found]}, json, text)
    raise typer.Exit(1 if strict and any(not c.agreed_on for c in found) else 0)


def feed(
    house: House,
    out: Annotated[Path | None, typer.Option("--out", help="write it to this file")] = None,
    address: Annotated[bool, typer.Option("--address", help="print its secret address")] = False,
    renew: Annotated[bool, typer.Option("--renew", help="give it another address")] = False,
    url: Annotated[
        str, typer.Option("--url", help="where the pages are")
    ] = "http://127.0.0.1:8484",
    as_of: AsOf = None,
    store: Where = None,
) -> None:
    """Days to order by, landings, inspections and visits as an iCalendar file, or its address."""
    from roomwright.cli import feed as feeding

    if address or renew:
        raise typer.Exit(feeding.address(house, url, renew, store))
    raise typer.Exit(feeding.write(house, out, as_of and as_of.date(), store))


def _answers(house: str, as_of: datetime | None, store: str | None) -> Answers:
    from roomwright.cli.source import find

    day = None if as_of is None else as_of.date()
    return find(house, store).answers(day, datetime.now(UTC).astimezone().date())


def _told(
    subject: str, answers: Answers, body: dict[str, Any], as_json: bool, text: Callable[[], None]
) -> None:
    from roomwright.answers import wire

    if as_json:
        print(json_.dumps(wire.envelope(subject, answers, body), indent=1))
    else:
        text()


def _printed(day: date) -> str:
    from roomwright.days import show_date

    return f"{show_date(day)}, {day.year}"


def _written(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    print(f"Written: {path}", file=sys.stderr)
