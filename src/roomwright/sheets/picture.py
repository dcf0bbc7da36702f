"""A stranger's picture or a page of a PDF, drawn anew as a PNG; nothing sent is served as sent.

What a file is, its content says, never its name. Sizes are read from its head before anything is
unpacked, and the unpacking is done by another process with little memory and time.

>>> form_of(b"<html>"), form_of(bytes.fromhex("89504e470d0a1a0a"))
('', 'png')
"""

from __future__ import annotations

import json
import struct
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from roomwright.sheets.picture_worker import SECONDS

LARGEST = 24 * 1024 * 1024
"""No file that is sent is larger [bytes]."""

MOST_PIXELS = 100_000_000
"""Pixels of a picture that is unpacked: E-size at 300 dots an inch is 137 million; ask for less."""

LONGEST_SIDE = 20_000
"""No side of a picture is longer [px]."""

LAST_PAGE = 2_000
"""No page beyond this one is opened."""

LONG_SIDE = 2_400
"""The longer side of what is kept [px]: 24 x 36 in. at 1/4 in. to the foot is 17 mm a pixel."""

NAMES = {"png": "page.png", "jpg": "page.jpg", "pdf": "page.pdf"}


class PictureError(ValueError):
    """A file that is no picture or page that can be taken, with what to do."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A PNG of our own making and its size [px]."""

    png: bytes
    wide: int
    high: int


def form_of(body: bytes) -> str:
    """Return what a file is by its content: png, jpg, pdf, or "" for anything else."""
    if body.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if body.startswith(b"\xff\xd8\xff"):
        return "jpg"
    return "pdf" if b"%PDF-" in body[:1024] else ""


def size_of(body: bytes) -> tuple[int, int] | None:
    """Return width and height of a PNG or JPEG from its head [px]; None where it says none.

    References
    ----------
    1. PNG (W3C, third edition), 11.2.1: IHDR holds width and height, big-endian, at byte 16.
    2. ITU-T T.81, B.2.2: a frame header SOFn holds height and width after its length and precision.
    """
    if form_of(body) == "png":
        if body[12:16] != b"IHDR" or len(body) < 24:
            return None
        wide, high = struct.unpack(">II", body[16:24])
        return int(wide), int(high)
    at = 2
    while at + 9 < len(body):
        if body[at] != 0xFF:
            at += 1
            continue
        mark = body[at + 1]
        if 0xC0 <= mark <= 0xCF and mark not in (0xC4, 0xC8, 0xCC):
            high, wide = struct.unpack(">HH", body[at + 5 : at + 9])
            return int(wide), int(high)
        alone = mark in (0xFF, 0x01) or 0xD0 <= mark <= 0xD8
        at += 1 if mark == 0xFF else 2 if alone else 2 + struct.unpack(
            ">H", body[at + 2 : at + 4]
        )[0]  # fmt: skip
    return None


def taken(body: bytes, page: int = 1, *, long_side: int = LONG_SIDE) -> Picture:
    """Return a file's picture, or the page of a PDF, as a PNG of our own.

    Raises
    ------
    PictureError
        if it is no picture or PDF, too large, damaged, or takes too long.
    """
    form = form_of(body)
    _refuse(body, form, page)
    name = NAMES[form]
    asked = json.dumps({"name": name, "page": page, "long_side": long_side})
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / name).write_bytes(body)
        try:
            done = subprocess.run(  # noqa: S603 - our own module, and no word of the sender's
                [sys.executable, "-m", "roomwright.sheets.picture_worker", folder, asked],
                stdin=subprocess.DEVNULL,
                capture_output=True,
                timeout=SECONDS + 10,
                check=False,
            )
        except subprocess.TimeoutExpired:
            raise PictureError("That file takes too long to open. Save the one page as a picture "
                               "and take that.") from None  # fmt: skip
    size = size_of(done.stdout) if done.returncode == 0 and form_of(done.stdout) == "png" else None
    if size is None:
        raise PictureError(_why(done.stderr.decode("utf-8", "replace"), form, page))
    return Picture(done.stdout, *size)


def _refuse(body: bytes, form: str, page: int) -> None:
    if not body:
        raise PictureError("No file was chosen, or it is empty.")
    if len(body) > LARGEST:
        raise PictureError(f"That file is larger than {LARGEST // 2**20} MB: take one page of it, "
                           "or scan it at a lower resolution.")  # fmt: skip
    if not form:
        raise PictureError("That is no PDF, PNG or JPEG by its content: save it as one of these.")
    if not 1 <= page <= LAST_PAGE:
        raise PictureError(f"Pages 1 to {LAST_PAGE} can be taken.")
    if form == "pdf":
        return
    size = size_of(body)
    if size is None or min(size) < 1:
        raise PictureError("That picture is damaged: its head says no size.")
    if size[0] * size[1] > MOST_PIXELS or max(size) > LONGEST_SIDE:
        raise PictureError(
            f"That picture is {size[0]} x {size[1]} pixels: {MOST_PIXELS // 10**6} million, and "
            f"{LONGEST_SIDE} on a side, at most. Scan it at a lower resolution."
        )


def _why(said: str, form: str, page: int) -> str:
    if "page" in said and form == "pdf" and "does not exist" in said:
        return f"That PDF has no page {page}."
    if "encrypted" in said or "password" in said:
        return "That PDF is locked with a password: save it without one."
    what = "PDF" if form == "pdf" else "picture"
    return f"That {what} can't be opened: it is damaged, or needs more memory than is given to it."
