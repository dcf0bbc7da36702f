"""Sketches and scanned plans come round through a folder; a picture is held to its hash."""

import hashlib
import struct
import zlib
from datetime import date
from fractions import Fraction

import pytest

from roomwright.exchange.folder import FolderError, read_files, read_folder
from roomwright.exchange.writer import to_files, write_folder
from roomwright.job.entities import Backdrop, House, Room, Sketch
from roomwright.job.facts import Facts

F = Fraction


def png(wide, high):
    def chunk(name, data):
        return (
            struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        )

    head = struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0)
    body = zlib.compress(b"".join(b"\0" + b"\xff" * wide for _ in range(high)))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


PLAN = png(40, 30)
SHA = hashlib.sha256(PLAN).hexdigest()
FACTS = Facts([
    House(name="Ours", site_start=date(2027, 1, 18)),
    Room(id="1", level="1", outline=((F(0), F(0)), (F(100), F(0)), (F(100), F(80)), (F(0), F(80)))),
    Sketch(id="S1", level="2", start=(F(-7, 2), F(4)), walls="12 4 1/2 east, 9 south", name="Loft"),
    Sketch(id="S2", level="2"),
    Backdrop(id="1", picture=SHA, file="plan.pdf", page=3, wide=40, high=30, a=(F(5, 2), F(20)),
             b=(F(35), F(20)), distance=F(240), runs=F(30), at=(F(-3), F(4)), shows=0),
    Backdrop(id="2", picture=SHA, wide=40, high=30),
])  # fmt: skip


def test_they_come_round(tmp_path):
    written = write_folder(FACTS, tmp_path, plans={SHA: PLAN})
    assert f"pictures/{SHA}.png" in written
    back = read_folder(tmp_path)
    assert list(back.facts) == list(FACTS)
    assert dict(back.pictures) == {SHA: PLAN}
    assert back.warnings == ()
    files = {n: t.encode() for n, t in to_files(FACTS).items()} | {f"{SHA}.png": PLAN}
    assert dict(read_files(files).pictures) == {SHA: PLAN}


def test_a_picture_that_is_not_there_is_a_warning(tmp_path):
    write_folder(FACTS, tmp_path)
    assert "is not there" in read_folder(tmp_path).warnings[0].wrong


@pytest.mark.parametrize(
    ("body", "words"), [(png(41, 30), "another picture"), (b"<html>", "another picture")]
)
def test_a_picture_is_held_to_its_hash(tmp_path, body, words):
    write_folder(FACTS, tmp_path, plans={SHA: PLAN})
    (tmp_path / "pictures" / f"{SHA}.png").write_bytes(body)
    with pytest.raises(FolderError, match=words):
        read_folder(tmp_path)


def test_a_picture_is_held_to_its_size():
    other = png(50, 30)
    sha = hashlib.sha256(other).hexdigest()
    facts = Facts([FACTS.get(House, "house"), FACTS.get(Room, "1"),
                   Backdrop(id="1", picture=sha, wide=40, high=30)])  # fmt: skip
    files = {n: t.encode() for n, t in to_files(facts).items()} | {f"{sha}.png": other}
    with pytest.raises(FolderError, match="50 x 30 pixels, not 40 x 30"):
        read_files(files)


def test_a_link_in_the_pictures_is_not_followed(tmp_path):
    write_folder(FACTS, tmp_path, plans={SHA: PLAN})
    (tmp_path / "secret.png").write_bytes(PLAN)
    (tmp_path / "pictures" / f"{SHA}.png").unlink()
    (tmp_path / "pictures" / f"{SHA}.png").symlink_to(tmp_path / "secret.png")
    with pytest.raises(FolderError, match="link"):
        read_folder(tmp_path)
