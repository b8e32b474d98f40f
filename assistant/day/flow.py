"""How the day moves: what happens as a stage begins, ends, or a task or timer in it is over.

Three tables say who does what; the rest of the module follows triggers through the transitions of
``stages`` and applies the rules named there.
"""

from collections.abc import Callable, Mapping

from assistant.advice.actions import Do
from assistant.advice.batch import Place
from assistant.advice.timeline import ORDER, Stage
from assistant.day import (
    additions,
    boil_side,
    boil_up,
    cold_side,
    hot_side,
    left_out,
    mash,
    strike_water,
)
from assistant.day.asking import reading_due
from assistant.day.cautioning import speak_cautions
from assistant.day.effects import StageBegan, TimerNews, Why
from assistant.day.quantities import Quantity
from assistant.day.rests import current_rest
from assistant.day.stages import Trigger, led_to
from assistant.day.state import Phase, Reached, Task, Timer, TimerKind
from assistant.day.steeping import cold_at_last, cool_by_itself
from assistant.day.timer_kinds import POLICIES
from assistant.day.timers import acknowledge
from assistant.day.turn import Turn
from assistant.day.watching import watch_heating
from assistant.schedule.model import Moment


def _enter_strike(turn: Turn) -> None:
    hot_side.enter_strike(turn)
    watch_heating(turn, Quantity.WATER_TEMPERATURE, hot_side.strike_target_c(turn.state))
    hot_side.ask_how_cold(turn)
    strike_water.minerals_wanted(turn)


ENTRIES: Mapping[Stage, Callable[[Turn], None]] = {
    Stage.GATHER: hot_side.enter_gather,
    Stage.STRIKE: _enter_strike,
    Stage.DOUGH_IN: hot_side.enter_dough_in,
    Stage.MASH: mash.enter_mash,
    Stage.LIFT: hot_side.enter_lift,
    Stage.BOIL_UP: boil_up.enter_boil_up,
    Stage.BOIL: boil_side.enter_boil,
    Stage.WHIRLPOOL: boil_side.enter_whirlpool,
    Stage.CHILL: cold_side.enter_chill,
    Stage.TRANSFER: cold_side.enter_transfer,
    Stage.PITCH: cold_side.enter_pitch,
    Stage.CLEAN: cold_side.enter_clean,
    Stage.FINISHED: cold_side.enter_finished,
}


def _heated(turn: Turn, task: Task) -> None:
    if turn.state.stage is Stage.STRIKE:
        hot_side.struck(turn, task)
        strike_water.minerals_missing(turn)
    elif turn.state.stage is Stage.MASH:
        mash.rest_heated(turn, task)
    elif turn.state.stage is Stage.BOIL_UP:
        turn.lead(Trigger.COMPLETED)


def _added(turn: Turn, task: Task) -> None:
    if task.index is not None:
        additions.addition_in(turn, task.index)
    elif strike_water.is_mineral(task):
        strike_water.minerals_in(turn, [task])
    else:
        additions.remedy_added(turn, task)


def _chilled(turn: Turn, task: Task) -> None:
    cold_side.chilled(turn, task)
    if turn.state.stage is Stage.WHIRLPOOL:
        turn.end_timers(lambda timer: timer.kind is TimerKind.ASK, TimerNews.DONE)
        boil_side.begin_whirlpool(turn)


def _burst_over(turn: Turn, task: Task) -> None:
    turn.end_timers(lambda timer: timer.kind is TimerKind.BURST, TimerNews.DONE)
    mash.warmed(turn)


def _watered(turn: Turn, task: Task) -> None:
    cold_side.water_in(turn, task)
    if turn.state.stage not in hot_side.AFTER_REMEDY:
        turn.say("Water in.", Why.READBACK)
    hot_side.ask_after_remedy(turn)


def _flamed_out(turn: Turn, task: Task) -> None:
    turn.lead(Trigger.FLAME_OUT)


def _pitched(turn: Turn, task: Task) -> None:
    turn.lead(Trigger.PITCHED)


TASKS_DONE: Mapping[Do, Callable[[Turn, Task], None]] = {
    Do.FILL: hot_side.filled,
    Do.HEAT: _heated,
    Do.HEAT_FOR: _burst_over,
    Do.DOUGH_IN: hot_side.doughed_in,
    Do.STIR: hot_side.stirred,
    Do.LIFT: hot_side.bag_lifted,
    Do.ADD: _added,
    Do.ADD_WATER: _watered,
    Do.FLAMEOUT: _flamed_out,
    Do.WHIRLPOOL: boil_side.whirlpooled,
    Do.CHILL: _chilled,
    Do.TRANSFER: cold_side.in_fermenter,
    Do.TOP_UP: cold_side.topped_up,
    Do.PITCH: _pitched,
}
"""What follows from a task that is done; hold, boil, settle and aerate need nothing here."""


def _burst_due(turn: Turn, timer: Timer) -> None:
    """Heat that was counted down is over: a burst, or the last of a heating."""
    heating = next((task for task in turn.state.tasks if task.action.do is Do.HEAT), None)
    if heating is not None:
        task_done(turn, heating)
        return
    turn.close(Do.HEAT_FOR)
    mash.warmed(turn)


def _overdue(turn: Turn, timer: Timer) -> None:
    additions.advise_on_hops(turn, timer.index or 0)


def _nothing(turn: Turn, timer: Timer) -> None:
    return


TIMERS_DUE: Mapping[TimerKind, Callable[[Turn, Timer], None]] = {
    TimerKind.REST: mash.rest_over,
    TimerKind.STIR: hot_side.stir_due,
    TimerKind.ASK: reading_due,
    TimerKind.BURST: _burst_due,
    TimerKind.BOIL_OVER: _nothing,
    TimerKind.BOIL: boil_side.boil_ended,
    TimerKind.ADDITION: additions.addition_due,
    TimerKind.CHILLER: _nothing,
    TimerKind.OVERDUE: _overdue,
    TimerKind.STEEP: boil_side.steep_over,
    TimerKind.SETTLE: boil_side.settled,
    TimerKind.PATIENCE: cold_side.out_of_patience,
    TimerKind.CLEANING: cold_side.cleaning_over,
    TimerKind.OWN: _nothing,
}

CLOSES_BY_ITSELF = frozenset(
    {
        Stage.STRIKE,
        Stage.DOUGH_IN,
        Stage.LIFT,
        Stage.WHIRLPOOL,
        Stage.CHILL,
        Stage.TRANSFER,
    }
)
"""Stages that are over once nothing in them is open; the others end by a timer or a report."""

STEPS = (TimerKind.REST, TimerKind.STEEP, TimerKind.SETTLE)
"""Timers that follow one another: the next being due, the one before need not be repeated."""

WAITS_FOR_CHOICE = CLOSES_BY_ITSELF | {Stage.PITCH}
"""Stages that an open choice holds up, but not for ever."""

RUNNING = (
    TimerKind.STIR,
    TimerKind.BURST,
    TimerKind.STEEP,
    TimerKind.SETTLE,
)
"""Timers that keep such a stage open."""

TIMED = frozenset({Do.HOLD, Do.BOIL, Do.SETTLE})
"""Tasks that end with their timer: "done" only says they have been begun."""


def task_done(turn: Turn, task: Task) -> None:
    """A task is off the list, with what follows from it."""
    turn.close_tasks(lambda other: other.id == task.id)
    TASKS_DONE.get(task.action.do, _task_closed)(turn, task)


def _task_closed(turn: Turn, task: Task) -> None:
    return


def timer_due(turn: Turn, timer: Timer) -> None:
    """A timer has fallen due, with what follows from it; it outdoes the rest or steep before."""
    if timer.kind in STEPS:
        acknowledge(turn, lambda other: other.kind in STEPS and other.name != timer.name)
    TIMERS_DUE[timer.kind](turn, timer)
    follow(turn)


def enter(turn: Turn, stage: Stage) -> None:
    """Begin a stage: tell of it, speak its cautions once, and give its first tasks."""
    rest = None
    if stage is Stage.MASH:
        rest = current_rest(turn.state).name
    turn.change(
        stage=stage,
        stage_at_s=turn.now_s,
        reached=(*turn.state.reached, Reached(at=turn.now_s, stage=stage, rest=rest)),
    )
    turn.effects.append(StageBegan(stage=stage, rest=rest))
    speak_cautions(turn, stage)
    ENTRIES[stage](turn)


def follow(turn: Turn) -> None:
    """Follow every trigger raised so far, and close stages that have nothing left open."""
    while turn.leads or nothing_open(turn):
        _go(turn, turn.leads.pop(0) if turn.leads else Trigger.COMPLETED)
    waits = turn.state.advice is not None and turn.state.stage in WAITS_FOR_CHOICE
    if waits and not any(timer.kind is TimerKind.PATIENCE for timer in turn.state.timers):
        cold_side.be_patient(turn)


def nothing_open(turn: Turn) -> bool:
    """Whether the stage at hand is one that closes by itself and has nothing left to wait for."""
    state = turn.state
    waiting = bool(state.advice) or any(ask.needed for ask in state.asks)
    if state.stage is Stage.PITCH and not waiting:
        cold_side.offer_yeast(turn)
    return (
        state.stage in CLOSES_BY_ITSELF
        and not waiting
        and not any(task.action.do not in TIMED for task in turn.state.tasks)
        and not turn.runs(*RUNNING)
        and not (state.stage is Stage.TRANSFER and cold_side.offer_top_up(turn))
    )


def _go(turn: Turn, trigger: Trigger) -> None:
    """Follow one trigger; one that the table does not know here leads nowhere."""
    state = turn.state
    on = trigger in (Trigger.COMPLETED, Trigger.SKIPPED)
    if state.stage is Stage.MASH and on and state.rest + 1 < len(state.schedule.mash):
        strike_water.minerals_left_out(turn)
        _clear(turn, keep_open=False)
        mash.next_rest(turn, state.rest + 1)
        return
    if state.stage is Stage.MASH and trigger is Trigger.WENT_BACK and state.rest > 0:
        _clear(turn, keep_open=False)
        mash.next_rest(turn, state.rest - 1)
        return
    stage = led_to(state.stage, trigger)
    if stage is None:
        return
    cut = _leave(turn, stage)
    if trigger is Trigger.CHILLED and turn.state.batch.place is Place.KETTLE:
        cold_at_last(turn, cold_side.chill_to_c(turn.state))
    enter(turn, stage)
    left_out.tell_left_out(turn, cut)


def _leave(turn: Turn, to: Stage) -> list[int]:
    """Put away what belonged to the stage; the answer tells which additions are left out by it."""
    here, cut = turn.state.stage, []
    cool_by_itself(turn)
    if ORDER.index(to) > ORDER.index(here):
        strike_water.minerals_left_out(turn)
    _clear(turn, keep_open=(here, to) == (Stage.BOIL_UP, Stage.BOIL))
    turn.change(question=None)
    if to is Stage.MASH:
        turn.change(rest=len(turn.state.schedule.mash) - 1 if here is Stage.LIFT else 0)
    if here is Stage.BOIL and to is Stage.BOIL_UP:
        boil_side.unboil(turn)
    if ORDER.index(here) < ORDER.index(Stage.WHIRLPOOL) <= ORDER.index(to):
        cut = boil_side.left_boil(turn)
    if ORDER.index(to) > ORDER.index(Stage.WHIRLPOOL):
        late = additions.still_open(turn, Moment.FLAMEOUT, Moment.WHIRLPOOL)
        left_out.mark_left_out(turn, late, cut=True)
        cut = [*cut, *late]
    return cut


def _clear(turn: Turn, *, keep_open: bool) -> None:
    """Take away what belonged to the stage or rest; from boil-up to boil what was asked stays."""

    def goes(timer: Timer) -> bool:
        if timer.kind is TimerKind.OWN:
            return False
        return not (POLICIES[timer.kind].outlives_stage and timer.phase is Phase.DUE)

    if not keep_open:
        turn.end_timers(goes, TimerNews.CANCELLED)
        turn.change(tasks=(), asks=(), advice=None, waived=())
        return
    turn.end_timers(
        lambda timer: goes(timer) and timer.kind is not TimerKind.ADDITION, TimerNews.CANCELLED
    )
    turn.close(Do.HEAT)
    turn.answered(Quantity.BOILING)
