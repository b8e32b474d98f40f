"""What a reading of the beer is likely to be; what is unlikely is asked about."""

from collections.abc import Callable, Mapping

from assistant.brewing.gravity import plato_from_gravity
from assistant.cellar.assessing import expected_final, original_gravity
from assistant.cellar.state import CellarState
from assistant.day.plausible import Likely
from assistant.day.quantities import Quantity

ABOVE_SG, BELOW_SG = 0.004, 0.010
"""A beer is read no further above its wort, nor below where its yeast should take it."""

RISE_SG = 0.003
"""Gravity does not rise; two readings may differ by as much."""


def likely(state: CellarState, quantity: Quantity) -> Likely | None:
    """What a quantity is likely to be, in the unit it is kept in; None where anything may be."""
    rule = LIKELY.get(quantity)
    return rule(state) if rule else None


def _gravity(state: CellarState) -> Likely:
    original = original_gravity(state)
    high = original + ABOVE_SG
    # Of thousands that float in the beer none is one: the first question sorts most of them out.
    last = next((r for r in reversed(state.readings) if not r.streamed and r.by_hydrometer), None)
    if last is not None and last.gravity is not None:
        # Sugar that went in since raises it again.
        fed = original - original_gravity(state, last.at)
        high = min(high, last.gravity + fed + RISE_SG)
    low = expected_final(state) - BELOW_SG
    return Likely(low=min(low, high - 0.001), high=high)


def _brix(state: CellarState) -> Likely:
    factor = state.schedule.kettle.wort_correction
    wort = float(plato_from_gravity(original_gravity(state))) * factor
    return Likely(low=max(0.25 * wort, 0.0), high=wort + 1.0)


def _volume(state: CellarState) -> Likely:
    expected_l = state.beer.volume_l
    return Likely(low=0.6 * expected_l, high=1.15 * expected_l + 0.5, expected=expected_l)


def _between(low: float, high: float) -> Callable[[CellarState], Likely]:
    return lambda state: Likely(low=low, high=high)


LIKELY: Mapping[Quantity, Callable[[CellarState], Likely]] = {
    Quantity.GRAVITY: _gravity,
    Quantity.BRIX: _brix,
    Quantity.FERMENTER_TEMPERATURE: _between(-2.0, 40.0),
    Quantity.FERMENTER_VOLUME: _volume,
    Quantity.ROOM_TEMPERATURE: _between(-10.0, 42.0),
    Quantity.SLURRY_VOLUME: _between(20.0, 3000.0),
}
