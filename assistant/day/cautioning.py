"""Speaking a caution, once a day."""

from assistant.advice import figures
from assistant.advice.timeline import Stage
from assistant.day.cautions import CAUTIONS, WET_GRAIN_FIRST_LIFT, Caution
from assistant.day.effects import Why
from assistant.day.turn import Turn


def speak_cautions(turn: Turn, stage: Stage) -> None:
    """Speak the cautions of a stage that apply to this day."""
    for caution, spec in CAUTIONS.items():
        if spec.stage is stage and spec.applies(turn.state.schedule):
            speak_caution(turn, caution)


def speak_caution(turn: Turn, caution: Caution) -> None:
    """Speak one caution, unless it was spoken today."""
    if caution in turn.state.cautioned:
        return
    grain_kg = turn.state.schedule.grain_kg
    bag = figures.about_weight(grain_kg * WET_GRAIN_FIRST_LIFT * 1000, turn.units)
    turn.change(cautioned=turn.state.cautioned | {caution})
    turn.say(CAUTIONS[caution].text.format(bag=bag), Why.CAUTION)
