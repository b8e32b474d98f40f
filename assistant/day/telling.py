"""What a core's turn is to the parts that brew day and visit share: who tells, and of what state.

A brew day and a visit to its beer have states of their own. What is common to both, such as a note
or a record that can't be written, is written once for whatever has these.
"""

from collections.abc import Sequence
from typing import Any, Protocol

from assistant.day.effects import Effect, Why
from assistant.day.events import Incident, RecordTrouble
from assistant.day.manner import VoiceManner
from assistant.day.sensor_state import Sensing
from assistant.day.state import Note


class Told(Protocol):
    """A state as far as it is the same for both."""

    @property
    def manner(self) -> VoiceManner:
        """How the program speaks."""
        ...

    @property
    def notes(self) -> Sequence[Note]:
        """What the brewer dictated."""
        ...

    @property
    def record(self) -> RecordTrouble | None:
        """Why what happens can't be written down now."""
        ...

    @property
    def sensing(self) -> Sensing:
        """Which sensors can't be had."""
        ...

    @property
    def incidents(self) -> Sequence[Incident]:
        """What befell the program itself."""
        ...


class Teller(Protocol):
    """A turn as far as it is the same for both."""

    @property
    def state(self) -> Told:
        """The state as it is now."""
        ...

    @property
    def now_s(self) -> float:
        """The moment, in seconds of the brew day."""
        ...

    @property
    def effects(self) -> list[Effect]:
        """What is asked of the world so far."""
        ...

    def say(self, text: str, why: Why) -> None:
        """Say something."""
        ...

    def refuse(self, text: str) -> None:
        """Say why an event could not be used."""
        ...

    def change(self, **fields: Any) -> None:
        """Replace fields of the state."""
        ...
