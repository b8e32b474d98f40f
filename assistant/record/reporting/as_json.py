"""The account of a day as one JSON object: numbers with their unit in the key."""

import json
from datetime import UTC
from typing import Any

from assistant.day.incidents import incident_words
from assistant.day.quantities import QUANTITIES
from assistant.record.reporting.account import Account
from assistant.record.reporting.deviation_words import found_and_meant
from assistant.record.reporting.fermentation_json import fermentation_object
from assistant.record.reporting.laying import clock_of
from assistant.record.reporting.plain import plain

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
    planned = plain(account.plan)
    return {
        "format": FORMAT,
        "day": account.day.id,
        "beer": account.schedule.beer,
        "status": account.day.status.value,
        "schedule_path": account.day.schedule_path,
        "began": clock.moment(account.began_s).isoformat(),
        "began_s": account.began_s,
        "ended_s": account.ended_s,
        "recipe": plain(account.schedule),
        "plan": {key: figure for key, figure in planned.items() if key not in OWN_BUSINESS},
        "outcome": {
            outcome.figure.value: {
                "planned": outcome.planned,
                "reached": outcome.reached,
                "known": outcome.known.value,
            }
            for outcome in account.outcomes
        },
        "reasons": plain(account.reasons),
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
        "stages": plain(account.stages),
        "course": {
            "planned": plain(account.planned_course),
            "targets": plain(account.targets),
            "marks": plain(account.marks),
            "believed": plain(account.believed),
            "rests": plain(account.held),
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
        "salts": plain(account.stirred),
        "advice": plain(account.advice),
        "deviations": [
            {**plain(deviation), "found": found, "meant": meant}
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
        "asked": plain(account.asked),
        "taken_back": plain(account.taken_back),
        "notes": [{"at_s": note.at, "text": note.text} for note in account.notes],
        "incidents": [
            {"at_s": incident.at, "kind": type(incident).__name__, "text": incident_words(incident)}
            for incident in account.incidents
        ],
        "fermentation": fermentation_object(account),
    }
