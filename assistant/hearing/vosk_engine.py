"""Vosk as an engine: one look held to the phrases of the moment, one at any words at all.

Three traits of the library shape this module. A list of phrases is no strict grammar to it: it
makes a model of which word follows which, so the words of several phrases may come back mixed, and
what comes back is to be parsed again. A word that its model lacks is dropped from the list without
an error, so the list holds only phrases whose every word is known. And it ends the process when a
recogniser's phrases are changed while it hears, so each look has a recogniser of its own. (All
three seen with vosk 0.3.45; the first is in its ``language_model.cc``.)
"""

import json
from importlib import import_module
from pathlib import Path
from typing import Any

from assistant.hearing.engine import OPEN, RATE_HZ, EngineFailed, Evidence, Look, Sound
from assistant.hearing.grammar.phrases import phrases
from assistant.hearing.grammar.tree import Grammar
from assistant.hearing.models import is_model
from assistant.hearing.vosk_phrases import DECOYS, PhraseList, phrase_list, plain


class VoskEngine:
    """The model in ``folder``, loaded, which takes seconds.

    ``open_vocabulary`` adds the second look, which costs many times the first. ``decoys`` are
    phrases that draw away what was not meant. Raises :class:`EngineFailed` where the library or
    the model is missing or broken.
    """

    name = "vosk"

    def __init__(
        self,
        folder: Path | str,
        *,
        open_vocabulary: bool = True,
        decoys: tuple[str, ...] = DECOYS,
    ) -> None:
        self._folder = Path(folder)
        self._open_vocabulary = open_vocabulary
        self._decoys = decoys
        self._prepared: tuple[Grammar, PhraseList] | None = None
        self._vosk = _library()
        self._model = _loaded(self._vosk, self._folder)
        self._takes_phrases = not (self._folder / "graph" / "HCLG.fst").exists()
        """A model whose graph is composed in advance hears any words, and those only."""

    def hear(self, sound: Sound, grammar: Grammar) -> Evidence:
        """A look by "grammar" and one by "open"; their score is the mean confidence, 0 to 1.

        Raises :class:`EngineFailed` where the model has not one word of the grammar.
        """
        looks = []
        if self._takes_phrases:
            # Escaped letters would be taken for words of their own.
            listed = json.dumps(self._list(grammar).listed, ensure_ascii=False)
            recogniser = self._vosk.KaldiRecognizer(self._model, RATE_HZ, listed)
            looks.append(_look("grammar", recogniser, sound))
        if self._open_vocabulary or not self._takes_phrases:
            looks.append(_look(OPEN, self._vosk.KaldiRecognizer(self._model, RATE_HZ), sound))
        return Evidence(engine=self.name, seconds=len(sound) / RATE_HZ, looks=tuple(looks))

    def unknown_words(self, grammar: Grammar) -> tuple[str, ...]:
        """The words of the grammar that the model lacks, in order; their phrases go unheard."""
        return self._list(grammar).unknown

    def close(self) -> None:
        """Let go of the model."""
        self._model = None

    def _list(self, grammar: Grammar) -> PhraseList:
        if self._prepared is None or self._prepared[0] != grammar:
            listed = phrase_list(phrases(grammar), self._known, self._decoys)
            if not listed.listed:
                raise EngineFailed(
                    f"The speech model {self._folder.name} has none of the words: "
                    f"is it for English?"
                )
            self._prepared = grammar, listed
        return self._prepared[1]

    def _known(self, word: str) -> bool:
        return int(self._model.vosk_model_find_word(word)) >= 0


def _look(by: str, recogniser: Any, sound: Sound) -> Look:
    """What a new recogniser makes of the whole sound.

    It is given the sound in one piece: it looks for pauses at the end of a piece only, and would
    else give the words before a pause as a result of their own.
    """
    recogniser.SetWords(True)
    recogniser.AcceptWaveform(sound.tobytes())
    result = json.loads(recogniser.FinalResult()).get("result", ())
    words = tuple(plain(found["word"]) for found in result)
    confidence = sum(found["conf"] for found in result) / len(result) if result else 0.0
    return Look(by=by, words=words, score=confidence)


def _library() -> Any:
    try:
        vosk: Any = import_module("vosk")
    except ImportError as error:
        raise EngineFailed(
            f"Vosk is not there ({error}): pip install 'kettleside[vosk]'."
        ) from error
    except OSError as error:
        raise EngineFailed(f"Vosk does not run on this machine: {error}.") from error
    vosk.SetLogLevel(-1)
    return vosk


def _loaded(vosk: Any, folder: Path) -> Any:
    if not is_model(folder):
        raise EngineFailed(
            f"There is no speech model in {folder}: `kettleside model fetch` brings one."
        )
    try:
        return vosk.Model(str(folder))
    except Exception as error:
        raise EngineFailed(
            f"The speech model in {folder} is broken: remove the folder and fetch it again."
        ) from error
