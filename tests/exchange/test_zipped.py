"""A stored house taken along as files, and loaded again: the same house."""

import io
import random
import zipfile
from datetime import date

import pytest
from tests.commands.random_commands import any_command
from tests.commands.test_sketch import do

from roomwright.exchange.changes import compare
from roomwright.exchange.folder import read_files, read_folder
from roomwright.exchange.problems import FolderError
from roomwright.exchange.samples import example_path
from roomwright.exchange.zipped import MOST_BYTES, unzipped, zipped
from roomwright.job.errors import StoreError
from roomwright.job.facts import Facts
from roomwright.job.rules import check


def again(facts: Facts) -> Facts:
    return read_files(unzipped(zipped(facts, "h"))).facts


def test_the_demo_comes_round():
    demo = read_folder(example_path("tern-hollow")).facts
    assert compare(demo, again(demo)) == []
    assert zipped(demo, "h") == zipped(demo, "h")


def test_a_drawn_house_comes_round():
    facts = do(Facts(), "begin house", name="Mine", on=date(2027, 1, 4))
    facts = do(facts, "first room", level="1", room="101", width="14'", depth="12'", ceiling="96")
    facts = do(facts, "first room", level="2", room="201", width="14'", depth="12'", ceiling="96",
               start="10' west, 7 1/2 south")  # fmt: skip
    facts = do(facts, "add slope", room="201", wall="A", low="48", reach="47")
    facts = do(facts, "add stair", from_room="101", to_room="201", rise="122", risers="16")
    facts = do(facts, "set wall", room="101", wall="B", finish="3/8")
    facts = do(facts, "save sketch", level="1", walls="12 4 1/2 east, 9 south", name="porch")
    facts = do(
        facts, "add opening", room="101", wall="C", from_corner="20", width="32", hand="left"
    )
    facts = do(facts, "say how people walk", from_use="bed", to_use="bath", standing="other")
    facts = do(facts, "set figure", key="dining.rise", value="30", room="101")
    assert compare(facts, again(facts)) == []


@pytest.mark.parametrize("seed", range(3))
def test_a_house_that_was_worked_in_comes_round(seed):
    rng, facts = random.Random(seed), read_folder(example_path("tern-hollow")).facts
    done = 0
    while done < 60:
        try:
            changes = any_command(rng, facts).changes(facts)
        except StoreError:
            continue
        after = facts.changed(changes)
        if check(after, changes) == []:
            facts, done = after, done + 1
    assert compare(facts, again(facts)) == []


def packed(*files):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, body in files:
            made.writestr(name, body)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"no zip", "cannot be read"),
        (packed(("a/house.toml", b"x"), ("b/house.toml", b"y")), "house.toml twice"),
        (packed(("rooms.csv", b"0" * (9 * 1024 * 1024))), "too much: rooms.csv"),
        (packed(("house.toml", b"x"))[:-30], "cannot be read"),
    ],
    ids=["no archive", "a file twice", "too much", "cut off"],
)
def test_a_zip_from_a_stranger_is_refused_in_words(data, words):
    with pytest.raises(FolderError, match=words):
        unzipped(data)


def test_only_known_names_are_taken_and_none_past_the_limit_of_all():
    got = unzipped(
        packed(("../../etc/passwd", b"x"), ("a/../rooms.csv", b"r"), ("x/notes.md", b"n"))
    )
    assert got == {"rooms.csv": b"r"}
    many = [(f"pictures/{n:064x}.png", b"0" * (7 * 1024 * 1024)) for n in range(11)]
    assert sum(len(body) for _, body in many) > MOST_BYTES
    with pytest.raises(FolderError, match="too much"):
        unzipped(packed(*many))
