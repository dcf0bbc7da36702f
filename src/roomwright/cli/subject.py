"""What a reading command knows of its subject."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from roomwright.answers import Answers


@dataclass(frozen=True, slots=True)
class Subject:
    """How a subject is asked, put into JSON and into text, and what counts as a finding."""

    ask: Callable[..., Any]
    as_json: Callable[[Answers, Any], dict[str, Any]]
    as_text: Callable[[Answers, Any], None]
    wrong: Callable[[Any], bool]
