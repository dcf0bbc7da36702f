"""Facts as text and back: canonical JSON, with old shapes lifted when read."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from pydantic import ValidationError

from roomwright.job.entities import KINDS, Fact
from roomwright.job.errors import NewerStoreError, StoreError

Body = dict[str, Any]
Lift = Callable[[Body], Body]

LIFTS: dict[tuple[str, int], Lift] = {}
"""(kind, shape) -> how a body of that shape becomes one of the next.

When a model of `entities` changes so that an old body would no longer be read right, its `shape`
goes up by one and the way from the old shape is written here. Bodies in the store stay as they
were written.
"""


def canonical(value: Any) -> str:
    """Return the one JSON text of a value: keys sorted, no blanks, text as it is.

    >>> canonical({"b": 1, "a": ["½", None]})
    '{"a":["½",null],"b":1}'
    """
    return json.dumps(
        value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )


def body_of(fact: Fact) -> Body:
    """Return a fact as plain JSON values; lengths as exact text, dates as ISO."""
    return fact.model_dump(mode="json")


def lifted(
    kind: str,
    shape: int,
    body: Body,
    *,
    kinds: Mapping[str, type[Fact]] = KINDS,
    lifts: Mapping[tuple[str, int], Lift] = LIFTS,
) -> Fact:
    """Return the fact that a stored body holds, lifted to today's shape.

    Raises
    ------
    NewerStoreError
        for a shape that this program doesn't know yet.
    StoreError
        for a body that can't be read.
    """
    model = kinds.get(kind)
    if model is None or shape > model.shape:
        raise NewerStoreError(
            f"{kind} “{body.get('id', '')}” was written by a newer Roomwright: "
            "update this program before opening the house."
        )
    for step in range(shape, model.shape):
        body = lifts[kind, step](dict(body))
    try:
        return model.model_validate(body)
    except ValidationError as error:
        why = error.errors()[0]["msg"]
        raise StoreError(
            f"{kind} “{body.get('id', '')}” in the store can't be read: {why}. "
            "Run `roomwright doctor`."
        ) from error
