"""``chances`` and ``orders --line``: how sure each date is, and one line's decision."""

from __future__ import annotations

from datetime import date
from typing import Any, Final

from roomwright.answers import Answers
from roomwright.answers.chances import chances, other_strengths
from roomwright.answers.chances_model import ChancesAnswer, Sure
from roomwright.answers.chances_words import days, percent, waits, worth
from roomwright.answers.futures import SAMPLES
from roomwright.answers.joint_orders import OrderPlan, order_plan
from roomwright.answers.order_by import CONFIDENCE, decision
from roomwright.answers.order_by_model import By, Decision, DecisionError
from roomwright.cli.subject import Subject
from roomwright.days import show_date

MOST: Final = 12
"""So many lines and works that cost most are listed."""


def _ask(answers: Answers, confidence: str = "", line: str = "", samples: str = "") -> Any:
    wanted = whole(samples or str(SAMPLES), "samples", 100, 200_000)
    sure = whole(confidence or str(CONFIDENCE), "confidence", 1, 99)
    return answers.ask(chances, wanted), sure, line, wanted


def whole(text: str, name: str, least: int, most: int) -> int:
    """Return a whole number within bounds, or refuse in words.

    >>> whole("80", "confidence", 1, 99)
    80
    """
    if not text.isdecimal() or not least <= int(text[:12]) <= most:
        raise DecisionError(f"{name} {text}: give a whole number from {least:,} to {most:,}")
    return int(text)


def as_json(answers: Answers, asked: tuple[ChancesAnswer, int, str, int]) -> dict[str, Any]:
    """Return the documented fields; of one line where one was asked for."""
    found, sure, line, _ = asked
    return found.at(sure, line)


def _text(answers: Answers, asked: tuple[ChancesAnswer, int, str, int]) -> None:
    from roomwright.cli.subjects import OUT

    found, sure, line, samples = asked
    if found.end is None or found.plan is None or found.site is None:
        OUT.print("This house has no activities, so nothing can be late.")
        return
    say = _days(found.as_of)
    OUT.print(f"Done by {say(found.plan)} by the plan's likely days; {_sure(found.end, say)}.")
    OUT.print(f"If every part came in time: {_sure(found.site, say)}.")
    promise = found.sure_by(sure / 100)
    OUT.print(f"To promise with {sure} %: {say(promise) if promise else 'not known'}.")
    for times, end in answers.ask(other_strengths, samples):
        what = "twice as much" if times else "nothing"
        OUT.print(f"If trades and makers had {what} in common: 80 % sure by {say(end.p80)}.")
    OUT.print(
        f"{samples:,} futures. Most chances are guesses, not history: each line says what it "
        "rests on."
    )
    _lines(found, line, say)
    if not line:
        _work(found, say)
    for note in found.notes:
        OUT.print(note)


def _lines(found: ChancesAnswer, line: str, say: Any) -> None:
    from roomwright.cli.subjects import OUT, _table

    table = _table("line", "room", "what", "needed", "lands", "too late", "alone", "as it stands",
                   "rests on")  # fmt: skip
    shown = [r for r in found.lines if r.line == line] if line else found.trucks[:MOST]
    for row in shown:
        more = f" and {len(row.together)} more with it" if row.together else ""
        table.add_row(
            row.line, row.room, f"{row.name}{more}", say(row.needed.p50),
            f"{say(row.lands.p50)} to {say(row.lands.p90)}", percent(row.late),
            days(row.alone.days), days(row.caused.days),
            "; ".join(dict.fromkeys(w.basis for w in row.rests if w.basis)),
        )  # fmt: skip
    if line and not shown:
        OUT.print(f"Line {line} is here, or nothing waits for it, or there is no such line.")
        return
    OUT.print()
    OUT.print("Orders that cost most days of move-in", style="bold")
    OUT.print(table)


def _work(found: ChancesAnswer, say: Any) -> None:
    from roomwright.cli.subjects import OUT, _table

    table = _table("id", "what", "planned", "80 % sure", "critical", "costs")
    for one in found.work[:MOST]:
        if one.caused is not None and one.caused.days >= 0.05:
            table.add_row(one.id, one.name, say(one.planned), say(one.done.p80),
                          percent(one.critical), days(one.caused.days))  # fmt: skip
    OUT.print()
    OUT.print("Work that costs most days of move-in", style="bold")
    OUT.print(table)


def _days(reference: date) -> Any:
    return lambda day: show_date(day, reference)


def _sure(one: Sure, say: Any) -> str:
    return f"50 % sure by {say(one.p50)}, 80 % by {say(one.p80)}, 90 % by {say(one.p90)}"


# --- orders --line ---------------------------------------------------------------------------


def _decide(answers: Answers, line: str, confidence: str = "", samples: str = "") -> Decision:
    sure = whole(confidence or str(CONFIDENCE), "confidence", 1, 99)
    wanted = whole(samples or str(SAMPLES), "samples", 100, 200_000)
    found = answers.ask(decision, line, sure, wanted)
    if found is None:
        raise DecisionError(
            f"line {line} is on hand, or the work that needed it is done, or there is no such line"
        )
    return found


def _decision_text(answers: Answers, found: Decision) -> None:
    from roomwright.cli.subjects import OUT

    say = _days(found.as_of)
    OUT.print(f"Line {found.line}: here when needed {percent(found.sure_today)}; it costs "
              f"{days(found.days.value)} of move-in on average.")  # fmt: skip
    if found.by is not None:
        OUT.print(_by(found.by, "Order by", say, found.inspect_days))
    if found.jointly is not None and found.visit > 1:
        OUT.print(f"{_by(found.jointly, 'For the whole visit order by', say, 0)} "
                  f"{found.together}.")  # fmt: skip
    if found.wait is not None:
        OUT.print(f"A week's wait {waits(found.wait, found.day_costs)}.")
    for n, sooner in found.hurry:
        OUT.print(f"Having it {days(n)} sooner is worth {worth(sooner, found.day_costs)}.")
    if found.chase is not None:
        OUT.print(f"As promised it would save {days(found.chase.saved.value)}.")
    OUT.print(f"This rests on {found.basis}.")


def _by(by: By, words: str, say: Any, inspect: int) -> str:
    """Return a last day in words."""
    sure = percent(by.asked)
    if by.day is None:
        return f"{words}: too late to be {sure} sure; ordered today it is {percent(by.sure)}."
    left = f", {days(inspect)} to inspect it counted" if inspect else ""
    return f"{words} {say(by.day)} to be {sure} sure{left}."


def _plan(answers: Answers) -> OrderPlan:
    found = answers.ask(order_plan)
    if found is None:
        raise DecisionError(
            "this house gives no limits: say room_most, cash_most or receipts_most (set keeping, "
            "or keeping.csv)"
        )
    return found


def _plan_text(answers: Answers, found: OrderPlan) -> None:
    from roomwright.cli.subjects import OUT, _table

    say = _days(answers.as_of)
    OUT.print(f"{found.plan.text[:1].upper()}{found.plan.text[1:]}.")
    for words in found.binding:
        OUT.print(f"Binds: {words}.")
    for words in found.notes:
        OUT.print(f"{words}.")
    table = _table("order on", "line", "with it")
    for line, day, others in sorted(found.days, key=lambda d: (d[1], d[0])):
        table.add_row(say(day), line, ", ".join(others))
    OUT.print(table)


PLAN = Subject(
    _plan, lambda _, found: found.as_json(), _plan_text,
    lambda found: found.plan.status != "proved",
)  # fmt: skip
CHANCES = Subject(_ask, as_json, _text, lambda asked: asked[0].bias > 0)
DECISION = Subject(
    _decide,
    lambda _, found: found.as_json(),
    _decision_text,
    lambda found: found.by is not None and found.by.day is None,
)
