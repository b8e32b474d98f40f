"""What came of one thing said, and of many."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from speech.corpus import Kind


@dataclass(frozen=True, kw_only=True)
class Heard:
    """One utterance as it was heard.

    ``outcome`` is right, asked, refused, caught (wrong, but nothing comes of it) or kept (wrong).
    ``offered`` tells whether what was meant was among the choices. ``got`` is what
    was made of it, in words for a list.
    """

    words: str
    kind: Kind
    form: str
    unlikely: bool
    voice: str
    condition: str
    outcome: str
    offered: bool
    got: str
    took_s: float
    sound_s: float

    @property
    def kind_name(self) -> str:
        """The kind as a word."""
        return self.kind.value

    def as_row(self) -> dict[str, object]:
        """For JSON."""
        return {**vars(self), "kind": self.kind.value}


@dataclass(frozen=True, kw_only=True)
class Talk:
    """So many minutes of talk that was not for the program, and what it made of it."""

    minutes: float
    acts: tuple[str, ...]
    asks: int


@dataclass(frozen=True, kw_only=True)
class Score:
    """How often each outcome came."""

    count: int
    outcomes: Counter[str]

    def share(self, outcome: str) -> float:
        """The share of an outcome, 0 to 1; 0 of nothing."""
        return self.outcomes[outcome] / self.count if self.count else 0.0


def scored(heard: Sequence[Heard]) -> Score:
    """The score of many."""
    return Score(count=len(heard), outcomes=Counter(one.outcome for one in heard))
