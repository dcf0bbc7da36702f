"""How the kernels are compiled, and where what was compiled is kept.

numba keeps compiled code by the time stamp of the one file a function stands in. A kernel that
calls another in a second file would go on with the old code of that one after a change, and files
of an installed package all have one time stamp. So the code is kept in a folder whose name is a
hash of all sources of this package: other sources, other folder.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar, cast

import numba

F = TypeVar("F", bound=Callable[..., Any])
_TYPES = {"rows": "i4[:,::1]", "tables": "i4[:,:,::1]", "list": "i4[::1]"}
HERE = Path(__file__).resolve().parent


@lru_cache(maxsize=1)
def folder() -> Path | None:
    """Return the folder for the code compiled from these very sources; None if there can be none.

    Beside the sources if one may write there, else in the cache folder of the user.
    """
    whole = hashlib.blake2b(numba.__version__.encode(), digest_size=8)
    for source in sorted(HERE.glob("*.py")):
        whole.update(source.read_bytes())
    own = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "roomwright"
    for parent in (HERE / "__pycache__", own):
        here = parent / f"chances-{whole.hexdigest()}"
        try:
            here.mkdir(parents=True, exist_ok=True)
            with tempfile.TemporaryFile(dir=here):
                pass
        except OSError:
            continue
        for old in parent.glob("chances-*"):
            if old != here:
                shutil.rmtree(old, ignore_errors=True)
        return here
    return None


def compiled(types: str = "") -> Callable[[F], F]:
    """Return a decorator that compiles without the interpreter's lock, and keeps the code.

    `types` are those of the arguments of a function that returns nothing, so that it is compiled
    once and not for each mixture of whole numbers: ``rows``, ``tables``, ``list`` of 32-bit
    numbers, or numba's own names. Without them it is compiled at its first call.
    """
    words = [_TYPES.get(w, w) for w in types.split()]
    signature = f"void({', '.join(words)})" if words else None

    def apply(function: F) -> F:
        settings: Any = numba.config
        kept, before = folder(), settings.CACHE_DIR
        try:  # read where the decorator is applied, so it is set for just that long
            settings.CACHE_DIR = "" if kept is None else str(kept)
            made: Any = numba.njit(signature, nogil=True, cache=kept is not None)(function)
        finally:
            settings.CACHE_DIR = before
        return cast(F, made)

    return apply
