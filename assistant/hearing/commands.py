"""Commands from their words, with the addition or timer some of them name."""

from collections.abc import Callable, Mapping

from assistant.day.commands import COMMANDS, Command
from assistant.day.events import CommandGiven
from assistant.day.listening import Listening
from assistant.hearing.hints import Hint
from assistant.hearing.names import matching
from assistant.hearing.spoken import Words, spoken, without_lead
from assistant.schedule.faults import harmless

NAME = "*"
LISTED = 6

LITERAL: Mapping[Words, Command] = {
    spoken(said): command
    for command, spec in COMMANDS.items()
    for said in spec.words
    if NAME not in said
}

NAMING: tuple[tuple[Words, Command], ...] = tuple(
    sorted(
        (
            (spoken(said), command)
            for command, spec in COMMANDS.items()
            for said in spec.words
            if NAME in said
        ),
        key=lambda row: -len(row[0]),
    )
)
"""Phrases with a name in them, those with the most words of their own first."""

NAMED_BY: Mapping[Command, tuple[str, Callable[[Listening], tuple[str, ...]]]] = {
    Command.ADDED: ("addition", lambda context: context.additions),
    Command.MISSED: ("addition", lambda context: context.additions),
    Command.HOW_LONG: ("timer", lambda context: context.timers),
    Command.CANCEL_TIMER: ("timer", lambda context: context.timers),
}
"""What the name in a command's words is the name of."""


def plain_command(words: Words, at: float) -> CommandGiven | None:
    """The command whose words these are; "the" may come before a phrase, as in "the bag is out"."""
    command = LITERAL.get(words)
    if command is None:
        report = without_lead(words, [("the",)])
        command = LITERAL.get(report) if len(report) > 1 else None
    return None if command is None else CommandGiven(at=at, command=command)


def naming_command(words: Words, context: Listening, at: float) -> CommandGiven | Hint | None:
    """The command that names an addition or a timer; a hint where the name is none or several."""
    hint = None
    for phrase, command in NAMING:
        name = _name_in(words, phrase)
        if name is None:
            continue
        subject = _subject(name, command, context)
        if isinstance(subject, str):
            return CommandGiven(at=at, command=command, subject=subject)
        hint = hint or subject
    return hint


def _name_in(words: Words, phrase: Words) -> Words | None:
    place = phrase.index(NAME)
    head, tail = phrase[:place], phrase[place + 1 :]
    name = words[len(head) : len(words) - len(tail)]
    return name if name and words == head + name + tail else None


def _subject(name: Words, command: Command, context: Listening) -> str | Hint:
    noun, names_in = NAMED_BY[command]
    names = names_in(context)
    meant = matching(name, names)
    # Of hops that go in twice, the portion whose timer runs is the one being spoken of.
    running = tuple(found for found in meant if found in context.timers)
    if len(meant) > 1 and running:
        meant = running
    if len(meant) == 1:
        return meant[0]
    if meant:
        return Hint(text=f"There is more than one: say {_choice(meant)}.")
    said = harmless(" ".join(name))
    if not names:
        return Hint(text=f'There is no {noun} called "{said}", nor any other.')
    return Hint(text=f'There is no {noun} called "{said}"; there is {_choice(names)}.')


def _choice(names: tuple[str, ...]) -> str:
    shown = [harmless(name) for name in names[:LISTED]]
    if len(names) > LISTED:
        return f"{', '.join(shown)} and more"
    return " or ".join([", ".join(shown[:-1]), shown[-1]] if len(shown) > 1 else shown)
