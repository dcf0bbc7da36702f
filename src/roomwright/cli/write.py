"""Commands that write: load, new, demo, serve; and doctor, which only looks."""

from __future__ import annotations

import dataclasses
import json
import sys
from collections.abc import Mapping
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from roomwright.cli.source import BadInputError, open_store, read
from roomwright.job.facts import Facts

if TYPE_CHECKING:
    from roomwright.starter import Question

WHO = "command line"
MOST_TOLD = 40
"""Changes that loading tells of one by one."""


def _today() -> date:
    return datetime.now(UTC).astimezone().date()


def _fail(error: Exception) -> int:
    print(error, file=sys.stderr)
    return 2


def load(folder: Path, name: str | None, store_url: str | None) -> int:
    """Read a folder into the store and say what changed."""
    loaded = read(folder)
    return _keep(loaded.facts, name or folder.resolve().name, store_url, kinds=loaded.kinds,
                 plans=loaded.pictures)  # fmt: skip


def _keep(
    facts: Facts, name: str, store_url: str | None, *, kinds: frozenset[str],
    clash: Literal["here", "folder"] = "here", plans: Mapping[str, bytes] | None = None,
) -> int:  # fmt: skip
    """Write the facts of a folder as the house `name`, and say what was done."""
    from roomwright import commands
    from roomwright.exchange.changes import describe
    from roomwright.job.store import slug

    store = open_store(store_url)
    try:
        house = slug(name)
        new = house not in {job.id for job in store.jobs()}
        command = commands.Load(facts=tuple(facts), folder=name, clash=clash, kinds=kinds)
        if new:
            house, done = commands.begin(store, name, command, who=WHO)
        else:
            done = commands.run(store, house, command, who=WHO)
        for body in (plans or {}).values():
            store.put_blob(house, body, "image/png")
    finally:
        store.close()
    print(done.sentence)
    told = [*([] if new else describe(done.changes)), *done.kept]
    for sentence in told[:MOST_TOLD]:
        print(f"- {sentence}")
    if len(told) > MOST_TOLD:
        print(f"- and {len(told) - MOST_TOLD} more; the journal has them all")
    print(f"Stored as {house}.")
    return 0


def export(name: str, folder: Path | None, replace: bool, store_url: str | None) -> int:
    """Write a stored house out as a house folder, pictures of scanned plans and all."""
    from roomwright.exchange import pictures
    from roomwright.exchange.problems import FolderError
    from roomwright.exchange.writer import write_folder
    from roomwright.job.store import UnknownHouseError

    store = open_store(store_url)
    try:
        facts = store.facts(name)
        plans = pictures.kept(store, name, facts)
    except UnknownHouseError as error:
        raise BadInputError(f"There is no stored house {name!r}. {error}") from None
    finally:
        store.close()
    target = folder or Path(name)
    try:
        files = write_folder(facts, target, replace=replace, plans=plans)
    except FolderError as error:
        raise BadInputError(f"{error}; or write over it with --replace") from None
    print(f"Wrote {len(files)} files to {target}. Loaded again they are the same house.")
    return 0


def _stored(name: str, store_url: str | None) -> str | None:
    from roomwright.job.store import slug

    store = open_store(store_url)
    try:
        return next((job.id for job in store.jobs() if job.id == slug(name)), None)
    finally:
        store.close()


def new(name: str, given: list[str], defaults: bool) -> int:
    """Ask the ten questions and write a house folder."""
    from roomwright import starter

    if not name.strip() or "\0" in name:
        raise BadInputError("Give the house a name: roomwright new NAME")
    target = Path(name)
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise BadInputError(f"{target} is already there; take another name")
    answers: dict[str, str] = {"name": target.resolve().name}
    for pair in given:
        key, told, value = pair.partition("=")
        if not told:
            raise BadInputError(f"--answer {pair}: write question=answer, like floors=2")
        answers[key.strip()] = value.strip()
    if not given and not defaults:
        for question in starter.QUESTIONS:
            if question.id not in answers:
                answers[question.id] = _asked(question)
    try:
        files = starter.build(answers)
    except ValueError as error:
        return _fail(error)
    target.mkdir(parents=True, exist_ok=True)
    for file, text in files.items():
        (target / file).write_text(text, encoding="utf-8")
    print(f"Wrote {len(files)} files to {target}. Look at them, then: roomwright check {target}")
    return 0


def _asked(question: Question) -> str:
    """Ask until the answer can be read: nobody types ten answers again for the sake of one."""
    import typer

    from roomwright import starter

    hint = f" ({', '.join(question.choices)})" if question.choices else ""
    while True:
        said = str(typer.prompt(question.text + hint, default=question.default))
        try:
            starter.settle({question.id: said}, _today())
        except starter.StarterError as error:
            print(error, file=sys.stderr)
        else:
            return said


def demo(port: int, browser: bool, load_only: bool, again: bool, store_url: str | None) -> int:
    """Load Tern Hollow with its dates shifted by whole weeks into this week, and open it.

    A demo house that is already there is left as it is, with all that was typed into it.
    """
    house_id = _stored("Tern Hollow", store_url)
    if house_id and not again:
        print("Tern Hollow is here as you left it. (roomwright demo --again loads it anew.)")
        return 0 if load_only else _open("127.0.0.1", port, browser, store_url, f"/h/{house_id}")
    from roomwright.exchange.samples import example_path
    from roomwright.exchange.shift import shift_weeks, weeks_to_current
    from roomwright.job.entities import House

    loaded = read(example_path("tern-hollow"))
    facts = loaded.facts
    written = facts.get(House, "house").written_as_of
    if written is not None:
        facts = shift_weeks(facts, weeks_to_current(written, _today()))
    status = _keep(facts, "Tern Hollow", store_url, kinds=loaded.kinds, clash="folder")
    if status:
        return status
    print("Tern Hollow is an invented house; its dates were shifted to this week.")
    house_id = _stored("Tern Hollow", store_url)
    return 0 if load_only else _open("127.0.0.1", port, browser, store_url, f"/h/{house_id}")


def serve(host: str, port: int, lan: bool, browser: bool, store_url: str | None) -> int:
    """Open the pages; with `lan`, say who can get in."""
    if lan:
        print("Everyone on this network can open and change these houses; there is no password.")
    return _open("0.0.0.0" if lan else host, port, browser, store_url, "/")  # noqa: S104  (--lan)


def _open(host: str, port: int, browser: bool, store_url: str | None, path: str) -> int:
    from roomwright.web.serve import serve as run

    open_store(store_url).close()  # what is wrong with it is said before anything opens
    run(host=host, port=port, store_url=store_url, open_browser=browser, path=path)
    return 0


def doctor(store_url: str | None, as_json: bool) -> int:
    """Say where the store is and whether journal, facts and references agree."""
    from roomwright.job.doctor import about, examine

    store = open_store(store_url)
    try:
        found, troubles = about(store), examine(store)
    finally:
        store.close()
    if as_json:
        told = dataclasses.asdict(found)
        body = {
            "schema": "roomwright/doctor",
            "version": 1,
            "engine_version": told.pop("version"),
            **told,
            "troubles": [dataclasses.asdict(t) for t in troubles],
        }
        print(json.dumps(body, indent=1, default=str))
        return 1 if troubles else 0
    print(f"Store: {found.place} ({found.engine} {found.version})")
    print(f"Houses: {', '.join(found.houses) or 'none yet'}")
    for note in found.notes:
        print(f"Note: {note}")
    for trouble in troubles:
        print(trouble)
    print("See above." if troubles else "Journal and facts are equal.")
    return 1 if troubles else 0
