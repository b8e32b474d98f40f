"""Timers: when each is next to be spoken of, and how those that coincide are said together.

A timer is announced as near (where it has a heads-up), once as due, and then again 30 s, 60 s and
two minutes later and every two minutes from there until it is acknowledged. After a gap, such as
a laptop that slept, each is announced once with how late it is and its repeats start anew.
"""

from collections.abc import Callable
from dataclasses import replace
from enum import Enum

from assistant.advice import figures
from assistant.day.effects import TimerNews, Why
from assistant.day.state import Phase, State, Timer, TimerKind
from assistant.day.timer_kinds import LAPSED_S, POLICIES, Late, amount_words
from assistant.day.turn import MOST_WORDS, Turn

TOGETHER_S = 15.0
"""Reminders this close to one another are said in one breath."""

LATE_S = 20.0
"""A reminder is called late from this on."""

NOT_BY_WORD = (TimerKind.ADDITION, TimerKind.BOIL, TimerKind.OWN)
"""Due timers that only their own answer stops; the others any sign of life from the brewer."""

FIRST_REPEATS_S = (30.0, 60.0, 120.0)
LATER_REPEATS_S = 120.0


class Step(Enum):
    """What a timer does at a moment, in the order it is said."""

    FALLS_DUE = 0
    NEARS = 1
    REPEATS = 2


def next_moment_s(timer: Timer) -> float | None:
    """When a timer next wants to act; None while it is paused or has nothing more to say."""
    if timer.left_s is not None:
        return None
    if timer.phase is Phase.DUE:
        return timer.repeat_at_s
    if timer.phase is Phase.SET:
        return timer.due_s - timer.heads_up_s
    return timer.due_s


def next_due_s(state: State) -> float | None:
    """When something falls due with no input; None if nothing will."""
    moments = [moment for timer in state.timers if (moment := next_moment_s(timer)) is not None]
    return min(moments, default=None)


def pass_time(turn: Turn, on_due: Callable[[Turn, Timer], None]) -> None:
    """Let everything fall due up to ``turn.now_s``; ``on_due`` does what each due timer does."""
    while acting := _acting(turn.state, turn.now_s):
        sentences = _sentences(turn.state, acting, turn.now_s)
        for step, timer in acting:
            _advance(turn, timer, step)
        for breath in _breaths(sentences):
            turn.say(breath, Why.REMINDER)
        if sentences:
            turn.change(spoken=" ".join(sentences))
        for step, timer in acting:
            if step is Step.FALLS_DUE:
                on_due(turn, timer)


def acknowledge(turn: Turn, wanted: Callable[[Timer], bool]) -> None:
    """Stop repeating the due timers that are meant."""
    turn.end_timers(lambda timer: timer.phase is Phase.DUE and wanted(timer), TimerNews.DONE)


def heard(turn: Turn) -> None:
    """The brewer is there: a rest, steep or chiller that is over need not be repeated."""
    acknowledge(turn, lambda timer: timer.kind not in NOT_BY_WORD)


def due_timers(state: State, *kinds: TimerKind) -> list[Timer]:
    """The timers that are due and not acknowledged, the latest announced first."""
    due = [
        timer
        for timer in state.timers
        if timer.phase is Phase.DUE and (not kinds or timer.kind in kinds)
    ]
    return sorted(due, key=lambda timer: timer.announced_s or 0.0, reverse=True)


def pause_timers(turn: Turn) -> None:
    """Stop the clock of everything that goes with the rest, the boil or the steep."""
    for timer in turn.state.timers:
        if POLICIES[timer.kind].pauses and timer.phase is not Phase.DUE and timer.left_s is None:
            turn.update_timer(replace(timer, left_s=timer.due_s - turn.now_s), TimerNews.SET)


def resume_timers(turn: Turn) -> None:
    """Let the paused timers run again."""
    for timer in turn.state.timers:
        if timer.left_s is not None:
            due_s = turn.now_s + timer.left_s
            turn.update_timer(replace(timer, due_s=due_s, left_s=None), TimerNews.SET)


def move_timer(turn: Turn, timer: Timer, due_s: float) -> None:
    """Set another due time; a heads-up that has been given is given again if it is still ahead."""
    ahead = turn.now_s < due_s - timer.heads_up_s
    phase = Phase.SET if timer.heads_up_s == 0 or ahead else Phase.SOON
    turn.update_timer(
        replace(timer, due_s=due_s, phase=phase, repeat_at_s=None, announced_s=None),
        TimerNews.SET,
    )


def _acting(state: State, now_s: float) -> list[tuple[Step, Timer]]:
    acting = {timer.name: step for timer in state.timers if (step := _step(timer, now_s))}
    audible = any(POLICIES[timer.kind].words for timer in state.timers if timer.name in acting)
    if audible:
        for timer in state.timers:
            step = _step(timer, now_s + TOGETHER_S)
            if (
                timer.name not in acting
                and POLICIES[timer.kind].words
                and step
                in (
                    Step.FALLS_DUE,
                    Step.NEARS,
                )
            ):
                acting[timer.name] = step
    found = [(acting[timer.name], timer) for timer in state.timers if timer.name in acting]
    return sorted(found, key=lambda pair: (pair[0].value, pair[1].due_s))


def _step(timer: Timer, now_s: float) -> Step | None:
    moment_s = next_moment_s(timer)
    if moment_s is None or moment_s > now_s:
        return None
    if timer.phase is Phase.DUE:
        return Step.REPEATS
    return Step.FALLS_DUE if timer.due_s <= now_s else Step.NEARS


def _sentences(state: State, acting: list[tuple[Step, Timer]], now_s: float) -> list[str]:
    """What is said of the acting timers; several additions at one time share a sentence."""
    said: list[str] = []
    for step in Step:
        timers = [t for each, t in acting if each is step and not _lapsed(t, now_s)]
        prompt = step is not Step.REPEATS
        together = [timer for timer in timers if timer.kind is TimerKind.ADDITION and prompt]
        if len(together) < 2 or any(_late(timer, now_s) for timer in together):
            together = []
        insisting = [t for t in timers if step is Step.REPEATS and POLICIES[t.kind].words]
        if len(insisting) > 1:
            said.append(f"Still due: {figures.listed([timer.name for timer in insisting])}.")
            continue
        for timer in timers:
            if timer not in together and POLICIES[timer.kind].words is not None:
                said.append(f"{_words(state, timer, step, now_s)}.")
        if together:
            when = "now"
            if step is Step.NEARS:
                when = f"in {figures.duration(together[0].due_s - now_s)}"
            amounts = figures.listed([amount_words(state, timer) for timer in together])
            said.append(f"{figures.sentence(when)}: {amounts}.")
    return said


def _breaths(sentences: list[str]) -> list[str]:
    """The sentences in as few breaths as an ear can follow, which is one but after a long sleep."""
    breaths: list[str] = []
    for sentence in sentences:
        longer = f"{breaths[-1]} {sentence}" if breaths else sentence
        if breaths and len(longer.split()) <= MOST_WORDS:
            breaths[-1] = longer
        else:
            breaths.append(sentence)
    return breaths


def _words(state: State, timer: Timer, step: Step, now_s: float) -> str:
    policy = POLICIES[timer.kind]
    if step is Step.NEARS:
        return policy.near_words(state, timer, timer.due_s - now_s)
    words = policy.words(state, timer) if policy.words else ""
    late_s = now_s - timer.due_s
    return f"{words}. Due {figures.duration(late_s)} ago" if _late(timer, now_s) else words


def _lapsed(timer: Timer, now_s: float) -> bool:
    return POLICIES[timer.kind].late is Late.LAPSES and now_s - timer.due_s > LAPSED_S


def _late(timer: Timer, now_s: float) -> bool:
    return now_s - timer.due_s >= LATE_S


def _advance(turn: Turn, timer: Timer, step: Step) -> None:
    if step is Step.NEARS:
        turn.update_timer(replace(timer, phase=Phase.SOON), TimerNews.SOON)
        return
    news = TimerNews.LATE if _late(timer, turn.now_s) or step is Step.REPEATS else TimerNews.DUE
    if not POLICIES[timer.kind].insists:
        turn.end_timers(lambda other: other.name == timer.name, news)
        return
    announced_s = turn.now_s if timer.announced_s is None else timer.announced_s
    turn.update_timer(
        replace(
            timer,
            phase=Phase.DUE,
            announced_s=announced_s,
            repeat_at_s=_next_repeat_s(announced_s, turn.now_s),
        ),
        news,
    )


def _next_repeat_s(announced_s: float, now_s: float) -> float:
    for repeat_s in FIRST_REPEATS_S:
        if announced_s + repeat_s > now_s:
            return announced_s + repeat_s
    repeat_s = announced_s + FIRST_REPEATS_S[-1]
    repeat_s += (now_s - repeat_s) // LATER_REPEATS_S * LATER_REPEATS_S
    while repeat_s <= now_s:
        repeat_s += LATER_REPEATS_S
    return repeat_s
