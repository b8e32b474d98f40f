"""How unlikely it is that a sound would be written down as each of some sentences."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from assistant.hearing.engine import Sound
from assistant.hearing.spoken import Words
from assistant.hearing.writing.forms import written_forms
from assistant.hearing.writing.model import WritingModel

MOST_TEXTS, GLANCED_TEXTS = 24, 12
"""The most texts that are weighed for one sound, and at a first look; each costs some 4 ms. With
twice the first, of 1,100 sentences by the voices for tuning, at most one in a hundred
more was right in any noise."""

END = "."
"""How each text ends."""

WORD_WORTH = 0.7
"""What each word of a sentence makes up for. The model's likelihoods do not count that a text ends,
so that the beginning of what was said would be likelier than the whole; with this, of 80 sentences
a noise by the voices for tuning, the model alone found none to six in a hundred more."""


@dataclass(kw_only=True)
class _Heard:
    """A sound, as the model remembers it, what it writes, and the texts weighed so far."""

    sound: Sound
    encoded: Any
    freely: str
    likely: dict[str, float]


class Writing:
    """Weighs sentences by what the model that writes would put down."""

    def __init__(self) -> None:
        """Raises :class:`~assistant.hearing.engine.EngineFailed` where there is no such model."""
        self._model = WritingModel()
        self._heard: _Heard | None = None

    def written(self, sound: Sound) -> str:
        """What the model writes of itself; what it finds in a sound is kept until another."""
        return self._hear(sound).freely

    def unwritten(
        self, sound: Sound, sentences: Sequence[Words], most_texts: int = MOST_TEXTS
    ) -> list[float | None]:
        """How much less likely each sentence is than the likeliest text.

        Natural logarithms, 0 or more; the likeliest text is one of theirs or what the model writes
        of itself. None for the sentences after the most that are weighed.
        """
        heard = self._hear(sound)
        forms: list[tuple[str, ...]] = []
        for sentence in sentences:
            found = written_forms(sentence)
            if sum(map(len, forms)) + len(found) > most_texts:
                break
            forms.append(found)
        self._weigh(heard, [heard.freely, *(form for ways in forms for form in ways)])
        likely = heard.likely
        # However it is written, it is the same sentence: the likelihoods of its forms add up.
        known = [
            float(np.logaddexp.reduce([likely[form] for form in ways])) + WORD_WORTH * len(sentence)
            for sentence, ways in zip(sentences, forms, strict=False)
        ]
        likeliest = max([likely[heard.freely], *known])
        return [*(likeliest - one for one in known), *[None] * (len(sentences) - len(known))]

    def _hear(self, sound: Sound) -> _Heard:
        if self._heard is None or self._heard.sound is not sound:
            encoded = self._model.encode(sound)
            freely = self._model.written(encoded).rstrip(".!?, ")
            self._heard = _Heard(sound=sound, encoded=encoded, freely=freely, likely={})
        return self._heard

    def _weigh(self, heard: _Heard, texts: Sequence[str]) -> None:
        new = [text for text in dict.fromkeys(texts) if text not in heard.likely]
        found = self._model.likelihoods(heard.encoded, [text + END for text in new])
        heard.likely.update(zip(new, found, strict=True))
