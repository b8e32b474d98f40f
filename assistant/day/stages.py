"""The stages of the day and what leads from one to the next.

The table below is the whole of it, but for four rules it cannot say:

- *The mash has rests.* COMPLETED and SKIPPED lead from one rest to the next, and out of the mash
  only after the last; WENT_BACK returns to the rest before, and out only from the first.
- *A stage is completed* when its tasks are done, the readings it cannot do without are taken or
  waived, and no choice is open. Which those are stands with the entry of each stage.
- *The brewer is followed.* A report such as "boiling" leads where the table says whatever is
  still open; what that leaves undone is counted as left out and its cost is told.
- *Time closes the day.* Cleaning ends by itself when its timer is due, so that a day whose brewer
  has gone home is finished.
"""

from collections.abc import Mapping
from enum import Enum

from assistant.advice.timeline import Stage


class Trigger(Enum):
    """What can lead from a stage to another."""

    COMPLETED = "all done"
    SKIPPED = "skip"
    WENT_BACK = "back"
    WATER_READY = "water is ready"
    GRAIN_IN = "grain is in"
    BAG_OUT = "bag is out"
    BOILING = "boiling"
    FLAME_OUT = "flame out"
    WHIRLPOOL_DONE = "whirlpool done"
    CHILLED = "chilled"
    TRANSFERRED = "transferred"
    PITCHED = "pitched"


TRANSITIONS: Mapping[Stage, Mapping[Trigger, Stage]] = {
    Stage.GATHER: {
        Trigger.COMPLETED: Stage.STRIKE,
        Trigger.SKIPPED: Stage.STRIKE,
        Trigger.WATER_READY: Stage.DOUGH_IN,
        Trigger.GRAIN_IN: Stage.MASH,
    },
    Stage.STRIKE: {
        Trigger.COMPLETED: Stage.DOUGH_IN,
        Trigger.SKIPPED: Stage.DOUGH_IN,
        Trigger.WENT_BACK: Stage.GATHER,
        Trigger.WATER_READY: Stage.DOUGH_IN,
        Trigger.GRAIN_IN: Stage.MASH,
    },
    Stage.DOUGH_IN: {
        Trigger.COMPLETED: Stage.MASH,
        Trigger.SKIPPED: Stage.MASH,
        Trigger.WENT_BACK: Stage.STRIKE,
        Trigger.GRAIN_IN: Stage.MASH,
        Trigger.BAG_OUT: Stage.BOIL_UP,
    },
    Stage.MASH: {
        Trigger.COMPLETED: Stage.LIFT,
        Trigger.SKIPPED: Stage.LIFT,
        Trigger.WENT_BACK: Stage.DOUGH_IN,
        Trigger.BAG_OUT: Stage.BOIL_UP,
        Trigger.BOILING: Stage.BOIL,
    },
    Stage.LIFT: {
        Trigger.COMPLETED: Stage.BOIL_UP,
        Trigger.SKIPPED: Stage.BOIL_UP,
        Trigger.WENT_BACK: Stage.MASH,
        Trigger.BAG_OUT: Stage.BOIL_UP,
        Trigger.BOILING: Stage.BOIL,
    },
    Stage.BOIL_UP: {
        Trigger.COMPLETED: Stage.BOIL,
        Trigger.SKIPPED: Stage.BOIL,
        Trigger.WENT_BACK: Stage.LIFT,
        Trigger.BOILING: Stage.BOIL,
        Trigger.FLAME_OUT: Stage.WHIRLPOOL,
    },
    Stage.BOIL: {
        Trigger.COMPLETED: Stage.WHIRLPOOL,
        Trigger.SKIPPED: Stage.WHIRLPOOL,
        Trigger.WENT_BACK: Stage.BOIL_UP,
        Trigger.FLAME_OUT: Stage.WHIRLPOOL,
        Trigger.WHIRLPOOL_DONE: Stage.CHILL,
        Trigger.CHILLED: Stage.TRANSFER,
    },
    Stage.WHIRLPOOL: {
        Trigger.COMPLETED: Stage.CHILL,
        Trigger.SKIPPED: Stage.CHILL,
        Trigger.WENT_BACK: Stage.BOIL,
        Trigger.BOILING: Stage.BOIL,
        Trigger.WHIRLPOOL_DONE: Stage.CHILL,
        Trigger.CHILLED: Stage.TRANSFER,
    },
    Stage.CHILL: {
        Trigger.COMPLETED: Stage.TRANSFER,
        Trigger.SKIPPED: Stage.TRANSFER,
        Trigger.WENT_BACK: Stage.WHIRLPOOL,
        Trigger.CHILLED: Stage.TRANSFER,
        Trigger.TRANSFERRED: Stage.TRANSFER,
    },
    Stage.TRANSFER: {
        Trigger.COMPLETED: Stage.PITCH,
        Trigger.SKIPPED: Stage.PITCH,
        Trigger.WENT_BACK: Stage.CHILL,
        Trigger.PITCHED: Stage.CLEAN,
    },
    Stage.PITCH: {
        Trigger.COMPLETED: Stage.CLEAN,
        Trigger.SKIPPED: Stage.CLEAN,
        Trigger.WENT_BACK: Stage.TRANSFER,
        Trigger.PITCHED: Stage.CLEAN,
    },
    Stage.CLEAN: {
        Trigger.COMPLETED: Stage.FINISHED,
        Trigger.SKIPPED: Stage.FINISHED,
        Trigger.WENT_BACK: Stage.PITCH,
    },
    Stage.FINISHED: {},
}


def led_to(stage: Stage, trigger: Trigger) -> Stage | None:
    """The stage a trigger leads to, or None where the table has no such step."""
    return TRANSITIONS[stage].get(trigger)
