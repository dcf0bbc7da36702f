"""The whole radar of Tern Hollow: orders, network, futures, chances, Today, one line's decision."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from roomwright.answers import Answers, orders, today
from roomwright.answers.chances import chances
from roomwright.answers.futures import SAMPLES, futures
from roomwright.answers.order_by import chases, decision
from roomwright.answers.whole_network import whole
from roomwright.chances import warm
from roomwright.exchange.folder import read_folder
from roomwright.job.entities import Activity, Part

ROOT = Path(__file__).resolve().parents[1]
FACTS = read_folder(ROOT / "examples" / "tern-hollow").facts
DAY = date(2027, 3, 29)
warm()


def before() -> Answers:
    """Answers with all that the plain pages ask already: what the radar adds is measured."""
    answers = Answers(FACTS, as_of=DAY)
    answers.ask(orders.orders)
    return answers


def radar() -> None:
    """Everything anew: who costs how many days, how sure each date is, what to do first."""
    answers = before()
    answers.ask(chances, SAMPLES)
    answers.ask(today.today)
    answers.ask(chases, SAMPLES)
    answers.ask(decision, "L019")


def of_today() -> None:
    """What Today needs: each line alone."""
    before().ask(today.today)


KEPT = before()
KEPT.ask(futures, SAMPLES)


def one_line() -> None:
    """One line's decision at another confidence, the futures known."""
    KEPT.moved(FACTS).ask(decision, "L019", 81)


LINES = len(KEPT.ask(whole).ways)
SIZE = f"{len(FACTS.ids(Activity))} activities, {LINES} of {len(FACTS.ids(Part))} lines to come"
CASES = [
    ("whole radar", f"Tern Hollow, {SIZE}, {SAMPLES:,} futures", 100.0, radar, "", None),
    ("Today by futures", f"Tern Hollow, {SIZE}", None, of_today, "", None),
    ("one line's decision", "Tern Hollow, the range, futures known", None, one_line, "", None),
]
