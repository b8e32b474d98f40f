"""What to say instead: the hint that goes with words that were not understood."""

from dataclasses import dataclass

from assistant.day.listening import Listening
from assistant.day.quantities import Quantity
from assistant.hearing.vocabulary import example


@dataclass(frozen=True, kw_only=True)
class Hint:
    """Words that came near a form without being one; ``text`` says in a sentence what is wanted."""

    text: str


def usual_hint(context: Listening) -> Hint:
    """What can be said at any time, with the reading asked for as the example."""
    quantity = context.asked[0] if context.asked else Quantity.MASH_TEMPERATURE
    said = example(quantity, context.units)
    return Hint(text=f'You can say done, what\'s next, help, or a reading such as "{said}".')
