"""What befalls the program itself, as it is told: a record that can't be written, a clock that is
set, sensors that can't be reached."""

from collections.abc import Mapping

from assistant.advice import figures
from assistant.day.effects import Say, Why
from assistant.day.events import (
    ClockJumped,
    Incident,
    Jump,
    RecordMended,
    RecordTrouble,
    RecordTroubled,
    SensorsTroubled,
)
from assistant.day.sensor_troubles import after_trouble_of_sensors, sensor_words
from assistant.day.telling import Teller

RECORD_WORDS: Mapping[RecordTrouble, str] = {
    RecordTrouble.FULL: "The disk is full. I keep the day in mind only: free some space.",
    RecordTrouble.NOT_WRITABLE: (
        "The record can't be written to. I keep the day in mind: make its folder writable."
    ),
    RecordTrouble.BUSY: (
        "Another program holds the record. I keep the day in mind until it is closed."
    ),
    RecordTrouble.SLOW: "The disk is very slow. What happens is in mind, but not yet on record.",
    RecordTrouble.FAILING: (
        "The disk reports a fault. I keep the day in mind: don't switch the computer off."
    ),
    RecordTrouble.DAMAGED: "The record is damaged. I keep the day in mind while I mend it.",
    RecordTrouble.GONE: (
        "The record is gone from its folder. I keep the day in mind, and put it back if I can."
    ),
    RecordTrouble.WRITTEN_AGAIN: "The record is written again.",
}
"""What is said once when the record fails, and once when it is whole again."""

RECORD_SHOWN: Mapping[RecordTrouble, str] = {
    RecordTrouble.FULL: "not being written: the disk is full",
    RecordTrouble.NOT_WRITABLE: "not being written: its folder or file is read-only",
    RecordTrouble.BUSY: "not being written: another program holds it",
    RecordTrouble.SLOW: "behind: the disk is very slow",
    RecordTrouble.FAILING: "not being written: the disk reports a fault",
    RecordTrouble.DAMAGED: "not being written: it is damaged and being mended",
    RecordTrouble.GONE: "not being written: its file is gone",
}
"""What stands on the screen for as long as it lasts."""

WORTH_A_WORD_S = 60.0
"""A clock that is set by less is on record only: no brewer looks at it so closely."""


def befallen(turn: Teller, event: Incident) -> None:
    """Take note of an incident and tell of it, where it is news and the brewer would care.

    Like the troubles of the ear it is no "last thing said", nor can it be taken back.
    """
    if isinstance(event, SensorsTroubled):
        _sensors_befallen(turn, event)
        return
    said, loud = True, True
    match event:
        case RecordTroubled():
            loud = event.trouble is not RecordTrouble.WRITTEN_AGAIN
            before, after = turn.state.record, event.trouble if loud else None
            if before == after:
                return
            turn.change(record=after)
            # Another reason for the same silence of the record is shown, and that is enough; a
            # disk that was slow until now is one that nobody was told to do anything about.
            said = before in (None, RecordTrouble.SLOW) or after is None
        case ClockJumped(jump=Jump.SET):
            said, loud = abs(event.seconds) >= WORTH_A_WORD_S, False
    turn.change(incidents=(*turn.state.incidents, event))
    if said:
        why = Why.WARNING if loud else Why.PROMPT
        turn.effects.append(Say(text=incident_words(event), why=why))


def _sensors_befallen(turn: Teller, event: SensorsTroubled) -> None:
    sensing, said = after_trouble_of_sensors(turn.state.sensing, event)
    if sensing != turn.state.sensing:
        turn.change(sensing=sensing, incidents=(*turn.state.incidents, event))
        turn.effects.extend(said)


def incident_words(event: Incident) -> str:
    """What is said of an incident, or would be if it were worth it."""
    match event:
        case RecordTroubled():
            return RECORD_WORDS[event.trouble]
        case SensorsTroubled():
            return sensor_words(event)
        case RecordMended():
            return f"The record was put together again. {_missing(event.missing)}"
        case ClockJumped():
            length = figures.duration(abs(event.seconds))
            if event.jump is Jump.SLEPT:
                return (
                    f"I stood still for {length}, as when the computer sleeps. "
                    "What fell due meanwhile is told late."
                )
            way = "forward" if event.seconds > 0 else "back"
            return f"The computer's clock was set {length} {way}. My timers go on as before."


def _missing(rows: int) -> str:
    if rows == 0:
        return "Nothing of this day is known to be missing."
    things = figures.counted(str(rows), "thing")
    return f"{figures.sentence(things)} of this day could not be saved: look at the readings."
