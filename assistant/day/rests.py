"""Which rest of the mash it is, what it is called, and how much of it is left."""

from assistant.advice.timeline import Stage
from assistant.day.state import Phase, State
from assistant.schedule.model import Rest


def current_rest(state: State) -> Rest:
    """The rest of the mash at hand."""
    return state.schedule.mash[state.rest]


def rest_name(rest: Rest) -> str:
    """``beta rest``, ``mash-out``: the rest's name as it is spoken and its timer's name."""
    plain = rest.name.lower()
    return rest.name if "rest" in plain or plain.startswith("mash") else f"{rest.name} rest"


def rest_left_s(state: State) -> float | None:
    """Seconds left of the rest at hand; None while none runs, as while it is heated to."""
    timer = state.timer(rest_name(current_rest(state)))
    if state.stage is not Stage.MASH or timer is None or timer.phase is Phase.DUE:
        return None
    return max(timer.due_s - state.now_s, 0.0) if timer.left_s is None else timer.left_s
