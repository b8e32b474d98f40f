"""What is read of a batch, and what is believed of batch and kettle after it.

How far a reading scatters about the truth is common practice, no source.
"""

from dataclasses import replace

from assistant.advice.batch import Batch, Place, gravity_now
from assistant.advice.happenings import at_moment
from assistant.advice.kettle import (
    AT,
    CONFIRMED_ODD,
    ODD,
    Array,
    Belief,
    Content,
    Contents,
    Expected,
    known_afresh,
    learned_by,
    less_sure,
    observed,
)
from assistant.advice.learned import Trait
from assistant.schedule.model import Schedule

THERMOMETER_K = 0.25
"""Standard deviation of a temperature read in a stirred kettle."""

HEATER_DOUBTED = 0.3
"""Standard deviation of a heater's power, as a share, once a heating went oddly; an estimate."""

TOLD_K = 1.0
"""Standard deviation of a temperature the brewer only says has been reached."""

DIPSTICK_SHARE, DIPSTICK_L = 0.011, 0.1
"""Standard deviation of a volume read: a share of it, and at least so much."""

POURED_SHARE = 0.10
"""Water that is read rather than taken as poured may be off the plan by so much, as a share."""

HYDROMETER = 0.0007
"""Standard deviation of a gravity read in a cooled sample."""

UNEVEN_MASH = 0.003
"""What a sample of the mash differs by from the wort the bag will leave, as a gravity."""


def with_volume(
    batch: Batch, schedule: Schedule, volume_l: float, at_s: float, *, confirmed: bool = False
) -> Batch:
    """After reading a volume, in litres at 20 °C."""
    now = at_moment(batch, schedule.kettle, at_s)
    if now.place is Place.MASH and now.grain_kg == 0:
        now = replace(now, belief=less_sure(now.belief, Content.VOLUME_L, POURED_SHARE * volume_l))
    spread_l = max(DIPSTICK_SHARE * volume_l, DIPSTICK_L)
    read = _read(now, volume_l, lambda x: x[AT[Content.VOLUME_L]], spread_l, confirmed)
    return replace(read, volume_at_s=at_s, volume_read=True)


def with_gravity(
    batch: Batch, schedule: Schedule, gravity: float, at_s: float, *, confirmed: bool = False
) -> Batch:
    """After reading a gravity, of the mash, the wort in the kettle or that in the fermenter.

    In the mash the extract counts as dissolved in what will leave the bag.
    """
    now = at_moment(batch, schedule.kettle, at_s)
    in_mash = now.place is Place.MASH
    grain_kg = schedule.grain_kg if in_mash else 0.0
    expected = gravity_now(now, schedule, at_s)
    wort_l = max(now.volume_l - now.belief.value(Trait.ABSORPTION) * grain_kg, 0.1)
    # Points are as good as proportional to extract over volume: within 0.1 for a few per cent.
    points_l_kg = (expected - 1.0) * wort_l / max(now.extract_kg, 0.001)

    def shown(figures: Array) -> Array:
        drained = figures[AT[Content.VOLUME_L]] - figures[AT[Trait.ABSORPTION]] * grain_kg
        points: Array = 1.0 + points_l_kg * figures[AT[Content.EXTRACT_KG]] / drained
        return points

    spread = (HYDROMETER**2 + (UNEVEN_MASH if in_mash else 0.0) ** 2) ** 0.5
    read = _read(now, gravity, shown, spread, confirmed)
    return replace(read, gravity_read=True)


def with_temperature(
    batch: Batch,
    schedule: Schedule,
    temperature_c: float,
    at_s: float,
    *,
    spread_k: float = THERMOMETER_K,
) -> Batch:
    """After reading, or reaching, a temperature.

    At the boil, on the way down from it and in the fermenter it is taken as it is. So it is where
    it is too far off to be explained by heater and losses: then something was done to the kettle
    that nobody told, and it says nothing of them. Only where a heater of anything from nought to
    twice the power would explain it is the heater doubted from there on, so that the next reading
    tells which of the two it was.
    """
    if batch.warms_and_cools:
        now = at_moment(batch, schedule.kettle, at_s)
        odd_k = ODD * (now.belief.spread(Content.TEMPERATURE_C) ** 2 + spread_k**2) ** 0.5
        off_k = abs(temperature_c - now.temperature_c)
        if off_k > odd_k:
            belief = known_afresh(now.belief, Content.TEMPERATURE_C, spread_k)
            if off_k <= now.temperature_c - batch.temperature_c:
                belief = _heater_doubted(belief)
            return replace(now, belief=belief, temperature_c=temperature_c)
        return _read(now, temperature_c, lambda x: x[AT[Content.TEMPERATURE_C]], spread_k)
    steeping = batch.steeping
    if steeping is not None and batch.place is Place.KETTLE and not batch.boiling:
        steeping = steeping.reached(temperature_c, at_s)
    return replace(batch, temperature_c=temperature_c, temperature_at_s=at_s, steeping=steeping)


def _heater_doubted(belief: Belief) -> Belief:
    doubt = HEATER_DOUBTED * belief.value(Trait.HEATER)
    more = max(doubt**2 - belief.spread(Trait.HEATER) ** 2, 0.0) ** 0.5
    return less_sure(belief, Trait.HEATER, more)


def with_learned_kettle(schedule: Schedule, batch: Batch) -> Schedule:
    """The schedule with the kettle as it is believed to be by now."""
    kettle = learned_by(schedule.kettle, batch.belief)
    return schedule if kettle == schedule.kettle else replace(schedule, kettle=kettle)


def _read(
    batch: Batch, value: float, shown: Expected, spread: float, confirmed: bool = False
) -> Batch:
    contents: Contents
    belief, contents = observed(
        batch.belief,
        batch.contents,
        value,
        shown,
        spread=spread,
        odd=CONFIRMED_ODD if confirmed else ODD,
    )
    volume_l, extract_kg, temperature_c = contents
    return replace(
        batch,
        belief=belief,
        volume_l=volume_l,
        extract_kg=extract_kg,
        temperature_c=temperature_c,
    )
