"""Letter paper from a template of this package: all content comes in, nothing is computed there."""

from __future__ import annotations

import json
import threading
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any

import typst

from roomwright.drawing import typeface

_LOCK = threading.Lock()  # one typesetter, one sheet at a time


@cache
def _source(template: str) -> bytes:
    return resources.files("roomwright.sheets").joinpath(template).read_bytes()


@cache
def _compiler() -> typst.Compiler:
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(typeface.FONTS)]
    )
    return typst.Compiler(b"", font_paths=fonts, ignore_system_fonts=True)


def pdf_of(
    template: str, content: Mapping[str, Any], pictures: Mapping[str, str] | None = None
) -> bytes:
    """Return a PDF; the same content gives the same bytes.

    Parameters
    ----------
    template
        Name of a ``.typ`` file of this package; it reads `content` as JSON and each of `pictures`
        (name to SVG) from ``sys.inputs``.
    """
    inputs = {"content": json.dumps(content, ensure_ascii=False), **(pictures or {})}
    with _LOCK:
        made = _compiler().compile(_source(template), format="pdf", sys_inputs=inputs, timestamp=0)
    if not isinstance(made, bytes):
        raise TypeError("the typesetter gave no single file")
    return made
