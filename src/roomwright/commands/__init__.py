"""What a person may do: each command checks, then writes once through the store.

>>> COMMANDS["add room"].__name__
'AddRoom'
>>> parse("move", {"piece": "T1", "dx": "-5"}).dx
Fraction(-5, 1)
>>> parse("move", {"piece": "T1", "dx": "five"})
Traceback (most recent call last):
roomwright.commands.base.BadCommandError: dx: “five” in “five” is not part of a length: ...
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from roomwright.commands.arrange import Arrange
from roomwright.commands.backdrop import LayBackdrop, RemoveBackdrop, SetPoints, ShowBackdrop
from roomwright.commands.base import (
    BadCommandError,
    Command,
    Done,
    Work,
    begin,
    in_words,
    not_ahead,
    run,
)
from roomwright.commands.calendars import SetCalendar
from roomwright.commands.calls import CallMade
from roomwright.commands.centring import CenterOn
from roomwright.commands.crews import Book, CancelBooking, SetCrew, SetDrying
from roomwright.commands.describe import Describe
from roomwright.commands.drawing_ceilings import AddSlope, EditSlope, RemoveSlope
from roomwright.commands.drawing_house import BeginHouse, ChooseFigures, SetFigure
from roomwright.commands.drawing_openings import (
    AddWindow,
    EditOpening,
    EditWindow,
    RemoveOpening,
    RemoveWindow,
)
from roomwright.commands.drawing_rooms import EditRoom, RemoveRoom
from roomwright.commands.drawing_stairs import AddStair, EditStair, RemoveStair
from roomwright.commands.drawing_things import (
    AddFixed,
    AddLight,
    Place,
    Put,
    RemoveFixed,
    RemoveLight,
)
from roomwright.commands.drawing_walls import AddCorner, MoveCorner, RemoveCorner, WallLength
from roomwright.commands.happenings import Promise, RecordEvent
from roomwright.commands.house import StartHouse
from roomwright.commands.house_terms import SetHouse
from roomwright.commands.import_work import ImportWork
from roomwright.commands.keeping import SetKeeping
from roomwright.commands.load import Load
from roomwright.commands.network import AddActivity, EditActivities, EditActivity, RemoveActivity
from roomwright.commands.network_links import EditLink, LinkActivities, Unlink
from roomwright.commands.network_split import SplitActivity
from roomwright.commands.openings import AddOpening
from roomwright.commands.orders import OrderLine, PlaceOrder, RecordReceipt
from roomwright.commands.outline import AcceptOutline
from roomwright.commands.people import (
    AddChangeOrder,
    AddChoice,
    AgreeToChangeOrder,
    Decide,
    EditChangeOrder,
    EditChoice,
    RemoveChangeOrder,
    RemoveChoice,
)
from roomwright.commands.pieces import AddPiece, Move, RemovePiece, Resize, SetUse, Turn
from roomwright.commands.progress import DaysLeft, Finish, Start
from roomwright.commands.rooms import AddRoom, OpeningInWall, TriedTable, TryRoom
from roomwright.commands.sheets import HangSheet, TakeDownSheet
from roomwright.commands.sketch import DrawRoom, FirstRoom, RemoveSketch, SaveSketch
from roomwright.commands.starter_work import AddStarterWork
from roomwright.commands.supply import RecordMeasure, SetMeasure, SetStep, SetVendor
from roomwright.commands.survey import (
    RecordReadings,
    RemoveReading,
    SetAside,
    SetWall,
    UseReading,
)
from roomwright.commands.walks import SayWalk
from roomwright.commands.what_fits import PutWhatFits

COMMANDS: dict[str, type[Command]] = {
    c.command_name: c
    for c in (
        Load, StartHouse, TryRoom, AddRoom, AddOpening,
        Move, Turn, Resize, Arrange, AddPiece, RemovePiece, SetUse,
        Describe, CenterOn, PutWhatFits,
        PlaceOrder, Promise, RecordReceipt,
        SetKeeping, SetHouse,
        RecordEvent, SetVendor, SetStep, SetMeasure, RecordMeasure,
        Start, Finish, DaysLeft, SetCalendar,
        SetCrew, SetDrying, Book, CancelBooking,
        HangSheet, TakeDownSheet, SayWalk,
        RecordReadings, SetAside, UseReading, RemoveReading, SetWall, AcceptOutline,
        BeginHouse, ChooseFigures, SetFigure, SaveSketch, RemoveSketch, DrawRoom, FirstRoom,
        WallLength, MoveCorner, AddCorner, RemoveCorner, EditRoom, RemoveRoom,
        EditOpening, RemoveOpening, AddWindow, EditWindow, RemoveWindow,
        Put, Place, AddFixed, RemoveFixed, AddLight, RemoveLight,
        AddSlope, EditSlope, RemoveSlope, AddStair, EditStair, RemoveStair,
        AddChoice, EditChoice, Decide, RemoveChoice, CallMade,
        AddChangeOrder, EditChangeOrder, AgreeToChangeOrder, RemoveChangeOrder,
        LayBackdrop, SetPoints, ShowBackdrop, RemoveBackdrop,
        AddActivity, EditActivity, EditActivities, SplitActivity, RemoveActivity,
        LinkActivities, EditLink, Unlink, ImportWork, AddStarterWork,
    )
}  # fmt: skip
"""Every command by the name that the journal keeps."""


def parse(name: str, values: Mapping[str, Any]) -> Command:
    """Return a command from its name and what was typed.

    Raises
    ------
    BadCommandError
        naming each field that can't be so, in words.
    """
    model = COMMANDS.get(name)
    if model is None:
        near = difflib.get_close_matches(name, COMMANDS, n=1)
        hint = f" Did you mean {near[0]}?" if near else f" There are: {', '.join(COMMANDS)}."
        raise BadCommandError(("command", f"there is no command “{name}”.{hint}"))
    try:
        return model.model_validate(dict(values))
    except ValidationError as error:
        raise in_words(error) from error


__all__ = [
    "COMMANDS",
    "AcceptOutline",
    "AddActivity",
    "AddChangeOrder",
    "AddChoice",
    "AddCorner",
    "AddFixed",
    "AddLight",
    "AddOpening",
    "AddPiece",
    "AddRoom",
    "AddSlope",
    "AddStair",
    "AddStarterWork",
    "AddWindow",
    "AgreeToChangeOrder",
    "Arrange",
    "BadCommandError",
    "BeginHouse",
    "Book",
    "CallMade",
    "CancelBooking",
    "CenterOn",
    "ChooseFigures",
    "Command",
    "DaysLeft",
    "Decide",
    "Describe",
    "Done",
    "DrawRoom",
    "EditActivities",
    "EditActivity",
    "EditChangeOrder",
    "EditChoice",
    "EditLink",
    "EditOpening",
    "EditRoom",
    "EditSlope",
    "EditStair",
    "EditWindow",
    "Finish",
    "FirstRoom",
    "HangSheet",
    "ImportWork",
    "LayBackdrop",
    "LinkActivities",
    "Load",
    "Move",
    "MoveCorner",
    "OpeningInWall",
    "OrderLine",
    "Place",
    "PlaceOrder",
    "Promise",
    "Put",
    "RecordEvent",
    "RecordMeasure",
    "RecordReadings",
    "RecordReceipt",
    "RemoveActivity",
    "RemoveBackdrop",
    "RemoveChangeOrder",
    "RemoveChoice",
    "RemoveCorner",
    "RemoveFixed",
    "RemoveLight",
    "RemoveOpening",
    "RemovePiece",
    "RemoveReading",
    "RemoveRoom",
    "RemoveSketch",
    "RemoveSlope",
    "RemoveStair",
    "RemoveWindow",
    "Resize",
    "SaveSketch",
    "SayWalk",
    "SetAside",
    "SetCalendar",
    "SetCrew",
    "SetDrying",
    "SetFigure",
    "SetHouse",
    "SetKeeping",
    "SetMeasure",
    "SetPoints",
    "SetStep",
    "SetUse",
    "SetVendor",
    "SetWall",
    "ShowBackdrop",
    "SplitActivity",
    "Start",
    "StartHouse",
    "TakeDownSheet",
    "TriedTable",
    "TryRoom",
    "Turn",
    "Unlink",
    "UseReading",
    "WallLength",
    "Work",
    "begin",
    "not_ahead",
    "parse",
    "run",
]
