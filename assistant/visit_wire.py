"""A beer as the pipe of a visit tells of it."""

from typing import Any

from assistant.cellar.assessing import assess, curve_of
from assistant.cellar.coming import Coming
from assistant.cellar.dates import coming
from assistant.cellar.state import DAY_S, CellarState, Packaged

LATEST_S = 2 * 366 * DAY_S
"""No beer is tended for longer than two years; a larger ``at`` is a slip."""


def beer_json(state: CellarState) -> dict[str, Any]:
    """How far the beer has come and what is to come; moments in seconds of its brew day."""
    assessed = assess(state)
    curve, pitched_s = curve_of(state), state.beer.pitched_s
    finish, low, high = (
        round(pitched_s + day * DAY_S)
        for day in (curve.finish_day, curve.finish_low, curve.finish_high)
    )
    over = state.packaged is not None
    return {
        "progress": "packaged" if state.packaged is not None else assessed.progress.value,
        "pitched_at_s": pitched_s,
        "original_gravity": round(assessed.original_gravity, 5),
        "gravity": None if assessed.gravity is None else round(assessed.gravity, 5),
        "attenuation_percent": _percent(assessed.attenuation),
        "abv_percent": None if assessed.abv_percent is None else round(assessed.abv_percent, 3),
        "final_gravity": round(curve.final_gravity, 5),
        "finish_at_s": None if over else finish,
        "low_high": {
            "final_gravity": [round(curve.final_low, 5), round(curve.final_high, 5)],
            "finish_at_s": None if over else [low, high],
        },
        "steady_since_s": assessed.steady_s,
        "coming": [_coming_json(each) for each in coming(state, assessed)],
        "packaged": None if state.packaged is None else _packaged_json(state.packaged),
        "slurry_ml": None if state.slurry is None else state.slurry.volume_ml,
    }


def _percent(share: float | None) -> float | None:
    return None if share is None else round(share * 100, 2)


def _coming_json(each: Coming) -> dict[str, Any]:
    return {
        "key": each.key,
        "kind": each.kind.value,
        "what": each.what,
        "at_s": round(each.at_s),
        "low_s": None if each.low_s is None else round(each.low_s),
        "high_s": None if each.high_s is None else round(each.high_s),
    }


def _packaged_json(packaged: Packaged) -> dict[str, Any]:
    return {
        "at_s": packaged.at,
        "into": packaged.into.value,
        "carbonation_vol": packaged.carbonation_vol,
        "volume_l": packaged.volume_l,
        "temperature_c": packaged.temperature_c,
        "final_gravity": packaged.final_gravity,
        "sugar": None if packaged.sugar is None else packaged.sugar.value,
        "sugar_g": packaged.sugar_g,
        "bottles": packaged.bottles,
        "bottle_ml": packaged.bottle_ml,
        "pressure_kpa": packaged.pressure_kpa,
        "serving_c": packaged.serving_c,
    }
