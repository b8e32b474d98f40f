"""The batch as best known: how much wort, how much extract, how warm, and where it is.

Readings and things done change it; :func:`outcome` carries it to the fermenter. Extract is
conserved and volume is counted in litres at 20 °C, so a boil only takes water away.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from assistant.advice.after_boil import Steeping
from assistant.advice.plan import Plan
from assistant.advice.worts import (
    Extract,
    believed_gravity,
    mash_extract_kg,
    mean_boil_gravity,
)
from assistant.brewing.gravity import extract_kg
from assistant.schedule.model import Kettle, Schedule

SAME_SAMPLE_S = 900.0
"""A volume and a gravity read within a quarter of an hour are taken to be of the same wort."""


LEAST_L = 0.1
"""Less wort than this is not reckoned with."""


class Place(Enum):
    """Where the liquid is."""

    MASH = "mash"
    KETTLE = "kettle"
    FERMENTER = "fermenter"


@dataclass(frozen=True, kw_only=True)
class Boiled:
    """What bitterness is reckoned from: the volume after the boil and the mean gravity in it."""

    volume_l: float
    gravity: float


@dataclass(frozen=True, kw_only=True)
class Batch:
    """What is believed of the liquid; at first the plan's figures, then what was read.

    ``volume_l`` is the water poured in while in the MASH, else the wort, as it was at
    ``volume_at_s``; while ``boiling`` it shrinks from then on. ``extract_kg`` is what is, or will
    be, in the kettle once the bag is out. The ``_read`` flags tell a reading from the plan.
    ``boiled_s`` is how long it had boiled when it last went off the boil, ``boil_on_s`` stands
    while it boils, and ``sweetened`` holds the extract added in the boil and how long the wort
    had boiled by then. ``steeping`` stands from flameout on. ``boiled`` stands once the wort
    has left the kettle, and ``undiluted`` is the share of the fermenter's content that came from
    there.
    """

    place: Place
    volume_l: float
    volume_at_s: float
    extract_kg: float
    temperature_c: float
    temperature_at_s: float
    volume_read: bool = False
    gravity_read: bool = False
    gravity: float | None = None
    gravity_at_s: float | None = None
    boil_start_gravity: float | None = None
    boiled_s: float = 0.0
    boil_on_s: float | None = None
    sweetened: tuple[tuple[Extract, float], ...] = ()
    steeping: Steeping | None = None
    boiled: Boiled | None = None
    undiluted: float = 1.0

    @property
    def boiling(self) -> bool:
        """Whether it boils, and shrinks."""
        return self.boil_on_s is not None


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """Where a batch ends: the boil, the fermenter, and the share there that came from the boil."""

    boiled: Boiled
    undiluted: float
    fermenter_volume_l: float
    original_gravity: float


def planned_boil(plan: Plan) -> Boiled:
    """The boil as the plan has it."""
    return Boiled(volume_l=plan.postboil_volume_l, gravity=plan.boil_gravity)


def fresh_batch(schedule: Schedule, plan: Plan, at_s: float) -> Batch:
    """The batch before anything was done: the plan's water and the plan's extract."""
    return Batch(
        place=Place.MASH,
        volume_l=plan.strike_volume_l,
        volume_at_s=at_s,
        extract_kg=mash_extract_kg(schedule),
        temperature_c=schedule.kettle.tap_water_c,
        temperature_at_s=at_s,
    )


def volume_now_l(batch: Batch, kettle: Kettle, at_s: float) -> float:
    """Litres at ``at_s``, the boil-off since the last figure taken away."""
    if not batch.boiling:
        return batch.volume_l
    boiled_h = max(at_s - batch.volume_at_s, 0.0) / 3600
    return max(batch.volume_l - kettle.boil_off_l_h * boiled_h, 0.1)


def kettle_volume_l(batch: Batch, schedule: Schedule, at_s: float) -> float:
    """Litres of wort in the kettle, or that will be there once the bag is out."""
    volume_l = volume_now_l(batch, schedule.kettle, at_s)
    if batch.place is Place.MASH:
        return max(volume_l - schedule.kettle.absorption_l_kg * schedule.grain_kg, 0.1)
    return volume_l


def gravity_now(batch: Batch, schedule: Schedule, at_s: float) -> float:
    """The gravity of the wort as believed."""
    return believed_gravity(batch.extract_kg, kettle_volume_l(batch, schedule, at_s))


def with_volume(batch: Batch, schedule: Schedule, volume_l: float, at_s: float) -> Batch:
    """After reading a volume; a gravity read of the same wort gives the extract anew."""
    measured = replace(batch, volume_l=volume_l, volume_at_s=at_s, volume_read=True)
    if (
        batch.gravity is not None
        and batch.gravity_at_s is not None
        and at_s - batch.gravity_at_s <= SAME_SAMPLE_S
    ):
        return with_gravity(measured, schedule, batch.gravity, at_s)
    return measured


def with_gravity(batch: Batch, schedule: Schedule, gravity: float, at_s: float) -> Batch:
    """After reading a gravity: the extract follows from it and the volume as known."""
    return replace(
        batch,
        extract_kg=max(extract_kg(kettle_volume_l(batch, schedule, at_s), gravity), 0.0),
        gravity_read=True,
        gravity=gravity,
        gravity_at_s=at_s,
    )


def with_temperature(batch: Batch, temperature_c: float, at_s: float) -> Batch:
    """After reading, or reaching, a temperature."""
    steeping = batch.steeping
    if steeping is not None and batch.place is Place.KETTLE and not batch.boiling:
        steeping = steeping.reached(temperature_c, at_s)
    return replace(batch, temperature_c=temperature_c, temperature_at_s=at_s, steeping=steeping)


def with_water(batch: Batch, kettle: Kettle, litres: float, at_s: float) -> Batch:
    """After adding water; a gravity read before no longer stands."""
    volume_l = volume_now_l(batch, kettle, at_s)
    in_fermenter = batch.place is Place.FERMENTER
    return replace(
        batch,
        undiluted=batch.undiluted * (volume_l / (volume_l + litres) if in_fermenter else 1.0),
        volume_l=volume_l + litres,
        volume_at_s=at_s,
        gravity=None,
        gravity_at_s=None,
    )


def boiled_s(batch: Batch, at_s: float) -> float:
    """Seconds the wort has boiled in all."""
    running_s = 0.0 if batch.boil_on_s is None else max(at_s - batch.boil_on_s, 0.0)
    return batch.boiled_s + running_s


def with_extract(batch: Batch, added: Extract, at_s: float) -> Batch:
    """After dissolving extract, which swells the wort; a gravity read before no longer stands."""
    sweetened = batch.sweetened
    if batch.boil_start_gravity is not None:
        sweetened = (*sweetened, (added, boiled_s(batch, at_s)))
    return replace(
        batch,
        sweetened=sweetened,
        volume_l=batch.volume_l + added.swell_l,
        extract_kg=batch.extract_kg + added.mass_kg,
        gravity=None,
        gravity_at_s=None,
    )


def lifted(batch: Batch, schedule: Schedule, at_s: float) -> Batch:
    """After the bag is out: what the grain holds is gone with it."""
    if batch.place is not Place.MASH:
        return batch
    return replace(
        batch,
        place=Place.KETTLE,
        volume_l=kettle_volume_l(batch, schedule, at_s),
        volume_at_s=at_s,
        volume_read=False,
    )


def boiling(batch: Batch, schedule: Schedule, at_s: float, *, on: bool) -> Batch:
    """After the boil begins or ends."""
    if batch.boiling == on:
        return batch
    return replace(
        batch,
        volume_l=volume_now_l(batch, schedule.kettle, at_s),
        volume_at_s=at_s,
        boiled_s=boiled_s(batch, at_s),
        boil_on_s=at_s if on else None,
        boil_start_gravity=batch.boil_start_gravity or gravity_now(batch, schedule, at_s),
    )


def unboiled(batch: Batch, kettle: Kettle, at_s: float, *, boiled_s: float) -> Batch:
    """After a boil that was none: nothing has boiled off, and ``boiled_s`` is what really boiled.

    A volume read in the meantime stands.
    """
    untouched = batch.volume_at_s == batch.boil_on_s
    before = replace(
        batch,
        volume_l=batch.volume_l if untouched else volume_now_l(batch, kettle, at_s),
        volume_at_s=at_s,
        boil_on_s=None,
        boiled_s=boiled_s,
    )
    return before if boiled_s else replace(before, boil_start_gravity=None, sweetened=())


def transferred(batch: Batch, schedule: Schedule, at_s: float) -> Batch:
    """After running into the fermenter: trub and its wort stay behind."""
    if batch.place is Place.FERMENTER:
        return batch
    end = outcome(
        batch, schedule, at_s=at_s, boil_minutes_left=0.0, extracts_to_come=(), top_up_l=0.0
    )
    return replace(
        batch,
        place=Place.FERMENTER,
        volume_l=end.fermenter_volume_l,
        volume_at_s=at_s,
        boil_on_s=None,
        extract_kg=extract_kg(end.fermenter_volume_l, end.original_gravity),
        boiled=end.boiled,
        volume_read=False,
    )


def outcome(
    batch: Batch,
    schedule: Schedule,
    *,
    at_s: float,
    boil_minutes_left: float,
    extracts_to_come: Sequence[Extract],
    top_up_l: float,
) -> Outcome:
    """Where the batch ends after the boil that is left, the sugars and the top-up to come."""
    volume_l = kettle_volume_l(batch, schedule, at_s)
    to_come_kg = sum(extract.mass_kg for extract in extracts_to_come)
    whole_kg = batch.extract_kg + to_come_kg
    swell_l = sum(extract.swell_l for extract in extracts_to_come)
    if batch.place is Place.FERMENTER:
        end_l = volume_l + top_up_l
        return Outcome(
            boiled=batch.boiled
            or Boiled(volume_l=volume_l, gravity=believed_gravity(whole_kg, volume_l)),
            undiluted=batch.undiluted * volume_l / end_l,
            fermenter_volume_l=end_l,
            original_gravity=believed_gravity(whole_kg, end_l),
        )
    boiled_off_l = schedule.kettle.boil_off_l_h * boil_minutes_left / 60
    postboil_l = max(volume_l + swell_l - boiled_off_l, LEAST_L)
    moved_l = max(postboil_l - schedule.kettle.left_behind_l, LEAST_L)
    end_l = moved_l + top_up_l
    boil_min = boiled_s(batch, at_s) / 60 + boil_minutes_left
    added = [replace(part, boil_minutes=boil_min - s / 60) for part, s in batch.sweetened]
    return Outcome(
        boiled=Boiled(
            volume_l=postboil_l,
            gravity=mean_boil_gravity(
                (*added, *extracts_to_come),
                start_gravity=batch.boil_start_gravity
                or believed_gravity(batch.extract_kg, volume_l),
                whole_kg=whole_kg,
                postboil_l=postboil_l,
                boil_minutes=boil_min,
            ),
        ),
        undiluted=moved_l / end_l,
        fermenter_volume_l=end_l,
        original_gravity=believed_gravity(whole_kg * moved_l / postboil_l, end_l),
    )
