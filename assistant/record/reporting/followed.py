"""What is only seen on the way through a day: beliefs as they were, slips, questions, offers."""

from dataclasses import dataclass
from enum import Enum

from assistant.advice.batch import Place
from assistant.day.effects import AdviceOffered
from assistant.day.events import Source
from assistant.day.state import Reading


@dataclass(frozen=True, kw_only=True)
class Believed:
    """What was believed at a moment; None for what there was not, or was not known.

    ``volume_l`` is water while in the MASH and wort from then on, at 20 °C; ``gravity`` is the
    wort's, once the bag is out.
    """

    at_s: float
    temperature_c: float | None
    volume_l: float | None
    gravity: float | None
    place: Place


@dataclass(frozen=True, kw_only=True)
class SeenReading:
    """A reading that went on record, and when it was taken back, if it was."""

    reading: Reading
    source: Source
    taken_back_s: float | None = None


@dataclass(frozen=True, kw_only=True)
class TakenBack:
    """Something the brewer took back at ``at_s`` that was done at ``done_s``."""

    at_s: float
    what: str
    done_s: float


class Answer(Enum):
    """What became of a question."""

    YES = "yes"
    NO = "no"
    DROPPED = "not answered"
    OPEN = "still open"


@dataclass(frozen=True, kw_only=True)
class Asked:
    """A reading or words that were asked about before they counted; OPEN has no end."""

    at_s: float
    text: str
    answer: Answer = Answer.OPEN
    answered_s: float | None = None


@dataclass(frozen=True, kw_only=True)
class Offered:
    """Advice as it was offered."""

    at_s: float
    offer: AdviceOffered


@dataclass(frozen=True, kw_only=True)
class Held:
    """How a rest was held, as believed: from when to when, and between which temperatures.

    ``mean_c`` is over that time. ``until_s`` is the last moment known of a rest that still runs.
    """

    rest: str
    wanted_c: float
    from_s: float
    until_s: float
    mean_c: float
    lowest_c: float
    highest_c: float


@dataclass(frozen=True, kw_only=True)
class Poured:
    """Water or extract that went in, and what it added; ``advised_kg`` is in no schedule."""

    at_s: float
    place: Place
    litres: float
    extract_kg: float
    advised_kg: float


@dataclass(frozen=True, kw_only=True)
class Followed:
    """All that was seen on the way through a day; ``lifted_l`` is the mash's water at the lift."""

    believed: tuple[Believed, ...] = ()
    readings: tuple[SeenReading, ...] = ()
    taken_back: tuple[TakenBack, ...] = ()
    asked: tuple[Asked, ...] = ()
    offered: tuple[Offered, ...] = ()
    held: tuple[Held, ...] = ()
    poured: tuple[Poured, ...] = ()
    lifted_l: float | None = None
