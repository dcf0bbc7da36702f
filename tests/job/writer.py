"""A process that moves the table back and forth and says each move that was acknowledged.

    python -m tests.job.writer URL NAME COUNT

`last_acknowledged` and `check_nothing_lost` are for any test that kills a writer, whatever wrote.
"""

import sys
from collections.abc import Iterable
from fractions import Fraction

from roomwright.commands import Move, run
from roomwright.job import doctor
from roomwright.job.store import Store


def place(number: int, name: str = "w") -> Fraction:
    """Where the table's center is after move `number` of a writer: each leaves its own mark."""
    return ord(name) + Fraction(number, 64)


def main(url: str, name: str, count: int) -> None:
    with Store(url) as store:
        for number in range(1, count + 1):
            move = Move(piece="T1", x=place(number, name))
            done = run(store, "test-house", move, who=name, command_id=f"{name}-{number}")
            print(f"{number} {done.sequence}", flush=True)  # acknowledged


def check_nothing_lost(
    url: str, acknowledged: Iterable[tuple[str, int]], job_id: str = "test-house"
) -> None:
    """Open the store again: every acknowledged (command id, sequence) is there; all is well."""
    with Store(url) as store:
        journal = {e.command_id: e.sequence for e in store.journal(job_id)}
        lost = [(c, s) for c, s in acknowledged if journal.get(c) != s]
        assert not lost, f"acknowledged and lost: {lost}"
        assert doctor.examine(store) == []


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
