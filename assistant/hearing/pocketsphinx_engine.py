"""PocketSphinx: three looks at each sound, each with a front end of its own.

What it takes for words is wrong silently, and its own confidence is worth nothing, so the same
sound is looked at with much of its noise taken out, with some, and as it came. The looks fail in
different ways; where they agree they are mostly right.
"""

import tempfile
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from assistant.hearing.engine import RATE_HZ, EngineFailed, Evidence, Look, Sound
from assistant.hearing.grammar.automaton import automaton
from assistant.hearing.grammar.lexicon import SPELLINGS, pronunciations
from assistant.hearing.grammar.tree import Grammar
from assistant.hearing.letter_sounds import sounded
from assistant.hearing.suppression import suppressed

if TYPE_CHECKING:
    from pocketsphinx import Decoder

KEPT_GRAMMARS = 8

FIRST_OF_OURS = 21
"""Further pronunciations are numbered from here, clear of the dictionary's own."""


@dataclass(frozen=True, kw_only=True)
class FrontEnd:
    """What is done to a sound before it is looked at.

    ``left_db`` is that of the suppression (None: none), ``remove_noise`` the decoder's own.
    """

    name: str
    left_db: float | None
    remove_noise: bool


GRAMMAR_WEIGHT = 3.0
"""How much the grammar's shares count beside the sound. Of 48 sentences a cell by synthetic voices
the decoder's default of 6.5 heard fewer right in boil noise, and no more in quiet."""

BEAM, WORD_BEAM = 1e-64, 1e-48
"""How unlikely a path may be and still be followed: wider than by default, against the boil."""

FRONT_ENDS = (
    FrontEnd(name="clean", left_db=23.0, remove_noise=False),
    FrontEnd(name="mild", left_db=20.0, remove_noise=True),
    FrontEnd(name="raw", left_db=None, remove_noise=True),
)


class PocketSphinxEngine:
    """The engine that needs nothing fetched: its English model comes with its package."""

    name = "pocketsphinx"

    def __init__(self) -> None:
        """Raises :class:`EngineFailed` where the package is missing."""
        try:
            import pocketsphinx
        except ImportError as error:
            raise EngineFailed(
                f"PocketSphinx can't be used ({error}): pip install pocketsphinx"
            ) from error
        self._decoders = {
            remove_noise: _decoder(pocketsphinx, remove_noise=remove_noise)
            for remove_noise in (False, True)
        }
        self._grammars: OrderedDict[Grammar, str] = OrderedDict()
        self._made = 0

    def hear(self, sound: Sound, grammar: Grammar) -> Evidence:
        """One look by each of :data:`FRONT_ENDS`."""
        search = self._search_for(grammar)
        looks = []
        for end in FRONT_ENDS:
            heard = sound if end.left_db is None else suppressed(sound, end.left_db)
            looks.append(_look(self._decoders[end.remove_noise], search, heard, end.name))
        return Evidence(engine=self.name, seconds=len(sound) / RATE_HZ, looks=tuple(looks))

    def close(self) -> None:
        """Let go of the decoders."""
        self._decoders.clear()
        self._grammars.clear()

    def _search_for(self, grammar: Grammar) -> str:
        if grammar in self._grammars:
            self._grammars.move_to_end(grammar)
            return self._grammars[grammar]
        self._made += 1
        search = f"moment{self._made}"
        built = automaton(grammar)
        for decoder in self._decoders.values():
            _learn(decoder, grammar.vocabulary())
            arcs = [
                (start, end, weight, _dictionary_word(word)) if word else (start, end, weight)
                for start, end, weight, word in built.arcs
            ]
            decoder.add_fsg(search, decoder.create_fsg(search, 0, built.final, arcs))
        self._grammars[grammar] = search
        if len(self._grammars) > KEPT_GRAMMARS:
            _, oldest = self._grammars.popitem(last=False)
            for decoder in self._decoders.values():
                decoder.activate_search(search)
                decoder.remove_search(oldest)
        return search


def _decoder(pocketsphinx: Any, *, remove_noise: bool) -> "Decoder":
    model = Path(pocketsphinx.get_model_path()) / "en-us"
    # The model's own feat.params override the configuration, so it gets an edited copy.
    params = (model / "en-us" / "feat.params").read_text()
    switched = params.replace(
        "-remove_noise yes", f"-remove_noise {'yes' if remove_noise else 'no'}"
    )
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


def _dictionary_word(word: str) -> str:
    return SPELLINGS.get(word, word)


def _learn(decoder: "Decoder", vocabulary: frozenset[str]) -> None:
    """Add the pronunciations that the dictionary lacks; one read of all of them at the end."""
    missing: list[tuple[str, str]] = []
    for ours in sorted(vocabulary):
        word = _dictionary_word(ours)
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


def _look(decoder: "Decoder", search: str, sound: Sound, by: str) -> Look:
    decoder.activate_search(search)
    decoder.start_utt()
    decoder.process_raw(sound.tobytes(), full_utt=True)
    decoder.end_utt()
    found = decoder.hyp()
    if found is None:
        return Look(by=by, words=())
    words = tuple(found.hypstr.split())
    ours = {theirs: mine for mine, theirs in SPELLINGS.items()}
    return Look(by=by, words=tuple(ours.get(word, word) for word in words), score=found.score)
