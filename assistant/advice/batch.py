"""The batch as best known: how much wort, how much extract, how warm, and where it is.

What is done to it stands in ``happenings``, what is read of it in ``batch_readings``;
``ending.outcome`` carries it to the fermenter. Extract is conserved and volume is counted in
litres at 20 °C, so a boil only takes water away.
"""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from assistant.advice.after_boil import Steeping
from assistant.advice.kettle import Belief, Contents, fresh_belief
from assistant.advice.learned import LearnedKettle
from assistant.advice.plan import Plan
from assistant.advice.warmth import HEAT_OFF, Heat, Pot, temperature_c
from assistant.advice.worts import (
    Extract,
    believed_gravity,
    mash_extract_kg,
    potential_extract_kg,
)
from assistant.schedule.model import Kettle, Schedule

HOTTEST_C = 105.0
"""No liquid in an open kettle is believed to be hotter."""


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
    be, in the kettle once the bag is out, ``grain_kg`` the grain in it now. ``temperature_c`` was
    the content's at ``temperature_at_s``, and ``heat`` is what the heater has done since.
    ``advised_kg`` is how much of the extract was added on advice.
    ``belief`` is how sure all that is, and what is believed of the kettle. The ``_read`` flags
    tell a reading from the plan.
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
    belief: Belief
    grain_kg: float = 0.0
    advised_kg: float = 0.0
    heat: Heat = HEAT_OFF
    volume_read: bool = False
    gravity_read: bool = False
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

    @property
    def contents(self) -> Contents:
        """Volume, extract and temperature, beside the belief in them."""
        return self.volume_l, self.extract_kg, self.temperature_c

    @property
    def warms_and_cools(self) -> bool:
        """Whether its temperature follows from the heater and the room alone."""
        return self.place is not Place.FERMENTER and not self.boiling and self.steeping is None


def fresh_batch(
    schedule: Schedule, plan: Plan, at_s: float, learned: LearnedKettle | None = None
) -> Batch:
    """The batch before anything was done: the plan's water and the plan's extract.

    ``learned`` is what was known of the kettle beside its figures, which are in the schedule.
    """
    kept_l = schedule.kettle.absorption_l_kg * schedule.grain_kg
    return Batch(
        place=Place.MASH,
        volume_l=plan.strike_volume_l,
        volume_at_s=at_s,
        extract_kg=mash_extract_kg(schedule),
        temperature_c=schedule.kettle.tap_water_c,
        temperature_at_s=at_s,
        belief=fresh_belief(
            schedule.kettle,
            learned,
            potential_kg=potential_extract_kg(schedule),
            kept_share=min(kept_l / plan.strike_volume_l, 0.9),
            strike_l=plan.strike_volume_l,
        ),
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


def boiled_s(batch: Batch, at_s: float) -> float:
    """Seconds the wort has boiled in all."""
    running_s = 0.0 if batch.boil_on_s is None else max(at_s - batch.boil_on_s, 0.0)
    return batch.boiled_s + running_s


def pot_of(batch: Batch, kettle: Kettle) -> Pot:
    """What the sums of warmth need of the kettle as it stands."""
    return Pot.of(kettle, batch.grain_kg, lid_off=batch.place is Place.KETTLE)


def temperature_now_c(batch: Batch, kettle: Kettle, at_s: float) -> float:
    """The content's temperature as believed, where it follows from the heater and the room."""
    seconds = at_s - batch.temperature_at_s
    if not batch.warms_and_cools or seconds <= 0:
        return batch.temperature_c
    figures = np.array((*batch.belief.traits, *batch.contents))
    warm_c = float(temperature_c(pot_of(batch, kettle), batch.heat, figures, seconds))
    return min(max(warm_c, 0.0), HOTTEST_C)
