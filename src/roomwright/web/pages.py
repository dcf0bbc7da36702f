"""How a page is made: templates, the words and numbers in them, and the addresses of its files."""

from __future__ import annotations

import hashlib
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, pass_context
from jinja2.runtime import Context
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from roomwright import days, lengths
from roomwright.answers import chances_words
from roomwright.drawing.marks import mark

HERE = Path(__file__).resolve().parent
STATIC = HERE / "static"
THEMES = ("auto", "light", "dark", "bright")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def day(value: date | None, reference: date | None = None) -> str:
    """Print a date as a builder says it: Mar 29; with its year where that is another than here.

    >>> day(date(2027, 3, 29)), day(date(2026, 12, 9), date(2027, 3, 29)), day(None)
    ('Mar 29', 'Dec 9, 2026', 'not known')
    """
    return "not known" if value is None else days.show_date(value, reference)


@pass_context
def day_here(context: Context, value: date | None) -> str:
    """Print a date, with its year where that is another than the page's."""
    house = context.get("house")
    return day(value, house.as_of if house else None)


def weekday(value: date) -> str:
    """Print a date with its weekday: Mon Mar 29.

    >>> weekday(date(2027, 3, 29))
    'Mon Mar 29'
    """
    return f"{WEEKDAYS[value.weekday()]} {day(value)}"


def full_day(value: date) -> str:
    """Print a date with weekday and year: Mon Mar 29, 2027."""
    return f"{weekday(value)}, {value.year}"


def working_days(value: float | Fraction) -> str:
    """Print a count of days: 7 1/2 days."""
    return days.show_days(value)


def number(value: Fraction | float | int | Decimal) -> str:
    """Print a plain number as a builder writes it, halves as fractions.

    >>> number(2.5), number(Fraction(7)), number(-1)
    ('2 1/2', '7', '-1')
    """
    exact = Fraction(str(value)) if isinstance(value, float) else Fraction(value)
    whole, rest = divmod(abs(exact), 1)
    sign = "-" if exact < 0 else ""
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def sentence(text: str) -> str:
    """Print words as a sentence: a capital first, a full stop last.

    >>> sentence("50 of 52 ordered"), sentence("ask them. ")
    ('50 of 52 ordered.', 'Ask them.')
    """
    plain = text.strip()
    return f"{plain[:1].upper()}{plain[1:]}{'' if plain[-1:] in '.!?:' else '.'}"


def counted(value: Fraction | float | int, one: str, many: str | None = None) -> str:
    """Print a number with its noun: 1 day, 2 days.

    >>> counted(1, "day"), counted(2, "day"), counted(3, "inch", "inches")
    ('1 day', '2 days', '3 inches')
    """
    return f"{number(value)} {one if value == 1 else many or one + 's'}"


@lru_cache(maxsize=256)
def _stamp(path: str, changed: int) -> str:
    return hashlib.sha256((STATIC / path).read_bytes()).hexdigest()[:10]


def static(path: str) -> str:
    """Return the address of a file of the program, which changes when the file does."""
    return f"/static/{path}?v={_stamp(path, (STATIC / path).stat().st_mtime_ns)}"


def _environment() -> Environment:
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters.update(
        tape=lengths.tape,
        inches=lengths.inches,
        spoken=lengths.words,
        exact=lengths.exact,
        area=lengths.area,
        day=day_here,
        weekday=weekday,
        full_day=full_day,
        number=number,
        counted=counted,
        sentence=sentence,
        days=working_days,
        whole_days=chances_words.days,
        percent=chances_words.percent,
        money=chances_words.money,
        waits=chances_words.waits,
        worth=chances_words.worth,
    )
    made.globals.update(static=static, mark=mark)
    return made


ENVIRONMENT = _environment()


def theme_of(request: Request) -> str:
    """Return the screen the reader chose, from the cookie."""
    chosen = request.cookies.get("theme", "auto")
    return chosen if chosen in THEMES else "auto"


def part(name: str, **context: Any) -> Markup:
    """Render a piece of a page."""
    return Markup(ENVIRONMENT.get_template(name).render(**context))  # noqa: S704 - autoescaped


def page(request: Request, name: str, *, status: int = 200, **context: Any) -> HTMLResponse:
    """Render a page."""
    shown = {"house": None, "here": "", "done": None, **context}
    html = ENVIRONMENT.get_template(name).render(request=request, theme=theme_of(request), **shown)
    return HTMLResponse(html, status_code=status)
