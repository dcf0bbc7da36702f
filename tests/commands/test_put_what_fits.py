"""Putting a piece where it fits: what is said of it must hang together."""

import pytest

from roomwright.commands.base import BadCommandError
from roomwright.commands.what_fits import PutWhatFits


def test_what_makes_way_is_named_once():
    said = {"room": "209", "kind": "vanity", "x": 60, "y": 12, "width": 60, "depth": 21, "turn": 0}
    with pytest.raises(BadCommandError, match="M1 is named twice"):
        PutWhatFits.model_validate({**said, "away": ("M1", "M1")})
