"""Words to the event they mean: the strict reading of what was typed or heard.

The forms are tried in one order, the surest first: an option on offer, a note, a command, a
command that names something, a timer, a reading or a number. Nothing is guessed: words that fit no
form raise :class:`NotUnderstood`.
"""

import re

from assistant.day.events import Event, NoteTaken, OptionChosen
from assistant.day.listening import Listening
from assistant.hearing.commands import naming_command, plain_command
from assistant.hearing.hints import Hint, usual_hint
from assistant.hearing.readings import reading
from assistant.hearing.spoken import spoken
from assistant.hearing.timers import timer
from assistant.hearing.vocabulary import WAKE_WORD
from assistant.schedule.faults import harmless

LONGEST_WORDS = 200
LONGEST_SHOWN = 60

NOTE_LEADS = (
    "make a note that",
    "make a note of",
    "make a note",
    "take a note",
    "note that",
    "note",
)
"""What a note begins with, the longer before the shorter that begins the same."""

_note_leads = "|".join(NOTE_LEADS).replace(" ", r"\s+")
_note = re.compile(
    rf"(?:{_note_leads})(?:(?::|[,;.]?\s)(.*))?",
    re.IGNORECASE | re.DOTALL,
)
_wake = re.compile(rf"\W*{WAKE_WORD}\b\W*?(?=[\w\-.]|$)", re.IGNORECASE)


class NotUnderstood(ValueError):
    """Words that mean nothing here; ``hint`` says what could be said instead."""

    def __init__(self, words: str, hint: str) -> None:
        self.words = words
        self.hint = hint
        shown = harmless(words.strip(), LONGEST_SHOWN)
        found = f'I did not understand "{shown}".' if shown else "I heard no words."
        super().__init__(f"{found} {hint}")


def understand(words: str, context: Listening, at: float) -> Event:
    """What these words mean now, as an event at ``at`` seconds of the day.

    Case, punctuation and apostrophes do not matter; the wake word may come first. At most 200
    characters. Raises :class:`NotUnderstood` for anything else, with a hint.
    """
    if len(words) > LONGEST_WORDS:
        raise NotUnderstood(words, f"Say at most {LONGEST_WORDS} characters at a time.")
    meaning = _meaning(words, context, at)
    woken = _wake.match(words)
    if woken and not _is_event(meaning):
        after = _meaning(words[woken.end() :], context, at)
        meaning = after if after is not None else meaning
    if meaning is None:
        meaning = usual_hint(context)
    if isinstance(meaning, Hint):
        raise NotUnderstood(words, meaning.text)
    return meaning


def _is_event(meaning: Event | Hint | None) -> bool:
    return meaning is not None and not isinstance(meaning, Hint)


def _meaning(text: str, context: Listening, at: float) -> Event | Hint | None:
    words = spoken(text)
    if not words:
        return None
    option = next((option for option in context.options if spoken(option) == words), None)
    if option is not None:
        return OptionChosen(at=at, say=option)
    hint = Hint(text="A number takes a decimal point, as in 66.5.") if "," in words else None
    for form in (
        note_taken(text, at),
        plain_command(words, at),
        naming_command(words, context, at),
        timer(words, at),
        reading(words, context, at),
    ):
        if isinstance(form, Hint):
            hint = hint or form
        elif form is not None:
            return form
    return hint


def note_taken(text: str, at: float) -> NoteTaken | Hint | None:
    """The note a text makes, what to say instead where it is empty, or None where it is none."""
    found = _note.fullmatch(text.strip())
    if found is None:
        return None
    note = harmless((found[1] or "").strip(), LONGEST_WORDS)
    return NoteTaken(at=at, text=note) if note else Hint(text='Say the note after "note".')
