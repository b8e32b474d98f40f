"""What answers a question: all that is believed of words without the wake word before them."""

from assistant.day.commands import Command
from assistant.day.events import (
    CommandGiven,
    Event,
    HeardUnsurely,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
)
from assistant.day.listening import Listening

ANSWERS = frozenset(Command) - {
    Command.SLOWER,
    Command.FASTER,
    Command.LOUDER,
    Command.QUIETER,
    Command.OTHER_VOICE,
    Command.CANCEL_TIMER,
    Command.BACK,
}
"""Commands that answer a prompt or a question, or tell what has happened."""


def is_answer(event: Event | None, context: Listening) -> bool:
    """Whether words that mean this can be the answer to what was asked last.

    Talk in the room is now and then taken for a timer or for a reading that nobody wants; those
    need the wake word.
    """
    match event:
        case HeardUnsurely(meanings=meanings):
            return all(is_answer(meaning, context) for meaning in meanings)
        case NumberSaid():
            return bool(context.asked or context.doubt or context.question)
        case ReadingTaken(quantity=quantity):
            return quantity in context.asked
        case CommandGiven(command=command):
            return command in ANSWERS
        case OptionChosen():
            return True
        case _:
            return event in context.doubt if event is not None else False
