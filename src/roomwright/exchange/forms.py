"""The files of a house folder and their columns, shared by reader, writer, schemas and docs."""

from __future__ import annotations

from roomwright.exchange.calendar_forms import CALENDARS
from roomwright.exchange.columns import Form
from roomwright.exchange.crew_forms import CREW_FORMS
from roomwright.exchange.keeping_forms import KEEPING
from roomwright.exchange.people_forms import PEOPLE
from roomwright.exchange.plan_forms import (
    BACKDROPS,
    FIXED,
    FLOORS,
    HOUSE,
    KINDS,
    LIGHTS,
    OPENINGS,
    PIECES,
    READINGS_CSV,
    ROOMS,
    SKETCHES,
    SLOPES,
    STAIRS,
    WALKS,
    WALLS,
    WINDOWS,
)
from roomwright.exchange.supply_forms import EVENTS, MEASURES, STEPS, VENDORS
from roomwright.exchange.work_forms import (
    ACTIVITIES,
    CLASSES,
    COMPANIONS,
    CONTACTS,
    LINKS,
    ORDERS,
    PARTS,
    POSTED,
    PROGRESS,
    RECEIPTS,
)

__all__ = ["FLOORS", "FORMS", "FORM_OF", "HOUSE", "OPENINGS", "ROOMS", "TABLES"]

TABLES: tuple[Form, ...] = (
    ROOMS, WALLS, SLOPES, WALKS, KINDS, OPENINGS, WINDOWS, FIXED, PIECES, LIGHTS, STAIRS, FLOORS,
    READINGS_CSV, SKETCHES, BACKDROPS, CALENDARS, ACTIVITIES, LINKS, PROGRESS, CLASSES,
    COMPANIONS, PARTS, ORDERS, RECEIPTS, POSTED, CONTACTS, VENDORS, STEPS, EVENTS, MEASURES,
    *CREW_FORMS, *PEOPLE, KEEPING,
)  # fmt: skip
FORMS: tuple[Form, ...] = (HOUSE, *TABLES)
FORM_OF: dict[str, Form] = {form.kind.kind_name: form for form in FORMS}
"""Kind of fact -> the file it stands in."""
