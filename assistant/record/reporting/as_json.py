"""The account of a day as one JSON object: numbers with their unit in the key."""

import json
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import UTC
from enum import Enum
from typing import Any

from assistant.day.incidents import incident_words
from assistant.day.quantities import QUANTITIES
from assistant.record.reporting.account import Account
from assistant.record.reporting.deviation_words import found_and_meant
from assistant.record.reporting.laying import clock_of

FORMAT = 1
"""Raised when a key is renamed or goes; new keys may come without it."""

OWN_BUSINESS = (
    "after_boil",
    "boil_gravity",
    "fermented_gravity",
    "postboil_gravity",
    "sugar_share",
    "warnings",
)
"""Figures of a plan that no program was ever promised: the rest are those of `plan --json`."""


def as_json(account: Account) -> str:
    """The account for programs; what can't be told is null, and no figure is not finite.

    In ASCII, whatever was noted: it comes through any terminal's encoding whole.
    """
    return json.dumps(json_object(account), indent=2, allow_nan=False)


def json_object(account: Account) -> dict[str, Any]:
    """The account as lists, objects, text and numbers; the README describes its keys."""
    clock, units = clock_of(account, UTC), account.schedule.units
    plan = _plain(account.plan)
    return {
        "format": FORMAT,
        "day": account.day.id,
        "beer": account.schedule.beer,
        "status": account.day.status.value,
        "schedule_path": account.day.schedule_path,
        "began": clock.moment(account.began_s).isoformat(),
        "began_s": account.began_s,
        "ended_s": account.ended_s,
        "recipe": _plain(account.schedule),
        "plan": {key: figure for key, figure in plan.items() if key not in OWN_BUSINESS},
        "outcome": {
            outcome.figure.value: {
                "planned": outcome.planned,
                "reached": outcome.reached,
                "known": outcome.known.value,
            }
            for outcome in account.outcomes
        },
        "reasons": _plain(account.reasons),
        "moments": [
            {
                "name": moment.name,
                "planned_s": moment.planned_s,
                "reached_s": moment.reached_s,
                "because": [
                    {"stage": stage.value, "longer_s": longer_s}
                    for stage, longer_s in moment.because
                ],
            }
            for moment in account.milestones
        ],
        "stages": _plain(account.stages),
        "course": {
            "planned": _plain(account.planned_course),
            "targets": _plain(account.targets),
            "marks": _plain(account.marks),
            "believed": _plain(account.believed),
            "rests": _plain(account.held),
        },
        "readings": [
            {
                "at_s": seen.reading.at,
                "quantity": seen.reading.quantity.value,
                "value": seen.reading.value,
                "unit": QUANTITIES[seen.reading.quantity].unit,
                "said": seen.reading.said,
                "said_unit": seen.reading.said_unit,
                "sample_c": seen.reading.sample_c,
                "source": seen.source.value,
                "taken_back_s": seen.taken_back_s,
            }
            for seen in account.readings
        ],
        "additions": [
            {
                "name": line.name,
                "add": line.addition.name,
                "kind": line.addition.kind.value,
                "planned_g": line.planned_g,
                "weight_g": line.weight_g,
                "due_s": line.due_s,
                "in_s": line.in_s,
                "fate": line.fate.value,
                "planned_boiled_min": line.planned_boiled_min,
                "boiled_min": line.boiled_min,
                "planned_hot_min": line.planned_hot_min,
                "hot_min": line.hot_min,
                "planned_ibu": line.planned_ibu,
                "ibu": line.ibu,
                "extra": line.extra,
            }
            for line in account.additions
        ],
        "salts": _plain(account.stirred),
        "advice": _plain(account.advice),
        "deviations": [
            {**_plain(deviation), "found": found, "meant": meant}
            for deviation in account.deviations
            for found, meant in [found_and_meant(deviation, units)]
        ],
        "kettle": {
            "name": account.schedule.kettle.name,
            "brews": account.brews,
            "figures": {
                taught.trait.value: {
                    "card": taught.card,
                    "before": taught.before,
                    "before_spread": taught.before_spread,
                    "value": taught.value,
                    "spread": taught.spread,
                }
                for taught in account.taught
            },
        },
        "asked": _plain(account.asked),
        "taken_back": _plain(account.taken_back),
        "notes": [{"at_s": note.at, "text": note.text} for note in account.notes],
        "incidents": [
            {"at_s": incident.at, "kind": type(incident).__name__, "text": incident_words(incident)}
            for incident in account.incidents
        ],
    }


def _plain(thing: Any) -> Any:
    """What JSON can hold of frozen figures: enums by their value, nothing that is not finite."""
    if isinstance(thing, Enum):
        return thing.value
    if isinstance(thing, float):
        return thing if math.isfinite(thing) else None
    if is_dataclass(thing):
        return {field.name: _plain(getattr(thing, field.name)) for field in fields(thing)}
    if isinstance(thing, Mapping):
        return {_plain(key): _plain(value) for key, value in thing.items()}
    if isinstance(thing, list | tuple):
        return [_plain(each) for each in thing]
    return thing
