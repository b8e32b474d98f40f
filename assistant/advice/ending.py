"""Where a batch ends: the boil, the fermenter, and what of the one comes into the other."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from assistant.advice.batch import Batch, Boiled, Place, boiled_s, kettle_volume_l
from assistant.advice.plan import Plan
from assistant.advice.worts import Extract, believed_gravity, mean_boil_gravity
from assistant.schedule.model import Schedule

LEAST_L = 0.1
"""Less wort than this is not reckoned with."""


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


def outcome(
    batch: Batch,
    schedule: Schedule,
    *,
    at_s: float,
    boil_minutes_left: float,
    extracts_to_come: Sequence[Extract],
    top_up_l: float,
    most_l: float | None = None,
) -> Outcome:
    """Where the batch ends after the boil that is left, the sugars and the top-up to come.

    ``most_l`` is the most that is to be run into the fermenter, where that is less than there is.
    """
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
    moved_l = moved_l if most_l is None else min(moved_l, most_l)
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
