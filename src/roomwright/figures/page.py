"""The table of every figure, as docs/figures.md prints it.

``python -m roomwright.figures.page docs/figures.md`` writes it between the page's two marks.
"""

from __future__ import annotations

import sys
from pathlib import Path

from .book import Book, load

BEGIN, END = "<!-- figures: begin (written from the data) -->", "<!-- figures: end -->"


def table(book: Book) -> str:
    """Markdown: one table a set, its sources, then the seat rules."""
    out: list[str] = []
    for name, layer in book.layers.items():
        note = "" if name in book.sets else " (under every set)"
        out += [f"### {name}{note}", ""]
        if name in book.sets:
            out += ["Fills what it leaves out from: " + ", ".join(book.chains[name][1:]) + ".", ""]
        out += [
            "| key | value | what it is for | source, edition, section | standing | note |",
            "|---|---|---|---|---|---|",
        ]
        out += [
            f"| `{f.key}` | {f.shown()} | {f.title} | {f.source}, {f.edition}; {f.section} "
            f"| {f.standing} | {f.note} |"
            for f in layer.values()
        ]
        out.append("")
    out += ["### Seat rules", ""]
    for rule in book.seat_tables.values():
        rows = "; ".join(
            f"{r.seats} people: {float(r.least):g} in. at least, {float(r.recommended):g} in. "
            "recommended"
            for r in rule.rows
        )
        said = [f"* **{rule.name}**: {rule.cite()}.", f"{rows}." if rows else "", rule.note + "."]
        out.append(" ".join(part for part in said if part))
    return "\n".join(out) + "\n"


def written(page: str, book: Book) -> str:
    """The page with its table replaced by the data's."""
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n\n{table(book)}\n{END}{after}"


if __name__ == "__main__":  # pragma: no cover
    path = Path(sys.argv[1])
    path.write_text(written(path.read_text(encoding="utf-8"), load()), encoding="utf-8")
