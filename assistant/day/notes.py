"""A note of the brewer's, on a brew day or on a visit to its beer."""

from assistant.day.effects import Why
from assistant.day.events import NoteTaken
from assistant.day.state import Note
from assistant.day.telling import Teller

LONGEST_NOTE = 500


def take_note(turn: Teller, event: NoteTaken) -> None:
    """Keep a note; one that was dictated is read back, for it may be misheard."""
    text = event.text.strip()[:LONGEST_NOTE]
    if not text:
        turn.refuse("The note is empty.")
        return
    turn.change(notes=(*turn.state.notes, Note(at=turn.now_s, text=text)))
    turn.say(f"Noted: {text}." if event.dictated else "Noted.", Why.READBACK)
