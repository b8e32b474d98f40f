"""Bitterness held through the boil: hops still to be weighed follow what the boil has become.

Looked at after something happened that bitterness hangs on, and told once, before the hops are
due. From the heads-up on, when the brewer stands at the scale, a weight is not touched any more.
"""

from dataclasses import replace
from itertools import pairwise

from assistant.advice import figures
from assistant.advice.actions import Do
from assistant.advice.bitterness import Dose, is_bittering
from assistant.advice.forecast import end_of, finished_ibu
from assistant.advice.hop_weights import HARDLY_TASTED, MOST_FACTOR, Reweighed, ToWeigh, reweighed
from assistant.advice.timeline import Stage
from assistant.advice.worts import boil_minutes_planned
from assistant.day.boil_clock import boil_left_min
from assistant.day.effects import Why
from assistant.day.outlook import doses_of, prospect
from assistant.day.quantities import Quantity
from assistant.day.state import Fate, Phase, State, Timer, TimerKind
from assistant.day.steeping import steeped
from assistant.day.timers import TOGETHER_S, next_due_s
from assistant.day.turn import MOST_WORDS, Turn
from assistant.day.wording import addition_names

STAGES = (Stage.BOIL_UP, Stage.BOIL, Stage.WHIRLPOOL)

HANGS_ON = ("stage", "batch", "boil", "boil_change_min", "additions", "advice", "asks", "tasks")
"""Hops are looked at again when one of these fields of the state has changed."""

SAME_SAMPLE_S = 900.0
"""A volume and a gravity read within a quarter of an hour are taken to be of the same wort."""

READ_TOGETHER = (Quantity.KETTLE_VOLUME, Quantity.GRAVITY, Quantity.BRIX)
"""Readings that only together tell how much wort there is of what; Brix is a gravity too."""

HOPS_LATE = "additions"
"""What a finding about late hops is about."""

LATE_MIN = 1.0
"""Hops are late from this on."""

NOT_HELD_IBU = 1.0
"""Bitterness this far off in spite of new weights is told, as it is with what is left out."""


def hold_bitterness(turn: Turn, before: State) -> None:
    """Weigh hops to come anew where what has happened since ``before`` calls for it."""
    state = turn.state
    if all(getattr(before, name) == getattr(state, name) for name in HANGS_ON):
        return
    _let_go(turn, before)
    waits = _undecided(state) or _half_done(state) or _steeps(turn, before)
    if state.stage in STAGES and not waits:
        _reweigh(turn)


def _steeps(turn: Turn, before: State) -> bool:
    """Whether the wort is down to the steep this moment: its hops lie weighed beside the kettle."""
    cooled = before.stage is Stage.WHIRLPOOL and turn.state.stage is Stage.WHIRLPOOL
    return cooled and any(
        timer.kind is TimerKind.ADDITION and timer.due_s <= turn.now_s
        for timer in turn.state.timers
    )


def hold_before_due(turn: Turn) -> None:
    """Before hops are announced, look at what still waits for an answer as if left as it is.

    After a gap in which hops fell due it is too late: they may be in.
    """
    state, due_s = turn.state, next_due_s(turn.state)
    if state.stage not in STAGES or due_s is None or due_s > turn.now_s:
        return
    hops = _open_hops(state)
    timers = [timer for timer in state.timers if timer.index in hops and timer.left_s is None]
    near = any(timer.due_s - timer.heads_up_s <= turn.now_s + TOGETHER_S for timer in timers)
    missed = any(timer.due_s < turn.now_s for timer in timers)
    if near and not missed and _undecided(state) and not _half_done(state):
        _reweigh(turn)


def can_be_held(state: State, *, short_ibu: float) -> bool:
    """Whether the hops still to be weighed leave the beer less than ``short_ibu`` short.

    By their weight alone, that is, with no more of the flavour hops than is hardly tasted.
    """
    found = _best(state, most_flavour=HARDLY_TASTED)
    return _wanted_ibu(state) - found.ibu < short_ibu


def _undecided(state: State) -> bool:
    """Whether the brewer has a choice to make, or one of two readings still to give."""
    asked = {ask.quantity for ask in state.asks} & set(READ_TOGETHER)
    if state.advice is not None or (asked and state.stage is Stage.BOIL_UP):
        return True
    given = [reading for reading in state.readings if reading.quantity in READ_TOGETHER]
    return bool(asked and given) and state.now_s - given[-1].at <= SAME_SAMPLE_S


def _half_done(state: State) -> bool:
    """Whether something is under way that changes bitterness: a remedy, late hops, a pause."""
    remedies = any(
        task.action.do is Do.ADD_WATER or (task.action.do is Do.ADD and task.index is None)
        for task in state.tasks
    )
    paused = state.boil is not None and state.boil.left_s is not None
    return remedies or paused or (state.stage is Stage.BOIL and _late_hops(state))


def _late_hops(state: State) -> bool:
    """Whether hops are due and still out, or come back with too little of their boil left."""
    for addition, entry in zip(state.schedule.additions, state.additions, strict=True):
        planned_min = boil_minutes_planned(addition, state.schedule.boil_minutes)
        if not planned_min or not is_bittering(addition.kind, addition.alpha):
            continue
        short = planned_min - boil_left_min(state) > LATE_MIN
        if entry.fate is Fate.DUE or (entry.fate is Fate.PENDING and short):
            return True
    return False


def _open_hops(state: State) -> list[int]:
    """Places of the kettle's bittering hops that have neither gone in nor been announced."""
    fixed = {timer.index for timer in state.timers if _announced(timer)}
    fixed |= {task.index for task in state.tasks}
    return [
        index
        for index, (addition, entry) in enumerate(
            zip(state.schedule.additions, state.additions, strict=True)
        )
        if entry.fate in (Fate.PENDING, Fate.DUE)
        and is_bittering(addition.kind, addition.alpha)
        and boil_minutes_planned(addition, state.schedule.boil_minutes) is not None
        and index not in fixed
    ]


def _announced(timer: Timer) -> bool:
    return timer.kind is TimerKind.ADDITION and timer.phase is not Phase.SET


def _wanted_ibu(state: State) -> float:
    return max(state.plan.ibu - state.let_go_ibu, 0.0)


def _best(state: State, *, most_flavour: float = MOST_FACTOR) -> Reweighed:
    """The weights that bring the bitterness nearest to what is wanted."""
    after_boil, ahead, still_open = steeped(state), prospect(state), _open_hops(state)
    settled: list[Dose] = []
    to_weigh: list[ToWeigh] = []
    pairs = zip(state.schedule.additions, state.additions, strict=True)
    for index, (addition, entry) in enumerate(pairs):
        doses = doses_of(state, addition, entry, after_boil)
        if index in still_open:
            to_weigh.append(ToWeigh(dose=doses[0], planned_g=addition.weight_g))
        else:
            settled += doses
    end = end_of(state.batch, state.schedule, ahead, state.now_s)
    return reweighed(
        replace(end, undiluted=ahead.let_down * end.undiluted),
        ahead.boiling_c,
        settled=[dose for dose in settled if dose.minutes is not None],
        to_weigh=to_weigh,
        wanted_ibu=_wanted_ibu(state),
        planned_in_all_g=sum(
            addition.weight_g
            for addition in state.schedule.additions
            if is_bittering(addition.kind, addition.alpha)
            and boil_minutes_planned(addition, state.schedule.boil_minutes) is not None
        ),
        units=state.schedule.units,
        most_flavour=most_flavour,
    )


def _let_go(turn: Turn, before: State) -> None:
    """Late hops left as they are: the bitterness they cost is not made up for behind the choice."""
    state = turn.state
    if state.waived.count(HOPS_LATE) <= before.waived.count(HOPS_LATE):
        return
    ahead = prospect(state)
    end = end_of(state.batch, state.schedule, ahead, state.now_s)
    ibu = ahead.let_down * finished_ibu(end, ahead.doses, ahead.boiling_c)
    turn.change(let_go_ibu=max(state.plan.ibu - ibu, 0.0))


def _reweigh(turn: Turn) -> None:
    state, indices = turn.state, _open_hops(turn.state)
    if not indices:
        return
    found = _best(state)
    entries = list(state.additions)
    changed = []
    for index, weight_g in zip(indices, found.weights_g, strict=True):
        if entries[index].weight_g != weight_g:
            entries[index] = replace(entries[index], weight_g=weight_g)
            changed.append(index)
    if not changed:
        return
    turn.change(additions=tuple(entries))
    turn.say(_words(turn, state, changed, found.ibu), Why.ANSWER)
    wanted_ibu = _wanted_ibu(state)
    turn.explain(
        f"It was heading for {found.before_ibu:.0f} IBU instead of {wanted_ibu:.0f}; "
        f"with these weights it comes to {found.ibu:.0f}."
    )


def _words(turn: Turn, before: State, changed: list[int], ibu: float) -> str:
    """``Challenger: 26 grams instead of 24, to hold the bitterness.``

    Where there are too many to take in, only how many: each weight comes with its time.
    """
    wanted_ibu = _wanted_ibu(before)
    purpose = "to hold the bitterness"
    if abs(wanted_ibu - ibu) >= NOT_HELD_IBU:
        purpose = f"{ibu:.0f} IBU at best"
    names = addition_names(before.schedule)
    was, now = (
        [figures.weight(state.additions[index].weight_g, turn.units) for index in changed]
        for state in (before, turn.state)
    )
    first = figures.sentence(names[changed[0]])
    parts = [f"{first}: {now[0]} instead of {_without_unit(was[0], now[0])}"]
    for weight, (said, index) in zip(now[1:], pairwise(changed), strict=True):
        plain = before.schedule.additions[index].name
        parts.append(f"{_apart(names[index], names[said], plain)} {weight}")
    words = f"{', '.join(parts)}, {purpose}."
    if len(words.split()) > MOST_WORDS and len(changed) > 1:
        return f"{len(changed)} hop additions reweighed, {purpose}. Each weight comes in time."
    return words


def _apart(name: str, said_before: str, plain: str) -> str:
    """``at whirlpool`` after another addition of the same hops, else the whole name."""
    twins = all(each.startswith(f"{plain} at ") for each in (name, said_before))
    return name.removeprefix(f"{plain} ") if twins else name


def _without_unit(weight: str, beside: str) -> str:
    """A weight without its unit where the one said beside it has the same."""
    figure, _, unit = weight.partition(" ")
    return figure if unit.rstrip("s") == beside.partition(" ")[2].rstrip("s") else weight
