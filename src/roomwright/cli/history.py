"""The command `history`: what makers and crews did so far, in words and as JSON."""

from __future__ import annotations

from collections.abc import Iterable

from rich.table import Table

from roomwright.answers import Answers
from roomwright.answers.history_page import HistoryAnswer, Pace, history_page
from roomwright.cli.subject import Subject
from roomwright.days import show_date


def text(answers: Answers, found: HistoryAnswer) -> None:
    """Print makers, trades, and how past 80 % days came true."""
    from roomwright.cli.subjects import OUT

    if not found.makers and not found.crews:
        OUT.print("Nothing has come and nothing is finished yet: all chances are guesses.")
        return
    OUT.print(f"Orders: {found.kept.text}.")
    OUT.print(_table("maker", "days taken for each day promised", found.makers))
    OUT.print(f"Work: {found.works.kept.text}.")
    OUT.print(_table("trade", "days taken for each day planned", found.crews))
    wrong = [s for s in found.said if s.kept is False]
    for one in wrong:
        c = one.consignment
        came = "not here" if c.arrived is None else f"came {show_date(c.arrived, answers.as_of)}"
        OUT.print(
            f"- {c.order} of {c.maker or 'nobody named'}: {came}; promised "
            f"{show_date(c.promised, answers.as_of)}, 80 % sure within {one.days} working days"
        )


def _table(who: str, what: str, rows: Iterable[Pace]) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold", show_edge=False, title=what,
                  title_justify="left", title_style="")  # fmt: skip
    for column in (who, "came", "open", "overdue", "typical", "80 % sure", "behind it"):
        table.add_column(column, overflow="fold")
    for row in rows:
        table.add_row(row.name, str(row.came), str(row.open), str(row.late), f"{row.typical:.2f}",
                      f"{row.sure:.2f}", row.text)  # fmt: skip
    return table


SUBJECT = Subject(
    lambda a: a.ask(history_page),
    lambda _, h: h.as_json(),
    text,
    lambda h: any(m.late for m in h.makers),
)
