"""How unlikely it is that a sound would be written down as each of some sentences."""

from collections.abc import Sequence

import numpy as np

from assistant.hearing.engine import Sound
from assistant.hearing.spoken import Words
from assistant.hearing.writing.forms import written_forms
from assistant.hearing.writing.model import WritingModel

MOST_TEXTS = 24
"""The most texts that are weighed for one sound; each costs some 4 ms. With twice as many, of 1,100
sentences by the voices for tuning, no more were right."""

END = "."
"""How each text ends."""

WORD_WORTH = 0.7
"""What each word of a sentence makes up for. The model's likelihoods do not count that a text ends,
so that the beginning of what was said would be likelier than the whole; with this, of 80 sentences
a noise by the voices for tuning, the model alone found one to five in a hundred more."""


class Writing:
    """Weighs sentences by what the model that writes would put down."""

    def __init__(self) -> None:
        """Raises :class:`~assistant.hearing.engine.EngineFailed` where there is no such model."""
        self._model = WritingModel()

    def unwritten(self, sound: Sound, sentences: Sequence[Words]) -> list[float | None]:
        """How much less likely each sentence is than what the model writes of itself.

        Natural logarithms, below 0 for a sentence that is likelier than the model found by itself;
        None for those after the most that are weighed.
        """
        encoded = self._model.encode(sound)
        freely = self._model.written(encoded).rstrip(".!?, ")
        forms: list[tuple[str, ...]] = []
        for sentence in sentences:
            found = written_forms(sentence)
            if sum(map(len, forms)) + len(found) > MOST_TEXTS:
                break
            forms.append(found)
        texts = [freely, *(form for ways in forms for form in ways)]
        itself, *each = self._model.likelihoods(encoded, [text + END for text in texts])
        likely = iter(each)
        # However it is written, it is the same sentence: the likelihoods of its forms add up.
        known = [
            itself
            - float(np.logaddexp.reduce([next(likely) for _ in ways]))
            - WORD_WORTH * len(sentence)
            for sentence, ways in zip(sentences, forms, strict=False)
        ]
        return [*known, *[None] * (len(sentences) - len(known))]
