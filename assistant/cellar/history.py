"""Taking back the last thing the brewer said on a visit, and the one before, to any depth.

Nothing but time happens to a beer between two things said, so the state before the thing taken
back is the beer without it. What the ear and the record told of themselves stays told.
"""

from dataclasses import replace

from assistant.cellar.dates import due
from assistant.cellar.events import BeerEvent
from assistant.cellar.state import CellarState, Past
from assistant.cellar.turn import Turn
from assistant.day.effects import AskOpened, TaskOpened, VoiceChanged, Why
from assistant.day.events import (
    CommandGiven,
    NoteTaken,
    NumberSaid,
    ReadingTaken,
    Source,
    TaskDone,
)
from assistant.day.undo import ONLY_NOW, described

MOST_KEPT = 50
"""So many things can be taken back on a visit that lasts for weeks."""


def can_be_undone(event: BeerEvent) -> bool:
    """Whether an event is the brewer's own doing; a sensor's readings are taken back with it."""
    if isinstance(event, CommandGiven):
        return event.command not in ONLY_NOW
    if isinstance(event, ReadingTaken):
        return event.source is Source.WORDS
    return isinstance(event, NumberSaid | TaskDone | NoteTaken)


def remembered(before: CellarState, after: CellarState, event: BeerEvent) -> CellarState:
    """The state after an event, with what is needed to take it back."""
    earlier = replace(before, history=(), doubt=None)
    tasks = [opened.task for opened in before.opened]
    past = Past(what=described(event, tasks, before.schedule.units), before=earlier)
    return replace(after, history=(*after.history, past)[-MOST_KEPT:])


def taken_back(turn: Turn) -> None:
    """The beer without the last thing that was said; readings of sensors since are kept."""
    state = turn.state
    if not state.history:
        turn.refuse("There is nothing to take back.")
        return
    past = state.history[-1]
    before = past.before
    since = state.readings[len(before.readings) :]
    turn.state = replace(
        before,
        now_s=turn.now_s,
        history=state.history[:-1],
        readings=(*before.readings, *(reading for reading in since if reading.sensed)),
        next_id=state.next_id,
        ear=state.ear,
        sensing=state.sensing,
        doubted=state.doubted,
        record=state.record,
        incidents=state.incidents,
    )
    # What fell due since is no part of what is taken back, and has been told.
    still = {each.key for each in due(turn.state)} - {opened.key for opened in before.opened}
    opened_since = tuple(opened for opened in state.opened if opened.key in still)
    turn.change(opened=(*before.opened, *opened_since))
    for opened in before.opened:
        if opened not in state.opened:
            turn.effects.append(TaskOpened(id=opened.task.id, action=opened.task.action))
    for ask in before.asks:
        if ask not in state.asks:
            turn.effects.append(
                AskOpened(id=ask.id, quantity=ask.quantity, unit=ask.unit, why=ask.why)
            )
    if before.manner != state.manner:
        turn.effects.append(VoiceChanged(manner=before.manner))
    turn.say(f"Taken back: {past.what}.", Why.READBACK)
