"""The heater as the day has it: how much of its power is on follows from what is to be done."""

from assistant.advice.actions import Do
from assistant.advice.happenings import heat_turned
from assistant.day.state import State, TimerKind
from assistant.day.turn import Turn

HEATS = (Do.HEAT, Do.HEAT_FOR, Do.BOIL)


def heat_share(state: State) -> float:
    """The share of full power that is on, 0 to 1, as far as the brewer does as asked."""
    burst = any(timer.kind is TimerKind.BURST for timer in state.timers)
    shares = [
        task.action.power or 1.0
        for task in state.tasks
        if task.action.do in HEATS and (burst or task.action.do is not Do.HEAT_FOR)
    ]
    return max(shares, default=0.0)


def turn_heat(turn: Turn) -> None:
    """Take note of heat that was turned up, down or off by what has just happened."""
    state = turn.state
    share = heat_share(state)
    if share != state.batch.heat.share:
        kettle = state.schedule.kettle
        turn.change(batch=heat_turned(state.batch, kettle, share, turn.now_s))
