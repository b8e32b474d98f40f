"""Additions that do not go in: what that costs, and how they come back."""

from dataclasses import replace

from assistant.advice import figures
from assistant.advice.forecast import end_of, finished_ibu
from assistant.day.additions import BOIL_MOMENTS, set_fate
from assistant.day.boil_clock import boil_left_min
from assistant.day.effects import TimerNews, Why
from assistant.day.outlook import prospect
from assistant.day.state import Fate
from assistant.day.turn import Turn
from assistant.day.wording import addition_names
from assistant.schedule.model import Moment


def better_late(turn: Turn, index: int) -> None:
    """A due addition was missed, but little is lost: in with it, unless the boil is over."""
    addition = turn.state.schedule.additions[index]
    if addition.moment in BOIL_MOMENTS and boil_left_min(turn.state) < 1:
        leave_out(turn, [index])
        return
    turn.say(f"Little is lost. Add the {addition.name} now, or say skip.", Why.ANSWER)


def leave_out(turn: Turn, indices: list[int]) -> None:
    """Additions will not go in, as the brewer said: what that costs is told once."""
    mark_left_out(turn, indices, cut=False)
    tell_left_out(turn, indices)


def mark_left_out(turn: Turn, indices: list[int], *, cut: bool) -> None:
    """Additions are off the list; ``cut`` where their time ended with their stage."""
    for index in indices:
        entry = replace(turn.state.additions[index], fate=Fate.LEFT_OUT, cut=cut)
        set_fate(turn, index, entry)
    turn.close_tasks(lambda task: task.index in indices)
    turn.end_timers(lambda timer: timer.index in indices, TimerNews.CANCELLED)


def tell_left_out(turn: Turn, indices: list[int]) -> None:
    """Say what was left out, and what that costs."""
    if not indices:
        return
    names = [addition_names(turn.state.schedule)[index] for index in indices]
    planned_ibu, ibu = turn.state.plan.ibu, _ibu(turn)
    text = figures.listed(names) if len(names) < 3 else f"{len(names)} additions"
    text = f"{figures.sentence(text)} left out"
    if planned_ibu - ibu >= 1:
        text += f": {ibu:.0f} IBU instead of {planned_ibu:.0f}"
    turn.say(f"{text}.", Why.ANSWER)


def take_back_in(turn: Turn, *moments: Moment) -> None:
    """What was cut off with its stage, or still due in it, has its time again with the stage."""
    pairs = zip(turn.state.schedule.additions, turn.state.additions, strict=True)
    for index, (addition, entry) in enumerate(pairs):
        if (entry.cut or entry.fate is Fate.DUE) and addition.moment in moments:
            set_fate(turn, index, replace(entry, fate=Fate.PENDING, cut=False))


def _ibu(turn: Turn) -> float:
    state = turn.state
    ahead = prospect(state)
    end = end_of(state.batch, state.schedule, ahead, state.now_s)
    return finished_ibu(end, ahead.doses, ahead.boiling_c)
