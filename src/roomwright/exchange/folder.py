"""Reading a house folder: every error of every file at once, or all its facts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from dataclasses import field as made
from itertools import chain, islice
from pathlib import Path

from roomwright.exchange import pictures, rules
from roomwright.exchange.forms import FORM_OF, FORMS, HOUSE, TABLES
from roomwright.exchange.house import read_house
from roomwright.exchange.problems import FolderError, Problem, Problems
from roomwright.exchange.rows import Draft, read_rows
from roomwright.exchange.rules.references import Dangling
from roomwright.exchange.source import decode, gather
from roomwright.exchange.table import read_table
from roomwright.job.entities import House
from roomwright.job.facts import Facts

__all__ = ["FileSeen", "FolderError", "Loaded", "Problem", "read_files", "read_folder"]

MOST_BROKEN = 2_000
"""So many broken rules are looked at: a folder with more is mended in steps."""


@dataclass(frozen=True, slots=True)
class FileSeen:
    """A file that was read: its name, the kind of fact in it, and how many of them."""

    name: str
    kind: str
    rows: int


@dataclass(frozen=True, slots=True)
class Loaded:
    """What a folder holds. `lines` says where each fact stands: (kind, id) -> (file, line)."""

    facts: Facts
    warnings: tuple[Problem, ...]
    files: tuple[FileSeen, ...]
    lines: Mapping[tuple[str, str], tuple[str, int]]
    pictures: Mapping[str, bytes] = made(default_factory=dict, repr=False)
    """The pictures of scanned plans that the facts name, by sha256."""

    @property
    def kinds(self) -> frozenset[str]:
        """The kinds of fact whose files were there."""
        return frozenset(file.kind for file in self.files)


def read_folder(path: str | Path) -> Loaded:
    """Read a house folder. Nothing is written and no date is changed.

    Parameters
    ----------
    path : str or Path
        the folder; docs/house-folder.md says what stands in it

    Raises
    ------
    FolderError
        with every error of every file; nothing of a wrong folder is loaded

    Examples
    --------
    >>> from roomwright.exchange.samples import example_path
    >>> read_folder(example_path("tern-hollow")).facts.get(House, "house").name
    'Tern Hollow'
    """
    problems = Problems()
    data = gather(Path(path), [form.file for form in FORMS], problems)
    return _read(data, problems, pictures.gathered(Path(path), problems))


def read_files(files: Mapping[str, bytes]) -> Loaded:
    """Read the files of a house folder from memory, by name; as `read_folder`."""
    names = {form.file for form in FORMS}
    plans = {n: d for n, d in files.items() if pictures.NAME.fullmatch(n)}
    return _read({n: d for n, d in files.items() if n in names}, Problems(), plans)


def _read(data: Mapping[str, bytes], problems: Problems, plans: Mapping[str, bytes]) -> Loaded:
    refused = {p.file for p in problems.errors()}
    unopened = bool(refused) and not data
    draft = Draft(problems)
    files: list[FileSeen] = []
    house_lines: dict[str, int] = {}
    for form in FORMS:
        if form.file in data:
            text = decode(data[form.file], form.file, problems)
            seen = text is not None and _one(form.file, text, draft, house_lines)
            if not seen:
                draft.unread_kinds.add(form.kind.kind_name)
            kind = form.kind.kind_name
            files.append(FileSeen(form.file, kind, draft.lines_of(kind)))
        elif form.file in refused or unopened:
            draft.unread_kinds.add(form.kind.kind_name)
        elif form.required:
            problems.error(form.file, None, "", "is missing",
                           f"add {form.file}; docs/house-folder.md shows one")  # fmt: skip
            draft.unread_kinds.add(form.kind.kind_name)
    begun = draft.lines_of("sketch") or draft.lines_of("backdrop")  # a house that is being drawn
    roomless = "room" not in draft.unread_kinds and not draft.lines_of("room")
    if "rooms.csv" in data and roomless and not begun:
        problems.error("rooms.csv", None, "", "has no rooms", "add one row a room")
    facts = Facts(draft.facts.values())
    _check(facts, draft, house_lines)
    kept = pictures.checked(facts, plans, problems)
    if errors := problems.errors():
        raise FolderError(errors)
    return Loaded(facts, problems.warnings(), tuple(files), draft.lines, kept)


def _one(file: str, text: str, draft: Draft, house_lines: dict[str, int]) -> bool:
    """Read one file into the draft; False where its frame is wrong."""
    if file == HOUSE.file:
        house, lines = read_house(text, draft.problems)
        house_lines.update(lines)
        draft.lines["house", "house"] = (file, 1)
        if house is not None:
            draft.facts["house", "house"] = house
        return house is not None
    form = next(f for f in TABLES if f.file == file)
    table = read_table(text, file, form.known, form.needed, draft.problems, form.most)
    if table is None:
        return False
    draft.names[form.kind.kind_name] = table.names
    read_rows(form, table, draft)
    return True


def _check(facts: Facts, draft: Draft, house_lines: dict[str, int]) -> None:
    """Hold the facts against one another; what is broken is named where it stands."""
    found = chain(rules.broken(facts, lacks=draft.lacks), _of_unread(facts, draft))
    for broken in islice(found, MOST_BROKEN):
        form = FORM_OF[broken.kind]
        file, line = draft.lines.get((broken.kind, broken.id), (form.file, None))
        column = form.column_of(broken.field) if broken.field else ""
        if broken.kind == House.kind_name:
            line = house_lines.get(broken.field, house_lines.get(broken.field.partition(".")[0]))
        column = draft.names.get(broken.kind, {}).get(column, column)
        note = draft.problems.error if broken.severity == "error" else draft.problems.warn
        note(file, line, column, broken.wrong, broken.do)


def _of_unread(facts: Facts, draft: Draft) -> Iterator[rules.Broken]:
    """References of rows that could not become facts: their errors are wanted at once too."""
    dangling = Dangling(facts, draft.lacks)
    for (kind, id), values in draft.unread.items():
        model = FORM_OF[kind].kind
        for field, target in model.references.items():
            held = id if field == "id" else values.get(field)
            for one in held if isinstance(held, tuple) else (held,):
                if one and one not in model.open_ends:
                    yield from dangling(model, id, field, target, one)
