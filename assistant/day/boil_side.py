"""The day over the fire: the boil and the whirlpool."""

from dataclasses import replace

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.happenings import boiling, unboiled
from assistant.advice.learned import Trait
from assistant.advice.timeline import (
    Stage,
    boil_power_share,
    cooling_minutes,
    has_whirlpool_hops,
    whirlpool_from_c,
)
from assistant.advice.wort_remedies import ABOUT_WORT, wort_finding
from assistant.advice.worts import boil_minutes_planned
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.day.additions import (
    BOIL_MOMENTS,
    OPEN,
    begin_boil,
    due_now,
    still_open,
)
from assistant.day.boil_clock import again_min, boil_left_min, boiled_min, spells_of
from assistant.day.boil_up import learn_of_the_boil
from assistant.day.effects import Why
from assistant.day.hot_side import ask_in, bag_lifted
from assistant.day.left_out import mark_left_out, take_back_in
from assistant.day.outlook import unlimited
from assistant.day.quantities import Quantity
from assistant.day.stages import Trigger
from assistant.day.state import State, Task, Timer, TimerKind
from assistant.day.steeping import (
    begin_steeping,
    cool_by_chiller,
    cool_by_itself,
    wort_c,
    wort_j_k,
)
from assistant.day.turn import Turn
from assistant.schedule.model import Moment


def boil_power(state: State) -> float:
    """The share of full power that keeps the boil of the kettle's card.

    What boils off at the power told is what is learned of it: were that what the power is told by,
    each brew would tell a little more than the one before.
    """
    known = None if state.learned is None else state.learned.figures.get(Trait.BOIL_OFF)
    boil_off_l_h = state.card.boil_off_l_h if known is None else known.card
    kettle = replace(state.schedule.kettle, boil_off_l_h=boil_off_l_h)
    return boil_power_share(kettle, state.plan.boiling_point_c)


def enter_boil(turn: Turn) -> None:
    """The boil's clock starts, or goes on where it was left."""
    bag_lifted(turn)
    cool_by_itself(turn)
    learn_of_the_boil(turn)
    state = turn.state
    turn.change(batch=boiling(state.batch, state.schedule, turn.now_s, on=True))
    if state.boil is None:
        take_back_in(turn, *BOIL_MOMENTS)
        begin_boil(turn, state.schedule.boil_minutes + state.boil_change_min)
    else:
        _boil_again(turn)
    turn.open_task(Action(do=Do.BOIL, power=boil_power(state)))
    boil = turn.state.boil
    length = figures.duration(boil.end_s - turn.now_s if boil else 0.0)
    percent = round(boil_power(state) * 20) * 5
    turn.say(
        f"Boiling: {length}. Lid off, about {percent} percent power.{next_addition(turn)}",
        Why.PROMPT,
    )


def _boil_again(turn: Turn) -> None:
    boil = turn.state.boil
    if boil is None:
        return
    if boil.cut_s > 0:
        take_back_in(turn, *BOIL_MOMENTS)
    begin_boil(turn, again_min(boil))


def next_addition(turn: Turn) -> str:
    """`` Challenger in 10 minutes.``, or nothing where nothing is still to come."""
    timers = [timer for timer in turn.state.timers if timer.kind is TimerKind.ADDITION]
    coming = [timer for timer in timers if timer.due_s - turn.now_s >= 60]
    if not coming:
        return ""
    first = min(coming, key=lambda timer: timer.due_s)
    return f" {figures.sentence(first.name)} in {figures.duration(first.due_s - turn.now_s)}."


def boil_check(turn: Turn) -> None:
    """Ask for volume and gravity while the boil can still be made longer or shorter."""
    turn.say("Kettle volume, and gravity?", Why.QUESTION)
    turn.ask(Quantity.KETTLE_VOLUME, "whether the boil-off is as planned")
    turn.ask(Quantity.GRAVITY, "whether the boil should be longer or shorter")


def boil_ended(turn: Turn, timer: Timer) -> None:
    """The boil has lasted long enough: the heat goes off when the brewer says so."""
    if not turn.has_task(Do.FLAMEOUT):
        turn.open_task(Action(do=Do.FLAMEOUT))


def judge_wort(turn: Turn) -> None:
    """Look at gravity and volume together once both are in, and offer what helps."""
    state = turn.state
    asked = {ask.quantity for ask in state.asks}
    if asked & {Quantity.KETTLE_VOLUME, Quantity.GRAVITY, Quantity.FERMENTER_VOLUME}:
        return
    if state.topped_up is False and state.stage is Stage.TRANSFER and state.schedule.chill.top_up_l:
        return
    finding = wort_finding(
        state.schedule,
        state.plan,
        state.batch,
        unlimited(state),
        at_s=state.now_s,
        boiled_min=boiled_min(state),
        pending_min=_earliest_pending_min(state),
    )
    if finding is not None and finding.about not in state.waived:
        turn.advise(finding)
    elif state.advice is not None and state.advice.finding.about in ABOUT_WORT:
        # It was right for what had been read before, and is not any more.
        turn.change(advice=None)
        turn.say(NOT_NEEDED, Why.ANSWER)


NOT_NEEDED = "That changes it: nothing to be done."


def _earliest_pending_min(state: State) -> float:
    pending = [
        boil_minutes_planned(addition, state.schedule.boil_minutes) or 0.0
        for addition, entry in zip(state.schedule.additions, state.additions, strict=True)
        if addition.moment in BOIL_MOMENTS and entry.fate in OPEN
    ]
    return min(max(pending, default=0.0), boil_left_min(state))


def left_boil(turn: Turn) -> list[int]:
    """The heat is off: what should have boiled and did not is left out, as the answer tells."""
    state = turn.state
    clock, cut_s = state.boil, 60 * boil_left_min(state)
    paused = clock is not None and clock.left_s is not None
    was_boiling = clock is not None and (state.batch.boiling or paused)
    turn.change(batch=boiling(state.batch, state.schedule, turn.now_s, on=False))
    if clock is not None and was_boiling:
        start_s = clock.start_s if clock.left_s is None else turn.now_s
        turn.change(
            boil=replace(clock, start_s=start_s, end_s=turn.now_s, left_s=None, cut_s=cut_s)
        )
    if not paused:
        begin_steeping(turn, from_boil=was_boiling)
    cut = still_open(turn, *BOIL_MOMENTS)
    mark_left_out(turn, cut, cut=True)
    return cut


def unboil(turn: Turn) -> None:
    """It was not boiling after all: the clock is taken back, what went in stays in."""
    before = turn.state.boil.before if turn.state.boil else None
    boiled_s = sum(until_s - from_s for from_s, until_s in spells_of(before))
    still = unboiled(turn.state.batch, turn.state.schedule.kettle, turn.now_s, boiled_s=boiled_s)
    turn.change(batch=still, boil=before)


def enter_whirlpool(turn: Turn) -> None:
    """Off the boil: cool to the steep where there are whirlpool hops, else stir and settle."""
    state = turn.state
    take_back_in(turn, Moment.FLAMEOUT, Moment.WHIRLPOOL)
    due_now(turn, Moment.FLAMEOUT)
    steep_c = whirlpool_from_c(state.schedule, state.plan.boiling_point_c)
    if has_whirlpool_hops(state.schedule) and steep_c < wort_c(state) - 2:
        start_chiller(turn, steep_c)
        minutes = chill_minutes(state, wort_c(state), steep_c)
        turn.say(
            f"Heat off, lid on. Cool to {figures.temperature(steep_c, turn.units)} for the steep.",
            Why.PROMPT,
        )
        ask_in(turn, Quantity.KETTLE_TEMPERATURE, minutes)
    else:
        begin_whirlpool(turn)


def start_chiller(turn: Turn, to_c: float) -> None:
    """Cooling begins, towards the water that does it."""
    cool_by_chiller(turn, to_c)
    turn.open_task(Action(do=Do.CHILL, to_c=to_c))


def chill_minutes(state: State, from_c: float, to_c: float) -> float:
    """Minutes of chilling by the schedule's method."""
    try:
        return cooling_minutes(
            state.schedule.kettle,
            state.schedule.chill.method,
            capacity_j_k=wort_j_k(state),
            from_c=from_c,
            to_c=to_c,
        )
    except (NeverReaches, OutOfRange):
        return 30.0


def begin_whirlpool(turn: Turn) -> None:
    """Hops for the steep go in, the wort is set turning, and the steep's clock starts."""
    state = turn.state
    cool_by_itself(turn)
    if has_whirlpool_hops(state.schedule):
        turn.there(whirlpool_from_c(state.schedule, state.plan.boiling_point_c))
    due_now(turn, Moment.WHIRLPOOL)
    turn.open_task(Action(do=Do.WHIRLPOOL))
    steep_s = state.schedule.whirlpool.steep_minutes * 60
    if steep_s > 0:
        turn.set_timer(Timer(name="steep", kind=TimerKind.STEEP, due_s=turn.now_s + steep_s))
        turn.say(f"Stir a whirlpool. Steep {figures.duration(steep_s)}, lid on.", Why.PROMPT)
    else:
        turn.say("Stir a whirlpool, then say done.", Why.PROMPT)


def whirlpooled(turn: Turn, task: Task) -> None:
    """The wort turns; without a steep it settles at once."""
    if not turn.runs(TimerKind.STEEP):
        begin_settling(turn)


def steep_over(turn: Turn, timer: Timer) -> None:
    """The steep is over."""
    turn.close(Do.WHIRLPOOL)
    begin_settling(turn)


def begin_settling(turn: Turn) -> None:
    """The trub gathers under the lid."""
    minutes = turn.state.schedule.whirlpool.settle_minutes
    if minutes <= 0:
        turn.lead(Trigger.COMPLETED)
        return
    turn.open_task(Action(do=Do.SETTLE, minutes=minutes))
    turn.set_timer(Timer(name="settle", kind=TimerKind.SETTLE, due_s=turn.now_s + minutes * 60))
    turn.say(f"Lid on. Let it settle {figures.duration(minutes * 60)}.", Why.PROMPT)


def settled(turn: Turn, timer: Timer) -> None:
    """The trub has settled."""
    turn.close(Do.SETTLE)
    turn.lead(Trigger.COMPLETED)
