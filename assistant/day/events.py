"""The facts a day is made of, each frozen and in the past tense.

Whoever hears, types or senses makes events; only ``advance`` judges them. ``at`` is seconds since
the day began. Values are in the unit they were read in; the core converts.
"""

from dataclasses import dataclass
from enum import Enum

from assistant.advice.learned import LearnedKettle
from assistant.day.commands import Command
from assistant.day.quantities import Quantity


class Source(Enum):
    """Where a reading came from: words, a program that waits for the answer, or a sensor that
    reports by itself, asked or not, and listens to nothing."""

    WORDS = "words"
    SENSOR = "sensor"
    STREAM = "streaming sensor"


@dataclass(frozen=True, kw_only=True)
class DayBegan:
    """The brewer started the day; ``learned`` is what was known by then of its kettle."""

    at: float
    learned: LearnedKettle | None = None


@dataclass(frozen=True, kw_only=True)
class DayResumed:
    """The program was started again on an unfinished day.

    ``unsure`` tells that ``at`` is a guess: the clock that bridges two starts was set back.
    """

    at: float
    unsure: bool = False


@dataclass(frozen=True, kw_only=True)
class TimePassed:
    """Nothing but time."""

    at: float


@dataclass(frozen=True, kw_only=True)
class ReadingTaken:
    """A value was read; ``sample_c`` is the temperature that goes with a volume or a gravity."""

    at: float
    quantity: Quantity
    value: float
    unit: str
    sample_c: float | None = None
    source: Source = Source.WORDS


@dataclass(frozen=True, kw_only=True)
class NumberSaid:
    """A bare number was said: what it means follows from what was asked."""

    at: float
    value: float
    unit: str | None = None


@dataclass(frozen=True, kw_only=True)
class CommandGiven:
    """One of the commands was given; ``subject`` is the item or timer it names, if any."""

    at: float
    command: Command
    subject: str | None = None


@dataclass(frozen=True, kw_only=True)
class OptionChosen:
    """An option of the open advice was chosen by its ``say``."""

    at: float
    say: str


@dataclass(frozen=True, kw_only=True)
class TaskDone:
    """A task was reported done by its number."""

    at: float
    task_id: int


@dataclass(frozen=True, kw_only=True)
class TimerRequested:
    """The brewer asked for a timer of their own."""

    at: float
    seconds: float
    name: str


@dataclass(frozen=True, kw_only=True)
class NoteTaken:
    """The brewer made a note; one that was ``dictated`` is read back, for it may be misheard."""

    at: float
    text: str
    dictated: bool = False


Meaning = ReadingTaken | NumberSaid | CommandGiven | OptionChosen | TimerRequested
"""What words can mean that were heard; each carries the ``at`` of the hearing."""


@dataclass(frozen=True, kw_only=True)
class HeardUnsurely:
    """Words that could be one thing or another: one to three ``meanings``, likeliest first."""

    at: float
    meanings: tuple[Meaning, ...]


class Trouble(Enum):
    """What an ear or a voice can have to tell of itself."""

    TOO_LOUD = "too loud"
    QUIET_AGAIN = "quiet again"
    MICROPHONE_GONE = "microphone gone"
    MICROPHONE_BACK = "microphone back"
    VOICE_GONE = "voice gone"
    VOICE_BACK = "voice back"
    RECOGNISER_GONE = "recogniser gone"
    RECOGNISER_BACK = "recogniser back"
    NOT_CAUGHT = "not caught"


@dataclass(frozen=True, kw_only=True)
class EarTroubled:
    """The ear, or the voice, is in trouble or out of it again; NOT_CAUGHT: something was said."""

    at: float
    trouble: Trouble


class RecordTrouble(Enum):
    """Why what happens can't go on record now; WRITTEN_AGAIN: it can, and all of it has."""

    FULL = "disk full"
    NOT_WRITABLE = "not writable"
    BUSY = "held by another program"
    SLOW = "slow"
    FAILING = "disk fault"
    DAMAGED = "damaged"
    GONE = "gone"
    WRITTEN_AGAIN = "written again"


@dataclass(frozen=True, kw_only=True)
class RecordTroubled:
    """The record can't be written, or can again; until then the day is kept in memory alone."""

    at: float
    trouble: RecordTrouble


@dataclass(frozen=True, kw_only=True)
class RecordMended:
    """The record was damaged, gone or behind and was put together again.

    ``missing`` rows of this day are known to be lost.
    """

    at: float
    missing: int


class Jump(Enum):
    """What happened to the computer's clock: it stood still for the program, or was set."""

    SLEPT = "slept"
    SET = "set"


@dataclass(frozen=True, kw_only=True)
class ClockJumped:
    """The computer slept for ``seconds``, or its clock was set forward by them (back: below 0).

    ``at`` counts on through both: the day's own clock is not the one that jumped.
    """

    at: float
    jump: Jump
    seconds: float


class SensorTrouble(Enum):
    """What can become of sensors that report by themselves: of all of them, or of one."""

    GONE = "gone"
    BACK = "back"
    SILENT = "silent"
    HEARD_AGAIN = "heard again"


@dataclass(frozen=True, kw_only=True)
class SensorsTroubled:
    """The sensors can't be reached or can again, or the one that reads ``quantity`` is silent or
    reports again; only of the latter two it is not None."""

    at: float
    trouble: SensorTrouble
    quantity: Quantity | None = None


Incident = RecordTroubled | RecordMended | ClockJumped | SensorsTroubled
"""What befalls the program itself rather than the beer."""


Event = (
    DayBegan
    | DayResumed
    | TimePassed
    | ReadingTaken
    | NumberSaid
    | CommandGiven
    | OptionChosen
    | TaskDone
    | TimerRequested
    | NoteTaken
    | HeardUnsurely
    | EarTroubled
    | RecordTroubled
    | RecordMended
    | ClockJumped
    | SensorsTroubled
)
