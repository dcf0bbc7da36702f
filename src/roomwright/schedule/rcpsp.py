"""Reads a project with limited resources in the public single-mode text format.

The format is that of the project scheduling library of Kolisch and Sprecher [1]_: sections between
lines of asterisks, for jobs with a duration, successors, and how much of each renewable resource
they take while they last. The files serve as tests for levelling; they are not ours to give away.

References
----------
.. [1] Kolisch, Sprecher (1996), "PSPLIB - a project scheduling problem library", European Journal
   of Operational Research 96, 205-216.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from roomwright.schedule.network import Activity, Link, Network, NetworkError

LARGEST: Final = 1_000_000
"""Longer texts are no such file [characters]."""
MOST_JOBS: Final = 2_000
MOST_RESOURCES: Final = 50
_NUMBERS: Final = re.compile(r"[0-9]{1,9}(?:\s+[0-9]{1,9})*", re.ASCII)
_RULE: Final = re.compile(r"[*-]{5,}")


class RcpspError(ValueError):
    """A text that is no project of this format; `line` counts from 1, 0 where it is the whole."""

    def __init__(self, line: int, wrong: str) -> None:
        self.line, self.wrong = line, wrong
        super().__init__(f"line {line}: {wrong}" if line else wrong)


@dataclass(frozen=True, slots=True)
class Instance:
    """A project: its network, how much there is of each resource, who takes how much.

    `length` is the published length of the critical path without resources, None where the file
    gives none.
    """

    network: Network
    most: Mapping[str, int]
    takes: Mapping[str, Mapping[str, int]]
    length: int | None = None


def read(text: str) -> Instance:
    """Return the project of a file's text.

    Raises
    ------
    RcpspError
        with the line, for anything that is not as the format has it

    Examples
    --------
    >>> small = read('''PRECEDENCE RELATIONS:
    ... jobnr. #modes #successors successors
    ...  1 1 2 2 3
    ...  2 1 1 4
    ...  3 1 1 4
    ...  4 1 0
    ... ****************
    ... REQUESTS/DURATIONS:
    ... jobnr. mode duration R 1
    ...  1 1 0 0
    ...  2 1 3 2
    ...  3 1 4 2
    ...  4 1 0 0
    ... ****************
    ... RESOURCEAVAILABILITIES:
    ...  R 1
    ...  3
    ... ****************''')
    >>> len(small.network), dict(small.most), dict(small.takes["3"])
    (4, {'R1': 3}, {'R1': 2})
    """
    if len(text) > LARGEST:
        raise RcpspError(0, f"has over {LARGEST:,} characters: this is no such file")
    lines = text.splitlines()
    follows = _rows(lines, "PRECEDENCE RELATIONS")
    asks = _rows(lines, "REQUESTS/DURATIONS")
    there = _rows(lines, "RESOURCEAVAILABILITIES")
    if len(there) != 1:
        raise RcpspError(there[1][0], "resources are told twice: keep one line of numbers")
    at, amounts = there[0]
    if len(amounts) > MOST_RESOURCES:
        raise RcpspError(at, f"{len(amounts)} resources: at most {MOST_RESOURCES} are read")
    if len(follows) > MOST_JOBS:
        raise RcpspError(follows[MOST_JOBS][0], f"more jobs than the {MOST_JOBS} that are read")
    most = {f"R{n}": amount for n, amount in enumerate(amounts, 1)}
    successors = _successors(follows)
    days, takes = _requests(asks, most)
    for id in sorted(successors.keys() ^ days.keys(), key=int):
        lacks = "duration" if id in successors else "line of successors"
        raise RcpspError(0, f"job {id} has no {lacks}: give every job both")
    try:
        network = Network(
            (Activity(id, n) for id, n in days.items()),
            (Link(id, other) for id, others in successors.items() for other in others),
        )
    except NetworkError as wrong:
        raise RcpspError(0, wrong.problems[0]) from None
    return Instance(network, most, takes, _length(lines))


def _rows(lines: list[str], title: str) -> list[tuple[int, list[int]]]:
    """Return the rows of numbers of a section with their line numbers."""
    begins = [n for n, line in enumerate(lines) if line.strip().upper().startswith(title)]
    if not begins:
        raise RcpspError(0, f"has no section {title}: is it a single-mode file?")
    if len(begins) > 1:
        raise RcpspError(begins[1] + 1, f"a second section {title}: keep one")
    found: list[tuple[int, list[int]]] = []
    for n in range(begins[0] + 1, len(lines)):
        plain = lines[n].strip()
        if plain.startswith("*"):
            break
        if _NUMBERS.fullmatch(plain):
            found.append((n + 1, [int(word) for word in plain.split()]))
        elif found and plain and not _RULE.fullmatch(plain):
            raise RcpspError(n + 1, f"“{plain[:40]}” is not a row of whole numbers")
    if not found:
        raise RcpspError(begins[0] + 1, f"section {title} has no rows")
    return found


def _successors(rows: list[tuple[int, list[int]]]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for line, row in rows:
        if len(row) < 3:
            raise RcpspError(line, "give job, modes, number of successors, successors")
        job, modes, count, *others = row
        if modes != 1:
            raise RcpspError(line, f"job {job} has {modes} modes: only single-mode files are read")
        if len(others) != count:
            raise RcpspError(line, f"job {job} says {count} successors and names {len(others)}")
        if str(job) in found:
            raise RcpspError(line, f"job {job} is there twice")
        if len(set(others)) < count:
            raise RcpspError(line, f"job {job} names a successor twice")
        found[str(job)] = [str(other) for other in others]
    return found


def _requests(
    rows: list[tuple[int, list[int]]], most: Mapping[str, int]
) -> tuple[dict[str, int], dict[str, dict[str, int]]]:
    days: dict[str, int] = {}
    takes: dict[str, dict[str, int]] = {}
    for line, row in rows:
        if len(row) != 3 + len(most):
            raise RcpspError(line, f"give job, mode, duration and {len(most)} amounts")
        job, mode, lasts, *amounts = row
        if mode != 1 or str(job) in days:
            raise RcpspError(line, f"job {job} has more than one mode: only one is read")
        if lasts > MOST_JOBS:
            raise RcpspError(line, f"job {job} lasts {lasts}: at most {MOST_JOBS} are read")
        days[str(job)] = lasts
        wanted = takes[str(job)] = {
            name: n for name, n in zip(most, amounts, strict=True) if n and lasts
        }
        for name, amount in wanted.items():
            if amount > most[name]:
                raise RcpspError(
                    line, f"job {job} takes {amount} of {name}, and there are {most[name]}"
                )
    return days, takes


def _length(lines: list[str]) -> int | None:
    """Return the published length without resources: the last number of the project's line."""
    for n, line in enumerate(lines):
        if line.strip().upper().startswith("PROJECT INFORMATION"):
            for row in lines[n + 1 : n + 4]:
                if _NUMBERS.fullmatch(row.strip()) and len(row.split()) == 6:
                    return int(row.split()[5])
    return None
