"""Folders made to keep a reader busy: each is refused, or read, in the time of a test."""

import math

import pytest
from tests.exchange.houses import read, wrong


def outline(step):
    turns = (2 * math.pi * i * step / 200 for i in range(200))
    return ", ".join(
        f"{5000 + 4000 * math.cos(t):.0f} {5000 + 4000 * math.sin(t):.0f}" for t in turns
    )


def work(n):
    return "activity,days_likely\n" + "".join(f"A{i},1\n" for i in range(n))


def rooms(n, cells):
    return "room,level,outline,width,depth,beside\n" + "".join(
        f"r{i},1,{cells(i)}\n" for i in range(n)
    )


@pytest.mark.parametrize(
    "files",
    [
        {"rooms": rooms(999, lambda i: f'"{outline(1)}",,,')},
        {"rooms": rooms(999, lambda i: f'"{outline(67)}",,,')},
        {"rooms": rooms(999, lambda i: f",9,9,q{i} east")},
        {"rooms": rooms(999, lambda i: f",9,9,r{(i + 1) % 999} east")},
        {"parts": "line,room,class,qty\n" + "".join(f"L{i},X{i},Y,1\n" for i in range(19_000))},
        {"activities": work(9_999),
         "links": "before,after\n" + "".join(f"A{i},A{(i + 1) % 9_999}\n" for i in range(9_999))},
        {"activities": work(10_000),
         "links": "before,after\n" + "".join(f"A{i},A{i ^ 1}\n" for i in range(10_000))},
        {"receipts": "receipt,order,line,qty\n"
         + "".join(f"R{i},Q{i},L1,1\n" for i in range(19_000))},
    ],
    ids=["rooms over one another", "stars", "neighbors that are not there", "a ring of rooms",
         "references to nothing", "a ring of links", "many rings", "receipts of no order"],
)  # fmt: skip
def test_large_wrong_folders_are_refused(files):
    assert 0 < len(wrong(**files)) < 400


def test_a_large_right_folder_is_read():
    openings = "opening,from_room,to_room,kind,ax,ay,bx,by\n" + "".join(
        f"D{i},1,2,cased,100,20,100,50\n" for i in range(2_000)
    )
    loaded = read(openings=openings)
    assert len(loaded.warnings) == 101  # they overlap in one wall
