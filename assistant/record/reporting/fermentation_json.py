"""The weeks after a brew day for programs: numbers with their unit in the key."""

from typing import Any

from assistant.cellar.state import DAY_S, BeerReading, Packaged
from assistant.day.events import Source
from assistant.day.incidents import incident_words
from assistant.day.quantities import QUANTITIES
from assistant.record.reporting.account import Account
from assistant.record.reporting.fermentation import Fermentation, ReadOfBeer
from assistant.record.reporting.plain import plain


def fermentation_object(account: Account) -> dict[str, Any] | None:
    """What became of the beer as lists, objects, text and numbers; None where nobody came to it."""
    told = account.fermentation
    if told is None:
        return None
    beer, ferment = told.beer, account.schedule.ferment
    return {
        "pitched_s": beer.pitched_s,
        "seen_s": told.seen_s,
        "progress": told.progress.value,
        "volume_l": beer.volume_l,
        "original_gravity": {
            "planned": beer.planned_original_gravity,
            "reached": told.original_gravity,
        },
        "gravity": plain(told.gravity),
        "final_gravity": {
            "planned": beer.planned_final_gravity,
            "expected": told.expected_final_gravity,
            "reached": plain(told.final_gravity),
        },
        "attenuation_percent": {
            "planned": _percent(told.planned_attenuation),
            "reached": _percent(told.attenuation),
        },
        "abv_percent": {
            "planned": plain(told.planned_abv_percent),
            "reached": plain(told.abv_percent),
        },
        "curve": _curve(told),
        "steady_s": told.steady_s,
        "steady_days": told.steady_days,
        "wanted": plain(ferment),
        "readings": [_reading(read) for read in told.readings],
        "additions": [
            {
                "name": each.name,
                "kind": plain(each.kind),
                "weight_g": each.weight_g,
                "due_s": each.due_s,
                "done_s": each.done_s,
                "left_out": each.left_out,
            }
            for each in told.tended
        ],
        "packaged": None if told.packaged is None else _packaged(told.packaged, told.ready_s),
        "slurry": None
        if told.slurry is None
        else {"at_s": told.slurry.at, "volume_ml": told.slurry.volume_ml},
        "to_come": plain(told.coming),
        "notes": [{"at_s": note.at, "text": note.text} for note in told.notes],
        "incidents": [
            {"at_s": incident.at, "kind": type(incident).__name__, "text": incident_words(incident)}
            for incident in told.incidents
        ],
    }


def source_of(reading: BeerReading) -> Source:
    """How a reading of the beer came."""
    if reading.streamed:
        return Source.STREAM
    return Source.SENSOR if reading.sensed else Source.WORDS


def _percent(share: float | None) -> float | None:
    return None if share is None else 100 * share


def _curve(told: Fermentation) -> dict[str, Any]:
    curve = told.curve
    return {
        "fitted": told.gravity_read,
        "original_gravity": curve.original_gravity,
        "final_gravity": curve.final_gravity,
        "final_gravity_low": curve.final_low,
        "final_gravity_high": curve.final_high,
        "finish_s": told.beer.pitched_s + curve.finish_day * DAY_S,
        "finish_low_s": told.beer.pitched_s + curve.finish_low * DAY_S,
        "finish_high_s": told.beer.pitched_s + curve.finish_high * DAY_S,
    }


def _reading(read: ReadOfBeer) -> dict[str, Any]:
    reading = read.reading
    return {
        "at_s": reading.at,
        "quantity": reading.quantity.value,
        "value": plain(reading.value),
        "unit": QUANTITIES[reading.quantity].unit,
        "said": plain(reading.said),
        "said_unit": reading.said_unit,
        "sample_c": plain(reading.sample_c),
        "source": source_of(reading).value,
        "gravity": plain(reading.gravity),
        "gravity_spread": None if reading.gravity is None else reading.spread,
        "warmth": plain(read.warmth),
    }


def _packaged(packed: Packaged, ready_s: float | None) -> dict[str, Any]:
    figures = {key: value for key, value in plain(packed).items() if key != "at"}
    return {"at_s": packed.at, **figures, "ready_s": ready_s}
