# ruff: noqa: E501 - a case a line reads better
"""One wrong folder for each rule: what it says, where, and what it tells a builder to do."""

import pytest
from tests.exchange.houses import GOOD, add, read, swap, warned, wrong

from roomwright.exchange.folder import FolderError, read_files

HUGE = "9" * 5000
RING = "room,level,width,depth,beside\n1,1,90,80,2 east\n2,1,90,80,1 east\n"

# what is changed in the good house, and the line that must be said about it
ERRORS = {
    # ---- cells
    "length that is no length": (
        swap("pieces", "160,40,0", "wide,40,0"), "pieces.csv, line 2, x: “wide”"),
    "length with two readings": (swap("pieces", "T1,2,desk,60", "T1,2,desk,15 3"),
                                 "pieces.csv, line 2, width: “15 3” can be read two ways"),
    "length a spreadsheet made a date": (
        swap("floors", "0 3/4", "4-Mar"), 'floors.csv, line 2, build_up: “4-Mar” is 3/4 that a spreadsheet took for a date -> type 3/4" with its inch mark'),
    "negative size": (swap("pieces", "60,30,30", "-60,30,30"), "width: “-60” is negative -> type a size over 0"),
    "zero width": (swap("openings", "52,32,80", "52,0,80"), "width: “0” is nothing -> type a size over 0"),
    "a size of miles": (swap("pieces", "60,30,30", "60000,30,30"), "“60000” is over 200'-0\""),
    "a place of miles": (swap("pieces", "160,40,0", "1e9,40,0"), "exponent"),
    "a length of 5,000 digits": (swap("pieces", "60,30,30", f"{HUGE},30,30"), "pieces.csv, line 2, width: has 5000 characters"),
    "not a number": (swap("activities", "make,1,2,3", "make,1,two,3"), "days_likely: “two” is not a number"),
    "a number with two readings": (swap("parts", "DESK,2", 'DESK,"1,000"'), "qty: “1,000” can be read two ways -> type 1000 or 1.000"),
    "half a piece": (swap("parts", "DESK,2", "DESK,2.5"), "qty: “2.5” is not a whole number"),
    "minus two pieces": (swap("parts", "DESK,2", "DESK,-2"), "qty: “-2” is negative"),
    "a third of a day": (swap("activities", "make,1,2,3", "make,1,1/3,3"), "finer than half a day"),
    "negative days": (swap("activities", "make,1,2,3", "make,1,-2,3"), "days_likely: “-2” is negative"),
    "not a date": (swap("receipts", "2027-03-26", "soon"), "receipts.csv, line 2, on: “soon” is not a date"),
    "no such day": (swap("receipts", "2027-03-26", "2027-02-30"), "there is no day “2027-02-30”"),
    "a date with two readings": (swap("receipts", "2027-03-26", "3/4/2027"),
                                 "“3/4/2027” can be read two ways -> type 2027-03-04 or 2027-04-03"),
    "a date of another century": (swap("receipts", "2027-03-26", "2072-03-26"),
                                  "2072-03-26 is many years from the start of work"),
    "unknown kind of opening": (swap("openings", "swing,100", "swng,100"), "openings.csv, line 2, kind: “swng” is not a known kind -> did you mean swing?"),
    "unknown kind of link": (swap("links", "start to start", "SS"), "links.csv, line 3, kind: “SS” is not a known kind -> use one of: finish to start"),
    "unknown face": (swap("readings", "board", "drywal"), "readings.csv, line 2, face"),
    "a formula": (swap("parts", "DESK,2,", 'DESK,2,"=HYPERLINK(""http://x"",""y"")"'), "parts.csv, line 2, note: “=HYPERLINK(\"http://x\",\"y\")” is a formula -> put the value there"),
    "a control character": (swap("parts", "DESK,2,", "DESK,2,be\x07ll"), "note: “be ll” holds a control character"),
    "a line break in an id": (swap("contacts", "us,Us", '"u\ns",Us'), "trade: “u s” holds a line break"),
    "an id of 90 letters": (add("contacts", "t" * 90 + ",x,1"), "contacts.csv, line 3, trade: has 90 characters -> keep it under 80"),
    "a note of 3,000 letters": (swap("parts", "DESK,2,", "DESK,2," + "n" * 3000), "note: has 3000 characters"),
    "a needed cell that is empty": (swap("parts", "L1,2,DESK", "L1,,DESK"), "parts.csv, line 2, room: is empty -> fill it in"),
    # ---- frames of tables
    "a missing column": (swap("parts", "line,room,class", "line,room,klass"), "parts.csv, line 1, class: this column is missing"),
    "a column twice": (swap("parts", "qty,note", "qty,Qty "), "parts.csv, line 1, Qty: this column is there twice"),
    "more cells than columns": (swap("parts", "DESK,2,", "DESK,2,oak,, dark"), "parts.csv, line 2: has 7 cells under 5 column names -> put a cell that holds a comma in quotes"),
    "a value under no name": (swap("receipts", "line,qty,on\n", "line,qty,,on\n"), "receipts.csv, line 2: “2027-03-26” stands under no column name"),
    "a quote never closed": (swap("fixed", '0 80",', "0 80,"), "fixed.csv, line 2: a quote that opens here is never closed"),
    "a field too large": ({"parts": "line,room,class,qty\nL1,2,DESK," + "1" * 200_000}, "parts.csv, line 2: this row cannot be read"),
    "an empty file": ({"parts": ""}, "parts.csv: is empty -> begin with a row of column names"),
    "too many rows": ({"contacts": "trade,name\n" + "\n".join(f"t{i},x" for i in range(20_002))}, "has more than 20000 rows"),
    "too many columns": ({"contacts": "trade," + ",".join(f"c{i}" for i in range(70)) + "\n"}, "has more than 64 columns"),
    "no UTF-8": ({"parts": GOOD["parts.csv"].encode() + b"L2,2,DESK,1,36\xbd wide\n"}, "parts.csv, line 3: byte 0xbd is not UTF-8 text"),
    "half a UTF-16": ({"parts": GOOD["parts.csv"].encode("utf-16") + b"x"}, "parts.csv, line 3: byte 0x78 is not UTF-16 text"),
    "NULs": (swap("parts", "DESK", "DE\0SK"), "parts.csv, line 2: holds NUL characters"),
    # ---- house.toml
    "TOML that is none": (swap("house", '"Ours"', "Ours"), "house.toml, line 1, character 8: cannot be read"),
    "TOML that ends too soon": ({"house": 'name = """'}, "house.toml, line 1"),
    "TOML nested too deep": ({"house": "x = " + "[" * 3000}, "house.toml"),
    "a number of 5,000 digits": (swap("house", "name", f"inspect_days = {HUGE}\nname"), "house.toml"),
    "no name": ({"house": "site_start = 2027-01-18"}, 'house.toml, name: this key is missing -> add name = "Our house"'),
    "no start": ({"house": 'name = "x"'}, "house.toml, site_start: this key is missing"),
    "a start that is no date": (swap("house", "2027-01-18", '"soon"'), "house.toml, line 2, site_start: “soon” is not a date"),
    "no such weekday": (swap("house", "name", 'work_week = ["mon", "thurs"]\nname'), "house.toml, line 1, work_week: “thurs” is no weekday -> did you mean thursday?"),
    "a tape of three inches": (swap("house", "name", 'tape_sigma = "3"\nname'), "tape_sigma: “3” is over 2\""),
    "an unknown set of figures": (swap("house", "name", 'figures = "kitchen and bath guideline"\nname'), "house.toml, line 1, figures: There is no set of figures “kitchen and bath guideline” -> did you mean “kitchen and bath guidelines”?"),
    "an unknown figure": ({"house": GOOD["house.toml"] + '[overrides]\n"dining.rize" = "30"\n'}, "house.toml, line 5, overrides.dining.rize: There is no figure “dining.rize”"),
    "a figure that is no length": ({"house": GOOD["house.toml"] + '[overrides]\n"dining.rise" = "wide"\n'}, "house.toml, line 5, overrides.dining.rise"),
    "a figure for no room": ({"house": GOOD["house.toml"] + '[overrides]\n"9:dining.rise" = "30"\n'}, "house.toml, line 5, overrides.9:dining.rise: there is no room “9”"),
    # ---- ids and references
    "an id twice": (add("parts", "L1,1,DESK,1,"), "parts.csv, line 3, line: “L1” is on line 2 already"),
    "a link twice": (add("links", "A1,A2,Finish To Start,1,"), "links.csv, line 4, before: “A1 > A2 (finish to start)” is on line 2 already"),
    "an order line twice": (add("orders", "P1,Us,L1,1,,"), "orders.csv, line 3, order: “P1/L1” is on line 2 already"),
    "a part twice": (add("companions", "DESK,feet,2,,,us,"), "companions.csv, line 3"),
    "a reading id twice": ({"readings": "room,from,to,length,reading\n1,A,B,100,R\n1,B,C,80,R\n"}, "readings.csv, line 3"),
    "no such room": (swap("parts", "L1,2,", "L1,22,"), "parts.csv, line 2, room: there is no room “22” -> did you mean 2?"),
    "no such class": (swap("parts", "DESK", "DEKS"), "parts.csv, line 2, class: there is no class “DEKS” -> did you mean DESK?"),
    "no such activity": (swap("links", "A1,A2", "A1,B7"), "links.csv, line 2, after: there is no activity “B7” -> name one of activities.csv, or add it there"),
    "no such floor finish": (swap("rooms", "oak", "elm"), "rooms.csv, line 2, floor: there is no floor finish “elm”"),
    "no such line": (swap("pieces", ",L1", ",L9"), "pieces.csv, line 2, line: there is no line “L9”"),
    "progress of nothing": (swap("progress", "A1", "A9"), "progress.csv, line 2, activity: there is no activity “A9”"),
    "work in no room": (swap("activities", "us,1 2", "us,1 7"), "activities.csv, line 3, rooms: there is no room “7”"),
    "centered on nothing": (swap("lights", "T1", "T9"), "lights.csv, line 2, centred_on: there is no piece, fixed thing, window, light or opening “T9” -> name one that is there"),
    "a light centered on itself": (swap("lights", ",T1", ",C1"), "lights.csv, line 2, centred_on: things are centered on each other in a ring: C1 > C1 -> leave it empty"),
    "a receipt of no order": (swap("receipts", "P1", "P7"), "receipts.csv, line 2, order: there is no order “P7” -> name one of orders.csv"),
    "a receipt of no line of it": ({**add("parts", "L2,1,DESK,1,"), **swap("receipts", "P1,L1", "P1,L2")}, "receipts.csv, line 2, line: order P1 has no line “L2” -> its lines are L1"),
    "references of a row that is wrong anyway": (swap("parts", "L1,2,DESK,2", "L1,7,DESK,x"), "parts.csv, line 2, room: there is no room “7”"),
    # ---- rooms
    "crossed outline": (swap("rooms", "100 0, 100 80, 0 80", "100 80, 100 0, 0 80"), "rooms.csv, line 2, outline: walls A and C cross at 50 40 -> give the corners in order"),
    "outline of two corners": (swap("rooms", "0 0, 100 0, 100 80, 0 80", "0 0, 100 0"), "rooms.csv, line 2, outline: has 2 corners"),
    "a corner of one number": (swap("rooms", "100 0,", "100,"), "rooms.csv, line 2, outline: corner 2"),
    "a corner twice": (swap("rooms", "100 0,", "100 0, 100 0,"), "outline: corner B is there twice in a row, at 100 0"),
    "a room of no area": (swap("rooms", "0 0, 100 0, 100 80, 0 80", "0 0, 100 0, 0 0, 50 0"), "rooms.csv, line 2, outline"),
    "overlapping rooms": (swap("rooms", "104 1/2 0, 200 0", "96 0, 200 0"), "rooms.csv, line 3, outline: overlaps room 1 on level 1 by"),
    "a room of no size": ({"rooms": "room,level,width,depth\n1,1,90,80\n2,1,90,\n"}, "rooms.csv, line 3, depth: is empty -> give an outline, or width and depth"),
    "outline and size that differ": ({"rooms": 'room,level,outline,width\n1,1,"0 0, 90 0, 90 80, 0 80",96\n'}, "rooms.csv, line 2, width: the outline is 7'-6\" that way, not 8'-0\""),
    "beside no room": ({"rooms": "room,level,width,depth,beside\n1,1,90,80,\n2,1,90,80,11 east\n"}, "rooms.csv, line 3, beside: there is no room “11” to stand beside -> did you mean 1?"),
    "beside no side": ({"rooms": "room,level,width,depth,beside\n1,1,90,80,\n2,1,90,80,1 eest\n"}, "rooms.csv, line 3, beside: “1 eest” does not say which side of which room -> did you mean east or west?"),
    "rooms beside each other": ({"rooms": RING}, "rooms.csv, line 2, beside: rooms stand beside one another in a ring: 1 > 2 > 1"),
    "beside a room of another level": ({"rooms": "room,level,width,depth,beside\n1,1,90,80,\n2,2,90,80,1 east\n"}, "rooms.csv, line 3, beside: 1 is on level 1"),
    "an id that means more": (swap("rooms", "2,Den", "out,Den"), "rooms.csv, line 3, room: “out” cannot be a room's id"),
    "no rooms": ({"rooms": "room,level,outline\n"}, "rooms.csv: has no rooms"),
    # ---- openings and windows
    "an opening off its wall": (swap("openings", "100,20,100,52", "86,20,86,52"), "openings.csv, line 2, ax: D1 lies 1'-2\" inside wall B of 1"),
    "an opening in no wall between": (swap("openings", "100,20,100,52", "0,20,0,52"), "there is no wall between 1 and 2 here"),
    "an opening through a corner": (swap("openings", "100,20,100,52", "100,60,100,92"), "D1 runs 1'-0\" past the end of wall B of 1"),
    "an opening wider than its wall": ({"openings": "opening,from_room,to_room,kind,ax,ay,bx,by\nD1,1,2,cased,100,-10,100,90\n"}, "D1 is 8'-4\" wide, but wall B of 1 is 6'-8\" long"),
    "an opening askew": (swap("openings", "100,20,100,52", "100,20,103,52"), "D1 stands askew to wall B of 1"),
    "an opening of no width": (swap("openings", "100,52,32", "100,20,32"), "openings.csv, line 2, bx: has no width"),
    "a width that its ends are not": (swap("openings", "52,32,80", "52,36,80"), "its width is 3'-0\", but its ends are 2'-8\" apart"),
    "a hinge in the middle": (swap("openings", "80,100 20", "80,100 36"), "openings.csv, line 2, hinge: is hinged 1'-4\" from its nearer end"),
    "a swing into a third room": ({**swap("openings", "20,2\n", "20,3\n"), **add("rooms", '3,Bath,1,"0 90, 50 90, 50 150, 0 150",,')}, "swings_into: swings into 3, but joins 1 and 2"),
    "a door to itself": (swap("openings", "D1,1,2", "D1,1,1"), "to_room: leads from 1 into itself"),
    "a door between levels": (swap("rooms", "2,Den,1", "2,Den,2"), "openings.csv, line 2, to_room: 1 is on level 1, 2 on 2"),
    "a wall there is not": ({"openings": "opening,from_room,to_room,kind,wall,from_corner,width\nD1,1,2,cased,F,20,32\n"}, "openings.csv, line 2, wall: “F” is no wall of this room -> use one of A to D"),
    "a corner not of that wall": ({"openings": "opening,from_room,to_room,kind,wall,from_corner,width\nD1,1,2,cased,B,A 20,32\n"}, "wall B has no corner A -> measure from B or C"),
    "a wall without a width": ({"openings": "opening,from_room,to_room,kind,wall,from_corner,width\nD1,1,2,cased,B,20,\n"}, "openings.csv, line 2, width: is empty -> give wall, from_corner and width"),
    "an end too few": (swap("openings", "100,20,100,52", "100,20,100,"), "openings.csv, line 2, by: is empty -> give both ends"),
    "a hand without a side": (swap("openings", "100 20,2", "left,"), "swings_into: is empty, so the hand means nothing"),
    "a window off its wall": (swap("windows", "20,0,56,0", "20,30,56,30"), "windows.csv, line 2, ax: W1 lies 2'-6\" inside wall A of 1"),
    "a window of no width": (swap("windows", "20,0,56,0", "20,0,20,0"), "windows.csv, line 2, bx: has no width"),
    # ---- readings
    "a corner the room has not": (swap("readings", "1,A,B", "1,A,F"), "readings.csv, line 2, to: room 1 has no corner “F” -> its corners are A to D"),
    "a reading to itself": (swap("readings", "1,A,B", "1,A,A"), "readings.csv, line 2, to: runs from corner A to itself"),
    # ---- work
    "a ring of links": (add("links", "A3,A1,,,"), "a ring: A1 > A2 > A3 > A1 -> take out the link"),
    "a link to itself": (add("links", "A3,A3,,,"), "links.csv, line 4, after: A3 waits for itself"),
    "days low over likely": (swap("activities", "make,1,2,3", "make,3,2,3"), "activities.csv, line 3, days_low: days_low is 3 working days, more than days_likely, which is 2"),
    "weeks low over high": (swap("classes", "A1,1,2", "A1,3,2"), "classes.csv, line 2, lead_weeks_low: lead_weeks_low is 3 weeks"),
    "finished before it started": (swap("progress", "2027-03-22,2027-03-22", "2027-03-22,2027-03-20"), "progress.csv, line 2, finished: was finished on 2027-03-20, before it started on 2027-03-22"),
    "finished with days left": (swap("progress", "2027-03-22,2027-03-22,", "2027-03-22,2027-03-22,2"), "progress.csv, line 2, days_left: is finished, but has 2 days left"),
    "measured after it is needed": (swap("classes", "A3,A1", "A1,A3"), "classes.csv, line 2, order_after: it cannot be ordered before A3, but A1"),
    # ---- buying
    "promised before it was placed": (swap("orders", "2027-04-01", "2027-03-01"), "orders.csv, line 2, promised: is promised for 2027-03-01, before it was placed"),
    "more received than ordered": (swap("receipts", "L1,1", "L1,3"), "receipts.csv, line 2, qty: 3 of L1 have come against P1, which ordered 2"),
    "received before it was ordered": (swap("receipts", "2027-03-26", "2027-03-01"), "receipts.csv, line 2, on: came on 2027-03-01, before it was ordered"),
}  # fmt: skip


@pytest.mark.parametrize(
    ("file", "columns"),
    [
        ("floors.csv", {"rooms.csv, line 2, floor"}),
        ("activities.csv", {"links.csv, line 2, before", "links.csv, line 2, after",
                            "progress.csv, line 2, activity", "classes.csv, line 2, needed_by",
                            "classes.csv, line 2, order_after"}),
        ("classes.csv", {"companions.csv, line 2, class", "parts.csv, line 2, class"}),
    ],
)  # fmt: skip
def test_a_file_that_others_need_is_asked_for_once_a_column(file, columns):
    """Not once a row: 200 lines that say the same hide what else is wrong."""
    with pytest.raises(FolderError) as refused:
        read_files({n: t.encode() for n, t in GOOD.items() if n != file})
    told = [str(p) for p in refused.value.problems]
    assert {line.split(":")[0] for line in told} == columns
    assert len(told) == len(columns)
    assert all(f"add {file} with it, or clear the column" in line for line in told)


def test_the_good_house_is_good():
    assert read().warnings == ()


@pytest.mark.parametrize("name", ERRORS)
def test_each_rule_is_told_in_plain_words(name):
    changed, said = ERRORS[name]
    told = wrong(**changed)
    assert any(said in line for line in told), f"{said!r} is not among:\n" + "\n".join(told)
    assert all(" -> " in line for line in told)


# what is changed, and the warning; the house still loads
WARNINGS = {
    "an unknown column": (swap("parts", "qty,note", "qty,color"), "parts.csv, line 1, color: unknown column, kept as it is"),
    "a column nearly known": (swap("windows", "height,sill", "heigth,sill"), "heigth: unknown column, kept as it is -> rename it to height"),
    "an unknown key": (swap("house", "name", "cost_a_day = 3\nname"), "house.toml, line 1, cost_a_day: unknown key, kept as it is -> did you mean cost_per_day?"),
    "ids that differ by case": (add("contacts", "US,x,1"), "differs from “US” by case alone"),
    "a piece out of its room": (swap("pieces", "160,40,0", "180,40,0"), "pieces.csv, line 2, x: sticks 10\" out of room 2"),
    "a piece in another room": (swap("pieces", "160,40,0", "50,40,0"), "pieces.csv, line 2, x: lies 2'-0 1/2\" outside room 2"),
    "a fixed thing out of its room": (swap("fixed", "0 80", "0 84"), "fixed.csv, line 2, outline: sticks 4\" out of room 1"),
    "a light out of its room": (swap("lights", "160,40", "160,90"), "lights.csv, line 2, x: hangs 10\" outside room 2"),
    "a light over a thing elsewhere": (swap("lights", "T1", "X1"), "lights.csv, line 2, centred_on: X1 stands in 1, the light in 2"),
    "a kind nearly known": (swap("pieces", "desk", "sidebord"), "did you mean sideboard?"),
    "a door without a hinge": (swap("openings", "100 20", ""), "openings.csv, line 2, hinge: a door that swings has no hinge"),
    "a cased opening with a hinge": (swap("openings", "swing,100", "cased,100"), "is cased, so it has no hinge"),
    "a door over a window": (swap("windows", "20,0,56,0", "100,40,100,76"), "overlaps opening D1 by 1'-0\" in wall B of 1"),
    "a room measured in feet": ({"rooms": GOOD["rooms.csv"] + '3,Bath,1,"0 90, 8 90, 8 95, 0 95",96,oak\n'}, "rooms.csv, line 4, outline: is only 0.3 sq ft large"),
    "work of tomorrow": (swap("progress", "2027-03-22,2027-03-22", "2027-03-30,"), "2027-03-30 is after 2027-03-29, the day these files describe"),
    "finished but never started": (swap("progress", "2027-03-22,2027-03-22", ",2027-03-22"), "is finished, but nobody wrote when it started"),
    "dates as a spreadsheet writes them": (swap("receipts", "2027-03-26", "3/26/2027"), "receipts.csv: its dates are read month first"),
}  # fmt: skip


@pytest.mark.parametrize("name", WARNINGS)
def test_warnings_name_what_to_look_at(name):
    changed, said = WARNINGS[name]
    told = warned(**changed)
    assert any(said in line for line in told), f"{said!r} is not among:\n" + "\n".join(told)


def test_all_errors_of_all_files_come_at_once():
    told = wrong(
        rooms=GOOD["rooms.csv"].replace("oak", "elm"),
        parts=GOOD["parts.csv"].replace("DESK,2", "DESK,x") + "L1,2,DESK,1,\n",
        receipts=GOOD["receipts.csv"].replace("2027-03-26", "soon"),
    )
    files = [line.split(",")[0] for line in told]
    assert files == ["parts.csv", "parts.csv", "receipts.csv", "rooms.csv", "rooms.csv"]


def test_a_file_with_very_many_errors_is_cut_short():
    rows = "".join(f"L{i},2,NONE,1,\n" for i in range(500))
    told = wrong(parts="line,room,class,qty,note\n" + rows)
    assert len([line for line in told if line.startswith("parts.csv")]) == 101
    assert any("400 more of these are not listed" in line for line in told)


def test_what_a_wrong_file_would_hold_is_not_called_missing():
    told = wrong(rooms=b"\xff\xfe\xfd")
    assert len(told) == 1
    assert told[0].startswith("rooms.csv")
