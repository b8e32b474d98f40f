"""What goes into the boil and when: due times, hops going in late or not at all, a moved boil.

An addition's time is minutes before the end of the boil, never a time of day: when the end moves,
everything still to come moves with it.
"""

from collections.abc import Callable
from dataclasses import replace

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.bitterness import is_bittering
from assistant.advice.ending import planned_boil
from assistant.advice.forecast import end_of
from assistant.advice.happenings import with_extract
from assistant.advice.hop_remedies import NOTICEABLE_IBU, LateHops, hops_finding
from assistant.advice.wort_options import dry_extract
from assistant.advice.worts import boil_minutes_planned, extract_of
from assistant.day.boil_clock import boil_end_s, boil_left_min, boiled_min
from assistant.day.effects import TimerNews, Why
from assistant.day.hop_holding import can_be_held
from assistant.day.outlook import prospect
from assistant.day.state import AdditionState, BoilClock, Extra, Fate, Phase, Task, Timer, TimerKind
from assistant.day.steeping import steeping_now
from assistant.day.timers import TOGETHER_S, due_timers, move_timer
from assistant.day.turn import Turn
from assistant.day.wording import addition_names
from assistant.schedule.model import AdditionKind, Moment

HEADS_UP_S = 120.0
LATE_S = 60.0
OVERDUE_S = 300.0
CHILLER_MIN = 15.0
CHECK_MIN = 18.0
"""Minutes before the end at which gravity and volume are asked: still time to act on them."""

OPEN = (Fate.PENDING, Fate.DUE)
BOIL_MOMENTS = (Moment.FIRST_WORT, Moment.BOIL_START, Moment.BEFORE_END)
KETTLE_MOMENTS = (*BOIL_MOMENTS, Moment.FLAMEOUT, Moment.WHIRLPOOL)


def set_fate(turn: Turn, index: int, entry: AdditionState) -> None:
    """Change what became of one addition."""
    entries = list(turn.state.additions)
    entries[index] = entry
    turn.change(additions=tuple(entries))


def still_open(turn: Turn, *moments: Moment) -> list[int]:
    """The additions of these moments that have neither gone in nor been left out."""
    pairs = zip(turn.state.schedule.additions, turn.state.additions, strict=True)
    return [
        index
        for index, (addition, entry) in enumerate(pairs)
        if addition.moment in moments and entry.fate in OPEN
    ]


def set_addition_timer(turn: Turn, index: int, due_s: float) -> None:
    """Start the timer of one addition, with a heads-up where there is time for one."""
    ahead_s = due_s - turn.now_s
    turn.set_timer(
        Timer(
            name=addition_names(turn.state.schedule)[index],
            kind=TimerKind.ADDITION,
            due_s=due_s,
            heads_up_s=HEADS_UP_S if ahead_s > HEADS_UP_S else 0.0,
            index=index,
        )
    )


def due_now(turn: Turn, *moments: Moment) -> None:
    """Everything of these moments falls due this second."""
    for index in still_open(turn, *moments):
        set_addition_timer(turn, index, turn.now_s)


def addition_due(turn: Turn, timer: Timer) -> None:
    """An addition has fallen due: it becomes a task, and is looked at again if it stays out."""
    index = timer.index or 0
    entry = turn.state.additions[index]
    set_fate(turn, index, replace(entry, fate=Fate.DUE))
    addition = turn.state.schedule.additions[index]
    action = Action(do=Do.ADD, item=addition.name, grams=entry.weight_g)
    turn.open_task(action, index)
    if addition.moment in BOIL_MOMENTS:
        turn.set_timer(
            Timer(
                name=f"{timer.name} overdue",
                kind=TimerKind.OVERDUE,
                due_s=max(timer.due_s, turn.now_s) + OVERDUE_S,
                index=index,
            )
        )


def addition_in(turn: Turn, index: int) -> None:
    """An addition has gone in: its real time goes on the record and bitterness follows."""
    state = turn.state
    addition, entry = state.schedule.additions[index], state.additions[index]
    name = figures.sentence(addition_names(state.schedule)[index])
    late_s = _late_s(turn, index)
    steeped_min = _steeped_min(turn)
    set_fate(
        turn,
        index,
        replace(entry, fate=Fate.IN, in_at_s=turn.now_s, in_steeped_min=steeped_min),
    )
    turn.close_tasks(lambda task: task.index == index)
    turn.end_timers(lambda timer: timer.index == index, TimerNews.DONE)
    if addition.extract is not None:
        added = extract_of(replace(addition, weight_g=entry.weight_g), boil_minutes=0.0)
        turn.change(batch=with_extract(state.batch, state.schedule.kettle, added, turn.now_s))
    if abs(late_s) < LATE_S:
        turn.say(f"{name} in.", Why.READBACK)
        return
    side = "late" if late_s > 0 else "early"
    turn.say(f"{name} in, {figures.duration(abs(late_s))} {side}.", Why.READBACK)
    if late_s > 0:
        advise_on_hops(turn, index)


def _steeped_min(turn: Turn) -> float:
    steeping = steeping_now(turn.state)
    return 0.0 if steeping is None else steeping.worth_min


def _late_s(turn: Turn, index: int) -> float:
    addition, end_s = turn.state.schedule.additions[index], boil_end_s(turn.state)
    planned_min = boil_minutes_planned(addition, turn.state.schedule.boil_minutes)
    if end_s is None or planned_min is None or addition.moment not in BOIL_MOMENTS:
        return 0.0
    if addition.moment is Moment.FIRST_WORT:
        return 0.0
    return turn.now_s - (end_s - planned_min * 60)


def advise_on_hops(turn: Turn, index: int) -> bool:
    """Offer what can be done about late hops; tells whether there was anything to offer.

    Where those still to come can make up for them there is not.
    """
    state = turn.state
    addition, entry = state.schedule.additions[index], state.additions[index]
    planned_min = boil_minutes_planned(addition, state.schedule.boil_minutes)
    if not is_bittering(addition.kind, addition.alpha) or not planned_min:
        return False
    ahead = prospect(state)
    end = end_of(state.batch, state.schedule, ahead, state.now_s)
    left_min = boil_left_min(state)
    finding = hops_finding(
        state.schedule,
        LateHops(
            addition=addition,
            planned_min=planned_min,
            left_min=left_min,
            after_min=state.plan.after_boil.whole_min,
            boiling_c=state.plan.boiling_point_c,
            boil_total_min=boiled_min(state) + left_min,
            planned_boil=planned_boil(state.plan),
            boil=end.boiled,
            planned_ibu=state.plan.additions[index].ibu,
            weight_g=entry.weight_g,
            already_in=entry.fate is Fate.IN,
        ),
    )
    if finding is None or can_be_held(state, short_ibu=NOTICEABLE_IBU):
        return False
    turn.advise(finding)
    return True


def remedy_added(turn: Turn, task: Task) -> None:
    """What advice asked to add has gone in: more of the schedule's hops, or malt extract."""
    grams, item = task.action.grams or 0.0, task.action.item
    pairs = list(zip(turn.state.schedule.additions, turn.state.additions, strict=True))
    for index, (addition, entry) in reversed(list(enumerate(pairs))):
        hops = addition.kind is AdditionKind.HOPS and addition.name == item
        if hops and entry.fate is Fate.IN:
            more = Extra(grams=grams, at_s=turn.now_s, steeped_min=_steeped_min(turn))
            set_fate(turn, index, replace(entry, extra=(*entry.extra, more)))
            turn.say(f"{item} in.", Why.READBACK)
            return
    state = turn.state
    extract = dry_extract(grams / 1000)
    batch = with_extract(state.batch, state.schedule.kettle, extract, turn.now_s, advised=True)
    turn.change(batch=batch)
    turn.say("Extract in.", Why.READBACK)


def more_hops(turn: Turn, action: Action) -> None:
    """More hops were chosen: on top of those in the kettle, or in place of those still out."""
    for index in still_open(turn, *BOIL_MOMENTS):
        addition, entry = turn.state.schedule.additions[index], turn.state.additions[index]
        if addition.kind is AdditionKind.HOPS and addition.name == action.item:
            set_fate(turn, index, replace(entry, weight_g=action.grams or entry.weight_g))
            turn.close_tasks(lambda task, index=index: task.index == index)  # type: ignore[misc]
            turn.open_task(action, index)
            return
    turn.open_task(action)


def begin_boil(turn: Turn, minutes: float) -> None:
    """Set the boil's clock and every timer that hangs on its end; a boil before it still counts."""
    end_s = turn.now_s + minutes * 60
    turn.change(boil=BoilClock(start_s=turn.now_s, end_s=end_s, before=turn.state.boil))
    set_boil_timers(turn)


def set_boil_timers(turn: Turn) -> None:
    """Start the timers of a boil whose clock is set: its end, additions, chiller, a last check."""
    state = turn.state
    if state.boil is None:
        return
    end_s, schedule = state.boil.end_s, state.schedule
    left_s = end_s - turn.now_s
    turn.set_timer(
        Timer(
            name="boil",
            kind=TimerKind.BOIL,
            due_s=end_s,
            heads_up_s=HEADS_UP_S if left_s > HEADS_UP_S else 0.0,
        )
    )
    for index in still_open(turn, *BOIL_MOMENTS):
        planned_min = boil_minutes_planned(schedule.additions[index], schedule.boil_minutes)
        set_fate(turn, index, replace(turn.state.additions[index], fate=Fate.PENDING))
        set_addition_timer(turn, index, max(end_s - (planned_min or 0.0) * 60, turn.now_s))
    if schedule.chill.method.value == "coil" and left_s > CHILLER_MIN * 60:
        turn.set_timer(
            Timer(name="chiller", kind=TimerKind.CHILLER, due_s=end_s - CHILLER_MIN * 60)
        )
    if left_s > 2 * CHECK_MIN * 60:
        turn.set_timer(Timer(name="boil check", kind=TimerKind.ASK, due_s=end_s - CHECK_MIN * 60))


def move_boil_end(turn: Turn, change_s: float) -> None:
    """Make the boil longer or shorter: all that is still to come moves with its end."""
    boil = turn.state.boil
    if boil is None:
        return
    if boil.left_s is not None:
        turn.change(boil=replace(boil, left_s=boil.left_s + change_s))
    turn.change(boil=replace(turn.state.boil or boil, end_s=boil.end_s + change_s))
    hangs_on_end = (TimerKind.BOIL, TimerKind.ADDITION, TimerKind.CHILLER, TimerKind.ASK)
    for timer in turn.state.timers:
        if timer.kind not in hangs_on_end or not _moves(turn, timer):
            continue
        if timer.left_s is not None:
            turn.update_timer(replace(timer, left_s=timer.left_s + change_s), TimerNews.SET)
        else:
            move_timer(turn, timer, max(timer.due_s + change_s, turn.now_s))


def _moves(turn: Turn, timer: Timer) -> bool:
    if timer.kind is TimerKind.BOIL:
        turn.close(Do.FLAMEOUT)
        return True
    return timer.phase is not Phase.DUE


def meant(turn: Turn, subject: str | None, *, hops_only: bool = False) -> list[int]:
    """Which additions "hops are in", "it's in" or "challenger is in" speaks of, soonest first.

    Named, it is that one; otherwise those that fell due last, together, or the next to come where
    none is due. What was forgotten before is not meant: it goes on being reminded of by name.
    """
    names = addition_names(turn.state.schedule)
    candidates = still_open(turn, *KETTLE_MOMENTS)
    if subject is not None:
        named = [index for index in range(len(names)) if names[index].lower() == subject.lower()]
        cut = [index for index in named if turn.state.additions[index].cut]
        return [index for index in named if index in candidates][:1] or cut[:1]
    wanted: Callable[[int], bool] = lambda index: (  # noqa: E731
        not hops_only or turn.state.schedule.additions[index].kind is AdditionKind.HOPS
    )
    candidates = [index for index in candidates if wanted(index)]
    due = due_timers(turn.state, TimerKind.ADDITION)
    announced = [timer for timer in due if timer.index in candidates]
    if announced:
        latest_s = announced[0].announced_s or 0.0
        last = [t for t in announced if latest_s - (t.announced_s or 0.0) <= TOGETHER_S]
        return sorted(timer.index for timer in last if timer.index is not None)
    running = [timer for timer in turn.state.timers if timer.kind is TimerKind.ADDITION]
    running.sort(key=lambda timer: timer.due_s)
    coming = [timer.index for timer in running if timer.index in candidates]
    return [index for index in coming if index is not None][:1]
