"""The decoder of PocketSphinx, what it knows of words, and one look at a sound with it."""

import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from assistant.hearing.engine import EngineFailed, Look, Sound
from assistant.hearing.grammar.automaton import Arc
from assistant.hearing.grammar.lexicon import SPELLINGS, pronunciations
from assistant.hearing.letter_sounds import sounded

if TYPE_CHECKING:
    from pocketsphinx import Decoder

FIRST_OF_OURS = 21
"""Further pronunciations are numbered from here, clear of the dictionary's own."""

GRAMMAR_WEIGHT = 3.0
"""How much the grammar's shares count beside the sound. Of 48 sentences a cell by synthetic voices
the decoder's default of 6.5 heard fewer right in boil noise, and no more in quiet."""

BEAM, WORD_BEAM = 1e-64, 1e-48
"""How unlikely a path may be and still be followed: wider than by default, against the boil."""


class WordDecoder:
    """A decoder with its vocabulary and its searches. It takes out no noise itself: the front ends
    do that better."""

    def __init__(self) -> None:
        """Raises :class:`EngineFailed` where the package is missing."""
        try:
            import pocketsphinx
        except ImportError as error:
            raise EngineFailed(
                f"PocketSphinx can't be used ({error}): pip install pocketsphinx"
            ) from error
        self._decoder = _decoder(pocketsphinx)
        self._spelt_ours = {theirs: ours for ours, theirs in SPELLINGS.items()}

    def learn(self, vocabulary: Iterable[str]) -> None:
        """Add the pronunciations that the dictionary lacks.

        Raises :class:`EngineFailed` where none is known of a word.
        """
        _learn(self._decoder, vocabulary)

    def ways(self, word: str) -> tuple[str, ...]:
        """Every pronunciation of a word that was learned or is in the dictionary, in ARPAbet."""
        spelt = SPELLINGS.get(word, word)
        numbered = (f"{spelt}({place})" for place in range(2, FIRST_OF_OURS + 9))
        found = (self._decoder.lookup_word(name) for name in (spelt, *numbered))
        return tuple(dict.fromkeys(way for way in found if way))

    def set_search(self, name: str, arcs: Sequence[Arc], final: int) -> None:
        """Have a search of this name find the sentences of an automaton, from state 0."""
        spelt = [
            (start, end, weight, SPELLINGS.get(word, word)) if word else (start, end, weight)
            for start, end, weight, word in arcs
        ]
        self._decoder.add_fsg(name, self._decoder.create_fsg(name, 0, final, spelt))

    def drop_search(self, name: str, instead: str) -> None:
        """Forget a search; ``instead`` is one that stays."""
        self._decoder.activate_search(instead)
        self._decoder.remove_search(name)

    def look(self, search: str, sound: Sound, by: str) -> Look:
        """What a search finds in a sound; no words where it finds nothing."""
        decoder = self._decoder
        decoder.activate_search(search)
        decoder.start_utt()
        decoder.process_raw(sound.tobytes(), full_utt=True)
        decoder.end_utt()
        found = decoder.hyp()
        if found is None:
            return Look(by=by, words=())
        words = tuple(self._spelt_ours.get(word, word) for word in found.hypstr.split())
        return Look(by=by, words=words, score=found.score)


def _decoder(pocketsphinx: Any) -> "Decoder":
    model = Path(pocketsphinx.get_model_path()) / "en-us"
    # The model's own feat.params override the configuration, so it gets an edited copy.
    params = (model / "en-us" / "feat.params").read_text()
    switched = params.replace("-remove_noise yes", "-remove_noise no")
    with tempfile.TemporaryDirectory(prefix="kettleside-") as folder:
        path = Path(folder) / "feat.params"
        path.write_text(switched)
        return pocketsphinx.Decoder(
            pocketsphinx.Config(
                hmm=str(model / "en-us"),
                dict=str(model / "cmudict-en-us.dict"),
                featparams=str(path),
                lm=None,
                bestpath=False,
                lw=GRAMMAR_WEIGHT,
                beam=BEAM,
                pbeam=BEAM,
                wbeam=WORD_BEAM,
                loglevel="FATAL",
            )
        )


def _learn(decoder: "Decoder", vocabulary: Iterable[str]) -> None:
    """One read of all the new words at the end: each read takes the dictionary anew."""
    missing: list[tuple[str, str]] = []
    for ours in sorted(vocabulary):
        word = SPELLINGS.get(ours, ours)
        ways = pronunciations(word)
        if decoder.lookup_word(word) is None:
            ways = ways or sounded(word)
            if not ways:
                raise EngineFailed(f'no pronunciation is known for "{word}"')
            missing += [(word if not i else f"{word}({i + 1})", way) for i, way in enumerate(ways)]
        elif ways and decoder.lookup_word(f"{word}({FIRST_OF_OURS})") is None:
            missing += [(f"{word}({FIRST_OF_OURS + i})", way) for i, way in enumerate(ways)]
    for place, (word, way) in enumerate(missing):
        decoder.add_word(word, way, place == len(missing) - 1)
