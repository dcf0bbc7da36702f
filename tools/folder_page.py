"""Write the tables of columns into docs/house-folder.md, from the forms that the reader uses.

What stands between a table and the next heading is written by hand and stays. A file that has no
section yet gets one at the end.
"""

import re
from pathlib import Path

from roomwright.exchange.forms import FORMS
from roomwright.exchange.schemas import table

PAGE = Path(__file__).resolve().parents[1] / "docs" / "house-folder.md"


def page() -> str:
    """Return the page with every form's words and table as the code has them."""
    text = PAGE.read_text(encoding="utf-8")
    for form in FORMS:
        head = f"### {form.file}\n"
        if head not in text:
            text = text.rstrip() + f"\n\n{head}{form.says}\n\n{table(form)}\n"
            continue
        before, _, after = text.partition(head)
        section, heading, rest = after.partition("\n### ")
        old = re.search(r"(^\|.*\n?)+", section, flags=re.MULTILINE)
        section = section.replace(old[0] if old else "", table(form).rstrip() + "\n", 1)
        text = before + head + section + heading + rest
    return text
