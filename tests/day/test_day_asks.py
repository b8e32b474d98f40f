"""A whole day that goes as believed, every question answered: how often the brewer is asked."""

from collections import Counter
from dataclasses import replace

import pytest
from days import Driven, begun

from assistant.advice.actions import Do
from assistant.advice.batch import gravity_now, kettle_volume_l, temperature_now_c
from assistant.advice.timeline import Stage
from assistant.day.commands import Command
from assistant.day.events import TaskDone
from assistant.day.quantities import Quantity
from assistant.day.state import State
from assistant.day.timers import next_due_s
from assistant.schedule import Schedule

BY_ITSELF = (Do.HEAT, Do.HEAT_FOR, Do.HOLD, Do.BOIL, Do.SETTLE, Do.STIR, Do.CHILL)
"""What ends with a reading or a timer."""


def shown(state: State, quantity: Quantity) -> tuple[float, str]:
    """What a brewer reads, where all is as believed; coolers are asked about once and are there."""
    schedule, kettle = state.schedule, state.schedule.kettle
    cooled = {
        Stage.WHIRLPOOL: schedule.whirlpool.temperature_c,
        Stage.CHILL: schedule.chill.to_c,
        Stage.PITCH: schedule.chill.to_c,
    }
    if state.stage in cooled and quantity.value.endswith("temperature"):
        return cooled[state.stage], "degC"
    if quantity in (Quantity.KETTLE_VOLUME, Quantity.FERMENTER_VOLUME):
        return round(kettle_volume_l(state.batch, schedule, state.now_s), 1), "L"
    if quantity is Quantity.GRAVITY:
        return round(gravity_now(state.batch, schedule, state.now_s), 4), "SG"
    if quantity is Quantity.MASH_PH:
        return 5.4, "pH"
    return round(temperature_now_c(state.batch, kettle, state.now_s), 1), "degC"


def whole_day(schedule: Schedule) -> tuple[Driven, Counter[Quantity]]:
    """A day from the first question to the last, each answered a quarter of a minute later."""
    day, answers = begun(schedule), Counter[Quantity]()
    for _ in range(600):
        state = day.state
        if state.stage is Stage.FINISHED:
            return day, answers
        hands = [task for task in state.tasks if task.action.do not in BY_ITSELF]
        if state.asks:
            for ask in day.wait(15).state.asks[:1]:
                answers[ask.quantity] += 1
                if ask.quantity is Quantity.BOILING:
                    day.command(Command.BOILING)
                else:
                    day.read(ask.quantity, *shown(day.state, ask.quantity))
        elif state.question is not None:
            day.command(Command.YES)
        elif state.advice is not None:
            day.choose(state.advice.finding.recommended)
        elif hands:
            day.wait(30).happen(TaskDone(at=day.at, task_id=hands[0].id))
        else:
            due_s = next_due_s(state)
            assert due_s is not None, f"nothing to do and nothing due in {state.stage}"
            day.wait(max(due_s - day.at, 0.0))
    raise AssertionError(f"the day stayed in {day.state.stage}")


@pytest.mark.parametrize("loss_w_k", [3.2, 8.0])
def test_a_whole_day_asks_fewer_than_thirty_times(amber: Schedule, loss_w_k: float) -> None:
    beer = replace(amber, kettle=replace(amber.kettle, heat_loss_w_k=loss_w_k))
    day, answers = whole_day(beer)
    assert answers.total() < 30
    assert answers[Quantity.GRAVITY] >= 2
    assert len(day.state.readings) < 30
