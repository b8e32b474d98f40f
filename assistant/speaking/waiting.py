"""What waits to be said, and in which order: pure, without a clock or a thread."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum

from assistant.speaking.chimes import Chime
from assistant.speaking.spoken import Spoken


class Urgency(IntEnum):
    """How much something matters now; the greater comes first."""

    PROMPT = 1
    READBACK = 2
    QUESTION = 3
    WARNING = 4
    ALARM = 5


@dataclass(frozen=True, kw_only=True)
class Manner:
    """How an urgency behaves.

    ``lead`` is the chime before the words; ``cuts_in``: it ends what is less urgent and sounds now;
    ``gap_s``: for so long after it the ear may listen before anything of its urgency or below.
    ``answers``: it follows something the brewer said, and so need not wait for the ear's turn to
    pass. ``survives_hush``: not dropped by a hush before it was heard at all.
    """

    lead: Chime | None
    cuts_in: bool
    gap_s: float
    answers: bool = False
    survives_hush: bool = False


LISTENING_GAP_S = 2.5
"""An ear that is shut for up to a second after a sound still has the 1.5 s of a short answer."""

MANNERS: Mapping[Urgency, Manner] = {
    Urgency.ALARM: Manner(lead=Chime.DUE, cuts_in=True, gap_s=LISTENING_GAP_S, survives_hush=True),
    Urgency.WARNING: Manner(
        lead=Chime.WARNING, cuts_in=True, gap_s=LISTENING_GAP_S, survives_hush=True
    ),
    Urgency.QUESTION: Manner(lead=None, cuts_in=False, gap_s=LISTENING_GAP_S),
    Urgency.READBACK: Manner(lead=None, cuts_in=False, gap_s=0.0, answers=True),
    Urgency.PROMPT: Manner(lead=None, cuts_in=False, gap_s=0.0),
}

CHIME_URGENCY: Mapping[Chime, Urgency] = {
    Chime.HEADS_UP: Urgency.QUESTION,
    Chime.DUE: Urgency.ALARM,
    Chime.WARNING: Urgency.WARNING,
}
"""Chimes that wait their turn; the others answer the brewer and sound at once, over any words."""

MOST_WAITING = 12
"""Of what does not cut in; more are minutes of speech that are about the past by then."""


@dataclass(eq=False, kw_only=True)
class Item:
    """Something to sound: a chime, words, or both; ``spoken`` once the words are rendered."""

    urgency: Urgency
    text: str = ""
    chime: Chime | None = None
    spoken: Spoken | None = None
    rendered: bool = False
    begun: bool = False

    def __post_init__(self) -> None:
        self.rendered = self.rendered or not self.text

    @property
    def is_answer(self) -> bool:
        """Whether it is a chime that answers the brewer: now, or not at all."""
        return not self.text and self.chime not in CHIME_URGENCY

    @property
    def is_silent(self) -> bool:
        """Whether there is nothing to hear, as where the voice failed."""
        unspoken = self.spoken is None or not len(self.spoken.sound)
        return self.chime is None and self.rendered and unspoken

    @property
    def ready(self) -> bool:
        """Whether it can begin: its words may come while its chime sounds."""
        return self.rendered or self.chime is not None

    def outranks(self, sounding: "Item") -> bool:
        """Whether it cuts in on another now."""
        return MANNERS[self.urgency].cuts_in and self.urgency > sounding.urgency and self.ready


class WaitingLine:
    """The items that wait, the most urgent first and of those the oldest."""

    def __init__(self, most: int = MOST_WAITING) -> None:
        self._items: list[Item] = []
        self._most = most

    def __len__(self) -> int:
        return len(self._items)

    def add(self, item: Item) -> None:
        """Let it wait, unless the same waits already, which then keeps the higher urgency."""
        for other in self._items:
            if (other.text, other.chime) == (item.text, item.chime):
                other.urgency = max(other.urgency, item.urgency)
                return
        self._items.append(item)
        self._drop_beyond()

    def again(self, item: Item) -> None:
        """Let what was cut short wait again, before others of its urgency."""
        self._items.insert(0, item)

    @property
    def first(self) -> Item | None:
        """What comes next."""
        return max(self._items, key=lambda item: item.urgency, default=None)

    @property
    def first_to_render(self) -> Item | None:
        """What comes next of those whose words are not ready."""
        waiting = (item for item in self._items if not item.rendered)
        return max(waiting, key=lambda item: item.urgency, default=None)

    def remove(self, item: Item) -> None:
        """It waits no more."""
        self._items.remove(item)

    def render_again(self) -> None:
        """What waits is to be said in another manner."""
        for item in self._items:
            item.rendered = not item.text

    def hush(self) -> None:
        """Drop all but what matters and was not heard at all."""
        self._items = [
            item for item in self._items if MANNERS[item.urgency].survives_hush and not item.begun
        ]

    def _drop_beyond(self) -> None:
        patient = [item for item in self._items if not MANNERS[item.urgency].cuts_in]
        if len(patient) > self._most:
            # ``min`` finds the oldest of the least urgent.
            self._items.remove(min(patient, key=lambda item: item.urgency))
