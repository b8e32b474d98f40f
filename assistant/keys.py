"""What is typed: bytes from a terminal into keys, and keys into a line of words.

Nothing here touches a terminal, so that every key can be tried without one.
"""

import codecs
from dataclasses import dataclass
from enum import Enum

LONGEST_LINE = 300
REMEMBERED_LINES = 100


class Stroke(Enum):
    """A key that is no character; the value is its name."""

    ENTER = "enter"
    BACKSPACE = "backspace"
    CLEAR = "clear the line"
    UP = "up"
    DOWN = "down"


@dataclass(frozen=True, kw_only=True)
class Typed:
    """One printable character."""

    character: str


@dataclass(frozen=True, kw_only=True)
class Line:
    """A whole line at once, from something that is no keyboard."""

    text: str


Key = Stroke | Typed | Line

STROKES = {
    "\r": Stroke.ENTER,
    "\n": Stroke.ENTER,
    "\x7f": Stroke.BACKSPACE,
    "\x08": Stroke.BACKSPACE,
    "\x15": Stroke.CLEAR,
}

ARROWS = {"A": Stroke.UP, "B": Stroke.DOWN}
"""The last character of what an arrow key sends: ECMA-48 (1991), CUU and CUD."""

STOP = "\x03"
ESCAPE = "\x1b"
INTRODUCERS = "[O"
"""What follows ESC in the sequence of a function key: CSI, or SS3 of a keypad."""


class KeyDecoder:
    """Turns what a terminal sends into keys, in whatever pieces it comes.

    Escape sequences other than up and down are swallowed whole, as are bytes that are not UTF-8.
    Ctrl-C raises KeyboardInterrupt.
    """

    def __init__(self) -> None:
        self._utf8 = codecs.getincrementaldecoder("utf-8")("ignore")
        self._sequence = ""

    def feed(self, data: bytes) -> list[Key]:
        """The keys that are complete with these bytes."""
        return self.feed_text(self._utf8.decode(data))

    def feed_text(self, text: str) -> list[Key]:
        """The keys that are complete with these characters."""
        return [key for character in text if (key := self._key(character)) is not None]

    def pause(self) -> None:
        """Nothing came for a while: an escape begun was the Esc key alone, and is dropped."""
        self._sequence = ""

    def _key(self, character: str) -> Key | None:
        if character == STOP:
            raise KeyboardInterrupt
        if character == ESCAPE:
            self._sequence = ESCAPE
            return None
        if self._sequence:
            return self._in_sequence(character)
        if character in STROKES:
            return STROKES[character]
        return Typed(character=character) if character.isprintable() else None

    def _in_sequence(self, character: str) -> Key | None:
        begun = self._sequence
        if begun == ESCAPE and character in INTRODUCERS:
            self._sequence += character
            return None
        if begun != ESCAPE and " " <= character < "@":
            self._sequence = begun[:2] + "0"
            return None
        self._sequence = ""
        plain = begun[1:] in INTRODUCERS
        return ARROWS.get(character) if begun != ESCAPE and plain else None


class LineEditor:
    """The line being typed, and the lines before it under the up and down arrows."""

    def __init__(self) -> None:
        self.text = ""
        self._lines: list[str] = []
        self._place = 0
        self._draft = ""

    def feed(self, key: Key) -> str | None:
        """Take a key; the line without blanks at its ends once it is complete, if it has words.

        A line is at most 300 characters; what is typed beyond is not taken.
        """
        match key:
            case Typed(character=character):
                self.text = (self.text + character)[:LONGEST_LINE]
            case Stroke.BACKSPACE:
                self.text = self.text[:-1]
            case Stroke.CLEAR:
                self.text = ""
            case Stroke.UP:
                self._go(self._place - 1)
            case Stroke.DOWN:
                self._go(self._place + 1)
            case Stroke.ENTER:
                return self._complete()
            case Line(text=text):
                self.text = text[:LONGEST_LINE]
                return self._complete()
        return None

    def _go(self, place: int) -> None:
        if not 0 <= place <= len(self._lines):
            return
        if self._place == len(self._lines):
            self._draft = self.text
        self._place = place
        self.text = self._draft if place == len(self._lines) else self._lines[place]

    def _complete(self) -> str | None:
        line = self.text.strip()
        if line and self._lines[-1:] != [line]:
            self._lines = [*self._lines, line][-REMEMBERED_LINES:]
        self.text = self._draft = ""
        self._place = len(self._lines)
        return line or None
