"""The process that opens a stranger's picture or page: one typesetter and few resources.

It gets a folder with the one file in it, and writes a PNG to its standard output. It is started
for one file by `roomwright.sheets.picture` and given up on if it takes too long.
"""

from __future__ import annotations

import contextlib
import json
import sys
from pathlib import Path

MEMORY = 3 * 1024**3
"""Address space of the process [bytes]."""

SECONDS = 20
"""Processor time of the process [s]."""


def limited() -> None:
    """Take what this process does not need away from it."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))


def source(name: str, page: int, long_side: int) -> bytes:
    """The page to set: only the picture, its longer side so many points.

    >>> b'page: 3' in source("page.pdf", 3, 2000)
    True
    """
    which = f", page: {page}" if name.endswith(".pdf") else ""
    text = (
        "#set page(width: auto, height: auto, margin: 0pt)\n"
        f'#context {{ let it = image("{name}"{which}); let size = measure(it)\n'
        f"let long = calc.max(size.width, size.height)\n"
        f"scale({long_side}pt / long * 100%, reflow: true, it) }}\n"
    )
    return text.encode()


def main(folder: str, asked: str) -> int:
    """Make one PNG of one page or picture."""
    limited()
    import typst

    what = json.loads(asked)
    try:
        made = typst.compile(  # type: ignore[call-overload]  # its stub wants root as bytes too
            source(what["name"], what["page"], what["long_side"]),
            root=folder,
            format="png",
            ppi=72,
            ignore_system_fonts=True,
        )
    except Exception as no:  # whatever is wrong with it, it is the file
        sys.stderr.write(str(no)[:400])
        return 1
    sys.stdout.buffer.write(made if isinstance(made, bytes) else b"")
    return 0


if __name__ == "__main__":
    sys.exit(main(str(Path(sys.argv[1])), sys.argv[2]))
