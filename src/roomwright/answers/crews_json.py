"""The levelled plan as JSON: the fields of docs/json.md."""

from __future__ import annotations

from typing import Any

from roomwright.answers.crews import CrewsAnswer
from roomwright.answers.dates import plain


def as_json(found: CrewsAnswer) -> dict[str, Any]:
    """Return the documented fields."""
    plan = found.plan
    return {
        "working_days": plain(plan.working_days),
        "plain_days": plain(found.plain_days),
        "costs_days": plain(found.costs),
        "soonest_days": plain(plan.soonest),
        "later_days": plain(plan.later),
        "costs_in_time_days": plain(found.costs_in_time),
        "costs_in_time_proved": found.in_time_proved,
        "finish": plan.finish.isoformat(),
        "proved": plan.proved,
        "says": found.text,
        "steps": [
            {"goal": s.goal, "value": s.value, "bound": s.bound, "proved": s.proved,
             "says": s.text}
            for s in plan.steps
        ],
        "work": [
            {
                "id": w.id,
                "name": w.name,
                "trades": list(w.trades),
                "rooms": list(w.rooms),
                "state": w.place.state,
                "first_day": w.place.first_day.isoformat(),
                "last_day": w.place.last_day.isoformat(),
                "plain_first_day": w.plain_first.isoformat(),
                "waits_days": plain(w.place.waits),
                "held_by": [{"limit": h.limit, "work": list(h.by)} for h in w.place.held],
                "booked": None if w.booked is None else w.booked.isoformat(),
            }
            for w in found.work
        ],
        "clashes": [
            {
                "limit": c.limit,
                "work": list(c.activities),
                "first_day": c.first_day.isoformat(),
                "last_day": c.last_day.isoformat(),
                "in_use": c.in_use,
                "most": c.most,
                "says": found.clash_text(c),
            }
            for c in found.clashes
        ],
        "limits": [
            {
                "limit": r.limit.name,
                "most": r.limit.most,
                "work": [u.activity for u in r.limit.uses],
                "supposed": r.supposed,
                "holds": list(r.holds),
                "saves_days": None if r.saves is None else plain(r.saves),
                "proved": r.proved,
            }
            for r in found.limits
        ],
        "calls": [
            {
                "activity": c.activity,
                "name": c.name,
                "trade": c.trade,
                "who": c.who,
                "phone": c.phone,
                "booked": c.booked.isoformat(),
                "now": c.now.isoformat(),
            }
            for c in found.calls
        ],
        "choices": [
            {
                "moved": [m.activity for m in c.moved],
                "working_days": plain(c.working_days),
                "later_days": plain(c.later),
                "proved": c.proved,
            }
            for c in found.choices
        ],
        "over": list(plan.over),
        "notes": list(found.notes),
    }  # fmt: skip
