"""The demo house is read as it stands in its files."""

from datetime import date
from fractions import Fraction

from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path
from roomwright.job.entities import House, Part, PartClass, Room


def test_demo_house_reads_without_a_problem():
    loaded = read_folder(example_path("tern-hollow"))
    assert loaded.warnings == ()
    assert {f.name: f.rows for f in loaded.files}["links.csv"] == 166
    house = loaded.facts.get(House, "house")
    assert (house.site_start, house.written_as_of) == (date(2027, 1, 18), date(2027, 3, 29))
    assert house.tape_sigma == Fraction(1, 8)
    assert loaded.facts.get(Room, "209").outline[3] == (468, Fraction(273, 2))
    assert loaded.facts.get(PartClass, "GLASS").order_after == "A120"
    assert len(loaded.facts.where(Part, "part_class", "CAN")) == 4
