"""Which code runs the samples: compiled where numba can be imported, else numpy."""

from __future__ import annotations

import importlib
import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any


@dataclass(frozen=True, slots=True)
class Engine:
    """The functions of one way of computing, and whether its samples may share out threads."""

    name: str
    threads: bool
    block: Callable[..., Any]
    sweep: Callable[..., None]
    work: Callable[..., Any]
    once: Callable[..., None]


_LOCK = threading.Lock()


def engine(compiled: bool | None = None) -> Engine:
    """Return the compiled engine or the plain one; the compiled one, if it can be had, for None.

    Raises
    ------
    ImportError
        if the compiled one is asked for and cannot be had
    """
    with _LOCK:  # two threads must not import it at once
        return _engine(compiled)


def loaded() -> bool:
    """Return whether the compiled engine is at hand, without the seconds that loading it takes."""
    return "roomwright.chances.sweep" in sys.modules and _engine.cache_info().currsize > 0


@lru_cache(maxsize=3)
def _engine(compiled: bool | None) -> Engine:
    if compiled is None:
        try:
            return _engine(True)
        except ImportError:
            return _engine(False)
    place = importlib.import_module(f"roomwright.chances.{'sweep' if compiled else 'plain'}")
    name = "numba" if compiled else "numpy"
    return Engine(name, compiled, place.block, place.sweep, place.work, place.once)
