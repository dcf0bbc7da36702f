"""What a person may do: each command checks, then writes once through the store.

>>> sorted(COMMANDS)[:3]
['accept outline', 'add opening', 'add piece']
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
from roomwright.commands.base import BadCommandError, Command, Done, Work, begin, in_words, run
from roomwright.commands.house import StartHouse
from roomwright.commands.load import Load
from roomwright.commands.openings import AddOpening
from roomwright.commands.orders import OrderLine, PlaceOrder, Promise, RecordReceipt
from roomwright.commands.outline import AcceptOutline
from roomwright.commands.pieces import AddPiece, Move, RemovePiece, Resize, SetUse, Turn
from roomwright.commands.progress import DaysLeft, Finish, Start
from roomwright.commands.rooms import AddRoom, OpeningInWall, TriedTable, TryRoom
from roomwright.commands.sheets import HangSheet, TakeDownSheet
from roomwright.commands.survey import (
    RecordReadings,
    RemoveReading,
    SetAside,
    SetWall,
    UseReading,
)
from roomwright.commands.walks import SayWalk

COMMANDS: dict[str, type[Command]] = {
    c.command_name: c
    for c in (
        Load, StartHouse, TryRoom, AddRoom, AddOpening,
        Move, Turn, Resize, Arrange, AddPiece, RemovePiece, SetUse,
        PlaceOrder, Promise, RecordReceipt,
        Start, Finish, DaysLeft,
        HangSheet, TakeDownSheet, SayWalk,
        RecordReadings, SetAside, UseReading, RemoveReading, SetWall, AcceptOutline,
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
    "AddOpening",
    "AddPiece",
    "AddRoom",
    "Arrange",
    "BadCommandError",
    "Command",
    "DaysLeft",
    "Done",
    "Finish",
    "HangSheet",
    "Load",
    "Move",
    "OpeningInWall",
    "OrderLine",
    "PlaceOrder",
    "Promise",
    "RecordReadings",
    "RecordReceipt",
    "RemovePiece",
    "RemoveReading",
    "Resize",
    "SayWalk",
    "SetAside",
    "SetUse",
    "SetWall",
    "Start",
    "StartHouse",
    "TakeDownSheet",
    "TriedTable",
    "TryRoom",
    "Turn",
    "UseReading",
    "Work",
    "begin",
    "parse",
    "run",
]
