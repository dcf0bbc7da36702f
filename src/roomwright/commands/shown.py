"""Forms that show every field of a thing: what is left empty there is emptied.

Nobody can send an empty field, only leave it out, and what a command leaves out stays as it is. So
a form says beside its fields which it showed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Annotated, Any

from pydantic import BeforeValidator

from roomwright.commands.base import BadCommandError
from roomwright.job.entities import Fact
from roomwright.job.words import value


def _names(given: Any) -> Any:
    return given.split() if isinstance(given, str) else given


Shown = Annotated[tuple[str, ...], BeforeValidator(_names)]
"""Names of the fields that a form showed, with blanks between them."""


def emptied(shown: Iterable[str], empty: Mapping[str, Any]) -> dict[str, Any]:
    """Return the fields that a form showed, as if all were left empty.

    Parameters
    ----------
    empty
        field -> what it holds where nothing is said

    Raises
    ------
    BadCommandError
        for a name that is no field

    >>> emptied(("phone",), {"phone": "", "claim_days": None})
    {'phone': ''}
    """
    wrong = [field for field in shown if field not in empty]
    if wrong:
        raise BadCommandError(("shown", f"{wrong[0]} is no field here: {', '.join(empty)}."))
    return {field: empty[field] for field in shown}


def differences(
    model: type[Fact],
    held: Fact | None,
    said: Mapping[str, Any],
    say: Callable[[str, Any], str] | None = None,
    names: Mapping[str, str] = MappingProxyType({}),
) -> list[str]:
    """Return each field that becomes another in words, and what it was.

    Parameters
    ----------
    say
        gives a field's value in words; as facts are read on site if not given
    names
        field -> what it is called, where that is not its own name
    """
    words = say or (lambda field, one: value(model, field, one))
    told = []
    for field, now in said.items():
        was = model.model_fields[field].get_default() if held is None else getattr(held, field)
        if now == was:
            continue
        name = names.get(field, field.replace("_", " "))
        before = "" if was in (None, "", ()) else f" (was {words(field, was)})"
        gone = now in (None, "", ())
        told.append(f"{name} {'taken out' if gone else words(field, now)}{before}")
    return told
