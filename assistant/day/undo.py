"""Taking back the last thing the brewer said or did, and the one before, to any depth.

Undo is an event like any other. What it leaves is what the day would be had the thing taken back
never happened: the state before it, with everything since that was not the brewer's doing (time,
above all) happening again. What was said aloud stays said, so numbers of tasks and cautions
already spoken are carried over.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from assistant.advice import figures
from assistant.day.commands import COMMANDS, Command
from assistant.day.effects import (
    AdviceOffered,
    AskOpened,
    Effect,
    StageBegan,
    TaskOpened,
    TimerChanged,
    TimerNews,
    VoiceChanged,
)
from assistant.day.events import (
    CommandGiven,
    EarTroubled,
    Event,
    HeardUnsurely,
    Incident,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    Source,
    TaskDone,
    TimerRequested,
)
from assistant.day.manner import VoiceManner
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.rests import current_rest
from assistant.day.state import Past, Phase, State, Task
from assistant.day.timer_kinds import POLICIES
from assistant.day.wording import task_words
from assistant.schedule.model import Units

QUERIES = frozenset(
    {
        Command.WHATS_NEXT,
        Command.HOW_LONG,
        Command.WHERE,
        Command.REPEAT,
        Command.HELP,
        Command.OPTIONS,
        Command.WHY,
    }
)

ONLY_NOW = frozenset({*QUERIES, Command.STOP})
"""Commands that there is nothing of to take back."""

Step = Callable[[State, Event], State]


def can_be_undone(event: Event) -> bool:
    """Whether an event is the brewer's own doing."""
    if isinstance(event, CommandGiven):
        return event.command not in ONLY_NOW
    return not _reports_by_itself(event) and isinstance(
        event, ReadingTaken | NumberSaid | OptionChosen | TaskDone | TimerRequested | NoteTaken
    )


def remember(before: State, after: State, event: Event, *, said: bool = False) -> State:
    """The state after an event, with what is needed to take it back.

    What a sensor reports by itself is taken back where something was ``said`` of it; the rest is
    not what anybody means who says "undo".

    A doubt is over once something is taken back, and what the ear told of itself stays told, as
    does what befell the program: of none does the history keep a trace.
    """
    if isinstance(event, HeardUnsurely | EarTroubled | Incident):
        return after
    if can_be_undone(event) or (said and _reports_by_itself(event)):
        earlier = replace(before, history=(), doubt=None)
        what = described(event, before.tasks, before.schedule.units)
        past = Past(what=what, before=earlier, event=event)
        return _with_streamed_folded(replace(after, history=(*after.history, past)))
    if not after.history:
        return after
    last = after.history[-1]
    longer = replace(last, since=(*last.since, event))
    return replace(after, history=(*after.history[:-1], longer))


STREAMED = 100
"""So many readings of a sensor can be taken back one by one: a thermometer that reports every
second would otherwise keep a state for each, with all the readings before it."""


def _with_streamed_folded(state: State) -> State:
    """The oldest reading of a sensor above :data:`STREAMED` no longer taken back by itself.

    It is what happened since the thing before it then, and happens again where that is taken back.
    """
    streamed = [place for place, past in enumerate(state.history) if _is_streamed(past.event)]
    if len(streamed) <= STREAMED:
        return state
    place = streamed[0]
    folded, kept = state.history[place], state.history[:place]
    if kept:
        since = (*kept[-1].since, folded.event, *folded.since)
        kept = (*kept[:-1], replace(kept[-1], since=since))
    doubt = state.doubt
    if doubt is not None:
        doubt = replace(doubt, depth=doubt.depth - 1)
    return replace(state, history=(*kept, *state.history[place + 1 :]), doubt=doubt)


def _is_streamed(event: Event) -> bool:
    return isinstance(event, ReadingTaken) and event.source is not Source.WORDS


def _reports_by_itself(event: Event) -> bool:
    return isinstance(event, ReadingTaken) and event.source is Source.STREAM


def taken_back(state: State, step: Step) -> tuple[str, State]:
    """What was taken back, and the state without it; ``step`` lets an event happen in silence.

    The state must have a history.
    """
    past = state.history[-1]
    restored = replace(
        past.before,
        history=state.history[:-1],
        next_id=state.next_id,
        cautioned=state.cautioned | past.before.cautioned,
        forecast=state.forecast,
    )
    for event in past.since:
        restored = step(restored, event)
    # After that, for among what happened since there may be a return, which begins them anew.
    restored = replace(
        restored,
        ear=state.ear,
        record=state.record,
        incidents=state.incidents,
        sensing=state.sensing,
        streams=state.streams,
    )
    return past.what, restored


def differences(before: State, after: State) -> list[Effect]:
    """What has to be told so that whoever follows the effects sees the state after an undo."""
    told: list[Effect] = []
    if (before.stage, before.rest) != (after.stage, after.rest):
        rest = current_rest(after).name if after.stage.value == "mash" else None
        told.append(StageBegan(stage=after.stage, rest=rest))
    told += [task for task in _tasks(after) if task not in _tasks(before)]
    told += [ask for ask in _asks(after) if ask not in _asks(before)]
    told += _timers(before, after)
    if after.manner != before.manner:
        told.append(VoiceChanged(manner=after.manner))
    if after.advice is not None and after.advice != before.advice:
        told.append(_offer(after))
    return told


def everything_open(state: State) -> list[Effect]:
    """The stage with all that is open in it, as told to someone who joins the day here.

    A timer that was announced as due is told as late: due is said once, when it is news.
    """
    rest = current_rest(state).name if state.stage.value == "mash" else None
    told: list[Effect] = [StageBegan(stage=state.stage, rest=rest)]
    if state.manner != VoiceManner():
        told.append(VoiceChanged(manner=state.manner))
    told += _tasks(state)
    told += _asks(state)
    for timer in _timers(replace(state, timers=()), state):
        due = timer.state is TimerNews.DUE
        told.append(replace(timer, state=TimerNews.LATE) if due else timer)
    if state.advice is not None:
        told.append(_offer(state))
    return told


def newly_due(before: State, after: State) -> str:
    """``Challenger is due.`` for what undo has made due again, or nothing."""
    due = [
        timer.name
        for timer in after.timers
        if timer.phase is Phase.DUE
        and POLICIES[timer.kind].words is not None
        and not any(o.name == timer.name and o.phase is Phase.DUE for o in before.timers)
    ]
    if not due:
        return ""
    verb = "is" if len(due) == 1 else "are"
    return f" {figures.sentence(figures.listed(due))} {verb} due."


def described(event: object, tasks: Sequence[Task], units: Units) -> str:
    """What an event was, for the words "taken back", with the ``tasks`` that were open."""
    if isinstance(event, ReadingTaken):
        shown = figures.gravity if event.unit == "SG" else _shown
        return f"{QUANTITIES[event.quantity].spoken} {shown(event.value)}"
    if isinstance(event, NumberSaid):
        low, high = QUANTITIES[Quantity.GRAVITY].possible
        is_gravity = event.unit in (None, "SG") and low <= event.value <= high
        return figures.gravity(event.value) if is_gravity else _shown(event.value)
    if isinstance(event, OptionChosen):
        return event.say
    if isinstance(event, TimerRequested):
        return f"the timer {event.name}"
    if isinstance(event, NoteTaken):
        return "the note"
    if isinstance(event, TaskDone):
        done = [task for task in tasks if task.id == event.task_id]
        return task_words(done[0].action, units) if done else "done"
    if isinstance(event, CommandGiven):
        return event.subject or COMMANDS[event.command].words[0]
    return "that"


def _shown(value: float) -> str:
    return figures.number(value, 3)


def _tasks(state: State) -> list[Effect]:
    return [TaskOpened(id=task.id, action=task.action) for task in state.tasks]


def _asks(state: State) -> list[Effect]:
    return [
        AskOpened(id=ask.id, quantity=ask.quantity, unit=ask.unit, why=ask.why)
        for ask in state.asks
    ]


def _timers(before: State, after: State) -> list[TimerChanged]:
    told: list[TimerChanged] = []
    for timer in before.timers:
        if after.timer(timer.name) is None and POLICIES[timer.kind].words is not None:
            told.append(TimerChanged(name=timer.name, state=TimerNews.CANCELLED, due=timer.due_s))
    for timer in after.timers:
        if before.timer(timer.name) != timer and POLICIES[timer.kind].words is not None:
            news = TimerNews(timer.phase.value)
            due_s = None if timer.left_s is not None else timer.due_s
            told.append(TimerChanged(name=timer.name, state=news, due=due_s))
    return told


def _offer(state: State) -> AdviceOffered:
    assert state.advice is not None
    finding = state.advice.finding
    return AdviceOffered(
        id=state.advice.id,
        about=finding.about,
        finding=finding.finding,
        options=finding.options,
        recommended=finding.recommended,
    )
