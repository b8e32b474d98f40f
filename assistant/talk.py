"""What holds at a moment of the talk between brewer and program: what ear and voice go by."""

from collections.abc import Callable
from dataclasses import dataclass

from assistant.day.doubts import answer_wanted
from assistant.day.listening import Listening, listening
from assistant.day.manner import VoiceManner
from assistant.day.state import State
from assistant.foreseen import foreseen


@dataclass(frozen=True, kw_only=True)
class Talk:
    """What words can mean, whether an answer is waited for, and how the program speaks.

    ``foresee`` finds the sentences that may be said next, the likeliest first; it takes a while.
    """

    context: Listening
    waiting: bool
    manner: VoiceManner
    foresee: Callable[[], tuple[str, ...]]


def talk_of(state: State) -> Talk:
    """What holds in the talk of a brew day."""
    return Talk(
        context=listening(state),
        waiting=bool(state.asks) or answer_wanted(state),
        manner=state.manner,
        foresee=lambda: foreseen(state),
    )
