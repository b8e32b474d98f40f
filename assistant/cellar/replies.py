"""What each command comes to on a visit to a beer."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from assistant.advice import figures
from assistant.cellar.assessing import assess
from assistant.cellar.consequences import follow_up
from assistant.cellar.dates import additions_to_come, coming
from assistant.cellar.events import Errand
from assistant.cellar.packaging import PRIME_KEY, packaged
from assistant.cellar.readings import accept
from assistant.cellar.state import CellarState, Opened, Settled
from assistant.cellar.turn import Turn
from assistant.cellar.visiting import next_words, where_words
from assistant.cellar.words import coming_words, progress_words
from assistant.day.commands import COMMANDS, Command
from assistant.day.effects import Hushed, Why
from assistant.day.manner import CHANGES
from assistant.day.quantities import Quantity
from assistant.day.speech import change_manner
from assistant.day.wording import addition_names
from assistant.schedule.model import AdditionKind

FAREWELL = "That's all for today."


def command(turn: Turn, given: Command, subject: str | None) -> None:
    """Carry out a command, or say where it belongs."""
    handler = HANDLERS.get(given)
    if handler is None:
        turn.refuse(f'"{COMMANDS[given].words[0]}" belongs to a brew day.')
        return
    handler(turn, subject)


def answers_wanted(state: CellarState) -> bool:
    """Whether something was asked that "yes" or "no" answers."""
    return (
        state.open_doubt() is not None
        or state.question is not None
        or bool(state.unwise)
        or yeast_is_asked(state)
    )


def yeast_is_asked(state: CellarState) -> bool:
    """Whether it was asked if the yeast is kept."""
    return any(ask.quantity is Quantity.SLURRY_VOLUME for ask in state.asks)


def done_task(turn: Turn, task_id: int) -> None:
    """Something to do was reported done by its number."""
    opened = next((each for each in turn.state.opened if each.task.id == task_id), None)
    if opened is None:
        turn.refuse(f"There is no open task {task_id}.")
        return
    _settle(turn, opened, left_out=False)


def _settle(turn: Turn, opened: Opened, *, left_out: bool) -> None:
    turn.close(opened.key)
    if opened.key == PRIME_KEY:
        turn.say('Sugar in. Say "packaged" when all of it is filled.', Why.READBACK)
        return
    settled = Settled(key=opened.key, at_s=turn.now_s, left_out=left_out)
    turn.change(settled=(*turn.state.settled, settled))
    name = opened.task.action.item or "the rest"
    turn.say(f"{figures.sentence(name)} {'left out' if left_out else 'noted'}.", Why.READBACK)


def _done(turn: Turn, subject: str | None) -> None:
    """The last thing due is done; with nothing due, the visit is."""
    state = turn.state
    if state.opened:
        _settle(turn, state.opened[-1], left_out=False)
        return
    turn.change(asks=(), over=True)
    ahead = "" if turn.quiet else f" {next_words(turn.state)}"
    turn.say(f"{FAREWELL}{ahead}", Why.ANSWER)


def _skip(turn: Turn, subject: str | None) -> None:
    turn.change(asks=(), question=None, unwise="")
    turn.say("Left for now.", Why.READBACK)


def _named(turn: Turn, subject: str | None, *, hops_only: bool = False) -> list[Opened]:
    """What is open under a name, or, without one, all that is open of that kind."""
    additions, names = turn.state.schedule.additions, addition_names(turn.state.schedule)
    return [
        opened
        for opened in turn.state.opened
        if opened.task.index is not None
        and (subject is None or names[opened.task.index] == subject)
        and (not hops_only or additions[opened.task.index].kind is AdditionKind.HOPS)
    ]


def _added(turn: Turn, subject: str | None) -> None:
    found = _named(turn, subject)
    if not found and subject is not None and _early(turn, subject, left_out=False):
        return
    _settle_all(turn, found, left_out=False)


def _hops_in(turn: Turn, subject: str | None) -> None:
    _settle_all(turn, _named(turn, None, hops_only=True), left_out=False)


def _missed(turn: Turn, subject: str | None) -> None:
    found = _named(turn, subject)
    if not found and subject is not None and _early(turn, subject, left_out=True):
        return
    _settle_all(turn, found, left_out=True)


def _settle_all(turn: Turn, found: list[Opened], *, left_out: bool) -> None:
    if not found:
        turn.refuse("Nothing of that is due.")
    for opened in found:
        _settle(turn, opened, left_out=left_out)


def _early(turn: Turn, subject: str, *, left_out: bool) -> bool:
    """An addition that is not due yet, named: the brewer may add it any day."""
    names = addition_names(turn.state.schedule)
    ahead = [each.key for each in additions_to_come(turn.state)]
    key = next((key for key in ahead if names[int(key.rsplit(" ", 1)[1])] == subject), None)
    if key is None:
        return False
    settled = Settled(key=key, at_s=turn.now_s, left_out=left_out)
    turn.change(settled=(*turn.state.settled, settled))
    turn.say(f"{figures.sentence(subject)} {'left out' if left_out else 'noted'}.", Why.READBACK)
    return True


def _packaged(turn: Turn, subject: str | None) -> None:
    packaged(turn)


def _yes(turn: Turn, subject: str | None) -> None:
    state = turn.state
    if state.question is not None:
        # Whoever read it, it is the brewer who says that it holds, and may take that back.
        reading = replace(state.question.reading, at=turn.now_s, sensed=False)
        turn.change(question=None)
        before = turn.state
        accept(turn, reading)
        follow_up(turn, reading, before)
        return
    if state.unwise:
        packaged(turn, anyway=True)
        return
    if yeast_is_asked(state):
        turn.say("How much? Say slurry, and the millilitres.", Why.QUESTION)
        return
    turn.refuse("Nothing was asked that yes answers.")


def _no(turn: Turn, subject: str | None) -> None:
    if turn.state.unwise:
        turn.change(unwise="")
        turn.say("Good. Leave it to ferment.", Why.READBACK)
        return
    if turn.state.question is None:
        # Of the yeast, which is asked about last.
        _done(turn, subject)
        return
    turn.change(question=None)
    turn.say("Dropped.", Why.READBACK)


def _where(turn: Turn, subject: str | None) -> None:
    turn.say(where_words(turn.state), Why.ANSWER)
    if turn.state.packaged is None and not turn.quiet:
        for text in progress_words(turn.state, assess(turn.state)):
            turn.say(text, Why.ANSWER)


def _next(turn: Turn, subject: str | None) -> None:
    ahead = () if turn.quiet else coming(turn.state)[:2]
    if not ahead:
        turn.say("Nothing is to come.", Why.ANSWER)
    for each in ahead:
        turn.say(f"{coming_words(turn.state, each)}.", Why.ANSWER)


def _why(turn: Turn, subject: str | None) -> None:
    if not turn.state.reason:
        turn.refuse("There was no advice yet.")
        return
    turn.say(turn.state.reason, Why.ANSWER)


def _repeat(turn: Turn, subject: str | None) -> None:
    if turn.state.spoken:
        turn.say(turn.state.spoken, Why.ANSWER)


def _help(turn: Turn, subject: str | None) -> None:
    said = "a gravity, brix or beer temperature, hops are in, what's next, note, undo, done"
    if turn.state.errand is Errand.PACKAGE:
        said = "a gravity, beer temperature or fermenter volume, packaged, slurry, undo, done"
    turn.say(f"Say {said}.", Why.ANSWER)


def _stop(turn: Turn, subject: str | None) -> None:
    turn.effects.append(Hushed())


HANDLERS: Mapping[Command, Callable[[Turn, str | None], None]] = {
    Command.DONE: _done,
    Command.YES: _yes,
    Command.NO: _no,
    Command.SKIP: _skip,
    Command.WHATS_NEXT: _next,
    Command.HOW_LONG: _next,
    Command.WHERE: _where,
    Command.REPEAT: _repeat,
    Command.HELP: _help,
    Command.WHY: _why,
    Command.STOP: _stop,
    Command.HOPS_IN: _hops_in,
    Command.ADDED: _added,
    Command.MISSED: _missed,
    Command.PACKAGED: _packaged,
    **{given: change_manner(given) for given in CHANGES},
}
"""What can be said on a visit; undo, and the answers to a doubt, are judged before."""
