"""keeping.csv: read, written back, and refused by cell."""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.exchange.test_people_files import HOUSE, read

from roomwright.exchange.folder import FolderError
from roomwright.exchange.writer import to_files
from roomwright.job.entities import Keeping

KEEPING = (
    "keeping,class,line,price,deposit,rate,storage,damage_chance,room,room_most,cash_most\n"
    'house,,,,,8,25,0.5,,12,"40,000"\n'
    "class LAMP,LAMP,,,50,,,,1,,\n"
    'line L1,,L1,"$1,240.50",,,,,,,\n'
)


def test_it_is_read_and_written_back() -> None:
    facts = read({**HOUSE, "keeping.csv": KEEPING})
    assert facts.get(Keeping, "line L1").price == Decimal("1240.50")
    assert facts.get(Keeping, "house").room_most == 12
    assert facts.get(Keeping, "house").cash_most == 40000
    assert facts.get(Keeping, "class LAMP").deposit == 50
    again = read(to_files(facts))
    assert list(again) == list(facts)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("line L1,,L1", "line L1,,L9", "no line “L9”"),
        ("class LAMP,LAMP", "class LAMP,LIMP", "LIMP"),
        ('"$1,240.50"', "-4", "keeping.csv"),
        ('"$1,240.50"', "much", "no amount of money"),
        (",8,25", ",180,25", "keeping.csv"),
    ],
)
def test_what_cannot_be_is_named_by_its_cell(old: str, new: str, says: str) -> None:
    with pytest.raises(FolderError) as wrong:
        read({**HOUSE, "keeping.csv": KEEPING.replace(old, new, 1)})
    assert says in str(wrong.value)
