"""What is wrong with the ear and the voice now, and what of it comes and goes."""

from dataclasses import dataclass

from assistant.day.unrest import Unrest


@dataclass(frozen=True, kw_only=True)
class Ear:
    """Which troubles the ear and the voice have now; ``not_caught`` counts in a row.

    ``unrest`` holds at most one of each of these fields.
    """

    too_loud: bool = False
    no_microphone: bool = False
    no_voice: bool = False
    no_recogniser: bool = False
    not_caught: int = 0
    unrest: tuple[Unrest, ...] = ()
