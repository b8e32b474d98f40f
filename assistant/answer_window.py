"""When words need the wake word and when not, and what becomes of what was heard.

Near a kettle people talk. So the program listens to what begins with its name, and without it only
for some seconds after it asked something.
"""

from enum import Enum, auto

from assistant.hearing.recogniser import Heard, Verdict
from assistant.hearing.vocabulary import WAKE_WORD

ANSWER_S = 12.0
"""So long after a question an answer needs no wake word."""


class Outcome(Enum):
    """What to do about words that were heard."""

    HAND_ON = auto()
    LISTEN = auto()
    NOT_CAUGHT = auto()
    NOTHING = auto()


class AnswerWindow:
    """Open for :data:`ANSWER_S` seconds after a question was spoken, or the wake word alone.

    Every moment is in seconds of one clock that never goes back. The end of a question's words is
    not told but seen: the voice ``busy`` no more, or the ear opened in between.
    """

    def __init__(self) -> None:
        self._asking = False
        self._open_until_s = float("-inf")
        self._called_until_s = float("-inf")
        self._owes_a_word = False

    def asked(self, *, again: bool = False) -> None:
        """A question was handed to the voice; ``again``: only that it be said once more."""
        self._asking = True
        self._owes_a_word = self._owes_a_word or not again

    def opened(self, at_s: float) -> None:
        """The ear was opened, so that what was being said is over, or makes a pause for it."""
        if self._asking:
            self._open_until_s = at_s + ANSWER_S

    def look(self, at_s: float, *, busy: bool) -> None:
        """To be called now and then: the question is over once the voice is ``busy`` no more."""
        if self._asking and not busy:
            self._asking = False
            self._open_until_s = at_s + ANSWER_S

    def is_open(self, at_s: float) -> bool:
        """Whether words that began at ``at_s`` need no wake word."""
        return at_s <= self._open_until_s

    def outcome(
        self, heard: Heard, at_s: float, *, was_open: bool, answers: bool = True
    ) -> Outcome:
        """What to do about words; ``was_open`` tells whether it was open as they were spoken.

        ``answers`` tells whether they can be the answer to what was asked: after a question that is
        all that is believed, after the wake word alone anything.
        """
        if not heard.woken and not was_open:
            return Outcome.NOTHING
        if heard.event is not None and heard.verdict is not Verdict.IGNORE:
            called = heard.woken or at_s <= self._called_until_s
            return Outcome.HAND_ON if answers or called else Outcome.NOTHING
        if heard.woken and heard.words == (WAKE_WORD,):
            self._open_until_s = self._called_until_s = at_s + ANSWER_S
            self._owes_a_word = True
            return Outcome.LISTEN
        if heard.woken:
            return Outcome.NOT_CAUGHT
        # A radio would be told over and over that it was not understood.
        owed, self._owes_a_word = self._owes_a_word, False
        return Outcome.NOT_CAUGHT if owed else Outcome.NOTHING
