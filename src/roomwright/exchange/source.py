"""Bytes of a folder's files, taken with care: a folder may come from a stranger.

Only plain files with the names of a house folder are opened, never a link, a pipe or a device,
and never more than a stated number of bytes. Then bytes become text.
"""

from __future__ import annotations

import codecs
import difflib
import os
import stat
from collections.abc import Iterable
from pathlib import Path

from roomwright.exchange.problems import Problems

LARGEST_FILE = 8 * 1024 * 1024
"""No file of a house is larger than this [bytes]."""
MOST_ENTRIES = 10_000
"""So many entries of a folder are looked at."""

_ONE_KIND = {".xlsx", ".xls", ".ods", ".numbers"}


def gather(path: Path, names: Iterable[str], problems: Problems) -> dict[str, bytes]:
    """Return the bytes of the files in a folder whose names are wanted, whatever their case."""
    wanted = {name.lower(): name for name in names}
    try:
        entries = _entries(path)
    except NotADirectoryError:
        problems.error(path.name, None, "", "is a file", "name the folder that holds house.toml")
        return {}
    except (OSError, ValueError) as no:
        why = getattr(no, "strerror", None) or str(no)
        problems.error(str(path), None, "", f"cannot be opened ({why})", "check the folder's name")
        return {}
    found: dict[str, bytes] = {}
    for entry in entries:
        name = wanted.get(entry.lower())
        if name is None:
            _stranger(entry, list(wanted.values()), problems)
        elif name in found:
            problems.error(name, None, "", f"is there twice, also as {entry}", "keep one of them")
        elif (data := _bytes(path / entry, name, problems)) is not None:
            found[name] = data
    return found


def _entries(path: Path) -> list[str]:
    with os.scandir(path) as listing:
        names = [entry.name for _, entry in zip(range(MOST_ENTRIES), listing, strict=False)]
    return sorted(names)


def _stranger(entry: str, wanted: list[str], problems: Problems) -> None:
    """Say so where an unknown file looks as if it was meant to be read."""
    suffix = Path(entry).suffix.lower()
    if entry.startswith((".", "~")) or suffix not in {".csv", ".toml", ".tsv", *_ONE_KIND}:
        return
    shown = clip(entry)
    if suffix in _ONE_KIND:
        problems.warn(shown, None, "", "is a spreadsheet and is not read", "save it as CSV UTF-8")
        return
    near = difflib.get_close_matches(entry.lower(), wanted, n=1)
    do = f"rename it to {near[0]} if it is that file" if near else "it is left alone"
    problems.warn(shown, None, "", "is no file of a house folder and is not read", do)


def _bytes(path: Path, name: str, problems: Problems) -> bytes | None:
    """Read one plain file, or say why not; nothing here waits on a pipe or follows a link."""
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    flags |= getattr(os, "O_BINARY", 0)
    try:
        if path.is_symlink():
            problems.error(name, None, "", "is a link to another place", "put the file itself here")
            return None
        if not stat.S_ISREG(path.lstat().st_mode):
            problems.error(name, None, "", "is not a plain file", "put a plain file here")
            return None
        handle = os.open(path, flags)
        with os.fdopen(handle, "rb") as stream:
            if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
                problems.error(name, None, "", "is not a plain file", "put a plain file here")
                return None
            data = stream.read(LARGEST_FILE + 1)
    except OSError as no:
        why = no.strerror or "no reason given"
        problems.error(name, None, "", f"cannot be read ({why})", "check that you may open it")
        return None
    return data


def decode(data: bytes, name: str, problems: Problems) -> str | None:
    """Return the text of a file with plain line ends, or None after saying what is wrong.

    UTF-8 with or without a byte-order mark, and UTF-16 with one or plainly without.
    """
    if len(data) > LARGEST_FILE:
        most = LARGEST_FILE // (1024 * 1024)
        problems.error(name, None, "", f"is larger than {most} MB", "split off what is no house")
        return None
    coding = _coding(data)
    try:
        text = data.decode(coding)
    except UnicodeDecodeError as no:
        line = data.count(b"\n", 0, no.start) + 1
        bad = f"byte {data[no.start]:#04x} is not {coding.removesuffix('-sig').upper()} text"
        problems.error(name, line, "", bad, 'save the file as "CSV UTF-8" (or plain UTF-8 text)')
        return None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if (bad_at := text.find("\0")) >= 0:
        line = text.count("\n", 0, bad_at) + 1
        problems.error(name, line, "", "holds NUL characters", "save it again as plain text")
        return None
    return text


def _coding(data: bytes) -> str:
    if data.startswith(codecs.BOM_UTF8):
        return "utf-8-sig"
    if data.startswith((codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE)):
        return "utf-32"
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    head = data[:200]
    if len(head) >= 4 and len(data) % 2 == 0:  # without a mark: every other byte of ASCII is 0
        odd, even = head[1::2].count(0), head[::2].count(0)
        if odd > 0.7 * len(head[1::2]) and even == 0:
            return "utf-16-le"
        if even > 0.7 * len(head[::2]) and odd == 0:
            return "utf-16-be"
    return "utf-8"


def clip(text: str, most: int = 60) -> str:
    r"""Return text for a message: one line, no control characters, not too long.

    >>> clip("15\n3")
    '15 3'
    """
    plain = "".join(c if c.isprintable() else " " for c in text[: most * 2])
    plain = " ".join(plain.split())
    return plain if len(plain) <= most else f"{plain[: most - 3]}..."
