"""How the program speaks: steps away from the voice it was set up with, and what moves them."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from assistant.day.commands import Command


@dataclass(frozen=True, kw_only=True)
class VoiceManner:
    """Steps slower or faster, softer or louder than usual, and which of the voices speaks.

    What a step is worth is the voice's to say; it takes ``voice_index`` modulo the voices it has.
    """

    rate_step: int = 0
    volume_step: int = 0
    voice_index: int = 0


SLOWEST, FASTEST = -3, 3
QUIETEST, LOUDEST = -4, 0
"""Where the steps end. A day begins with the loudest voice there is, for a boil's noise."""

VOICES = 60
"""After this many changes the voices begin anew: a multiple of any number of them up to six."""


@dataclass(frozen=True, kw_only=True)
class Change:
    """What a command changes: a field, by how much, up to which ``end``, and the words for it.

    Without an ``end`` it goes on: the voices go round.
    """

    field: str
    step: int
    said: str
    end: int | None = None
    at_its_end: str = ""


CHANGES: Mapping[Command, Change] = {
    Command.SLOWER: Change(
        field="rate_step",
        step=-1,
        end=SLOWEST,
        said="Slower.",
        at_its_end="I can't speak any slower.",
    ),
    Command.FASTER: Change(
        field="rate_step",
        step=1,
        end=FASTEST,
        said="Faster.",
        at_its_end="I can't speak any faster.",
    ),
    Command.LOUDER: Change(
        field="volume_step",
        step=1,
        end=LOUDEST,
        said="Louder.",
        at_its_end="I can't speak any louder. Turn up the loudspeaker.",
    ),
    Command.QUIETER: Change(
        field="volume_step",
        step=-1,
        end=QUIETEST,
        said="Quieter.",
        at_its_end="I can't speak any quieter.",
    ),
    Command.OTHER_VOICE: Change(field="voice_index", step=1, said="Another voice."),
}


def changed(manner: VoiceManner, change: Change) -> VoiceManner | None:
    """The manner after a change; None where it is at its end already."""
    place: int = getattr(manner, change.field)
    if place == change.end:
        return None
    moved = place + change.step
    if change.end is None:
        moved %= VOICES
    fields: dict[str, int] = {change.field: moved}
    return replace(manner, **fields)
