"""``schedule-check``: what is missing, doubtful or out of order in the network."""

from __future__ import annotations

from roomwright.answers import Answers
from roomwright.answers.schedule_check import ScheduleCheck, schedule_check
from roomwright.cli.subject import Subject
from roomwright.days import show_days


def _text(answers: Answers, found: ScheduleCheck) -> None:
    from roomwright.cli.subjects import OUT

    if not found.activities:
        OUT.print("This house has no activities yet.")
        return
    others = ", ".join(f"{n} {k}" for k, n in found.kinds.items() if n and k != "finish to start")
    OUT.print(
        f"{found.activities} activities, {found.left} of them left; {found.links} links"
        + (f" ({others}; else finish to start)" if others else "")
        + f", {found.lags} with a lag, {found.leads} with a lead."
    )
    if found.promise_float is not None:
        late = found.promise_float < 0
        days = show_days(abs(found.promise_float))
        OUT.print(f"The tightest promise is {'over by' if late else 'kept with'} {days}.")
    OUT.print()
    OUT.print(f"Paths with at most {show_days(found.near.value)} of slack", style="bold")
    for path in found.paths:
        slack = "critical" if path.slack == 0 else f"{show_days(path.slack)} of slack"
        OUT.print(f"- {slack}: {_apart(path.activities, found.paths[0].activities)}")
    if found.more_paths:
        OUT.print("- and others with no less slack")
    OUT.print()
    OUT.print(f"{len(found.findings)} findings", style="bold")
    for one in found.findings:
        OUT.print(f"- {one.weight}, {one.check}: {one.text} {one.do}")


def _apart(path: tuple[str, ...], first: tuple[str, ...]) -> str:
    """Return a path; of one that leaves the first and comes back to it, what lies between.

    >>> _apart(("A", "B", "X", "C", "D"), ("A", "B", "C", "D"))
    '... B > X > C ...'
    """
    if path == first:
        return " > ".join(path)
    least = min(len(path), len(first))
    same = next((n for n in range(least) if path[n] != first[n]), least)
    ends = next((n for n in range(least - same) if path[-1 - n] != first[-1 - n]), least - same)
    shown = path[max(0, same - 1) : len(path) - ends + (ends > 0)]
    before, after = "... " if same > 1 else "", " ..." if ends > 1 else ""
    return f"{before}{' > '.join(shown)}{after}"


SUBJECT = Subject(
    lambda a: a.ask(schedule_check), lambda _, c: c.as_json(), _text, lambda c: not c.passes
)
