"""What is wrong with a folder of files, where, and what to do about it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Severity = Literal["error", "warning"]

MOST_A_FILE = 100
"""So many errors of one file are listed; the rest are counted."""


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing wrong in a folder.

    `line` counts from 1 and is None where the whole file is meant; `column` is the name of the
    column or key, or "". An error keeps the folder from being loaded; a warning does not.

    >>> print(Problem("error", "rooms.csv", 4, "outline", "walls A and C cross", "reorder them"))
    rooms.csv, line 4, outline: walls A and C cross -> reorder them
    """

    severity: Severity
    file: str
    line: int | None
    column: str
    wrong: str
    do: str

    def __str__(self) -> str:
        place = [self.file]
        if self.line is not None:
            place.append(f"line {self.line}")
        if self.column:
            place.append(self.column)
        return f"{', '.join(place)}: {self.wrong} -> {self.do}"

    def as_json(self) -> dict[str, str | int | None]:
        """Return the problem as plain values."""
        return {name: getattr(self, name) for name in self.__slots__}


class FolderError(ValueError):
    """A folder that cannot be loaded; `problems` holds every error of every file at once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, self.problems)))


class Problems:
    """Collects problems while files are read; at most `MOST_A_FILE` errors a file are kept."""

    def __init__(self) -> None:
        self._kept: list[Problem] = []
        self._seen: Counter[tuple[str, str]] = Counter()

    def error(self, file: str, line: int | None, column: str, wrong: str, do: str) -> None:
        """Note what keeps the folder from being loaded."""
        self._note(Problem("error", file, line, column, wrong, do))

    def warn(self, file: str, line: int | None, column: str, wrong: str, do: str) -> None:
        """Note what a person should look at; the folder still loads."""
        self._note(Problem("warning", file, line, column, wrong, do))

    def _note(self, problem: Problem) -> None:
        key = problem.severity, problem.file
        self._seen[key] += 1
        if self._seen[key] <= MOST_A_FILE:
            self._kept.append(problem)

    def errors(self) -> tuple[Problem, ...]:
        """Return the errors, by file and line."""
        return self._sorted("error")

    def warnings(self) -> tuple[Problem, ...]:
        """Return the warnings, by file and line."""
        return self._sorted("warning")

    def _sorted(self, severity: Severity) -> tuple[Problem, ...]:
        kept = [p for p in self._kept if p.severity == severity]
        for (level, file), count in self._seen.items():
            if level == severity and count > MOST_A_FILE:
                more = f"{count - MOST_A_FILE} more of these are not listed"
                kept.append(Problem(severity, file, None, "", more, "mend the ones listed first"))
        # what concerns a whole file comes first in it, except the count of the rest
        return tuple(sorted(kept, key=lambda p: (p.file, p.line is None and "more of" in p.wrong,
                                                 p.line or 0)))  # fmt: skip
