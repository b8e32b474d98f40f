"""The default engine: phones first, then two other models among what they leave.

PocketSphinx has no confidence worth the name and is wrong silently, the more the more can be said.
So a phone model finds what the sound could have been and how far it is from each. PocketSphinx then
only votes among those, and a model that writes down talk of all kinds tells how unlikely it would
put each of them down. Where the phone model is missing, PocketSphinx searches the whole grammar,
and its looks have to agree.
"""

from collections import OrderedDict
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from functools import cache

import numpy as np

from assistant.hearing.engine import RATE_HZ, Candidate, EngineFailed, Evidence, Look, Sound
from assistant.hearing.front_ends import CLEAN, MOSTLY, RAW, SPEECH, FrontEnds
from assistant.hearing.grammar.automaton import Automaton, automaton
from assistant.hearing.grammar.tree import Grammar
from assistant.hearing.phones.candidates import WEIGHTS, Likeness, PhoneHearing, chained
from assistant.hearing.phones.symbols import WRITTEN, Phones, phones_of
from assistant.hearing.pocketsphinx_decoder import WordDecoder
from assistant.hearing.spoken import Words
from assistant.hearing.writing.likelihood import GLANCED_TEXTS, MOST_TEXTS, Writing

KEPT_GRAMMARS = 8
VOTE = "vote"
"""The search among the candidates."""


BALLOTS = (MOSTLY, SPEECH)
"""The front ends of the looks that vote. With a third, of the sound as it came, no more was right
of 80 sentences a cell by the voices for tuning."""

ALONE = (CLEAN, MOSTLY, RAW)
"""The front ends of PocketSphinx's looks where there is no phone model."""


class PocketSphinxEngine:
    """Hears with what its packages bring."""

    name = "pocketsphinx"

    def __init__(self, phones: bool = True, writing: bool = True) -> None:
        """Raises :class:`EngineFailed` where PocketSphinx is missing; without ``phones`` it votes
        on nothing and looks alone, without ``writing`` there are only the votes."""
        self._decoder = WordDecoder()
        self._front_ends = FrontEnds()
        self._grammars: OrderedDict[Grammar, str] = OrderedDict()
        self._made = 0
        self._before: Sound = np.zeros(0, np.int16)
        self._lacking = [self._front_ends.lacking] if self._front_ends.lacking else []
        self._phones: PhoneHearing | None = None
        self._writing: Writing | None = None
        try:
            if phones:
                self._phones = PhoneHearing(self._ways())
            if writing and self._phones is not None:
                self._writing = Writing()
        except EngineFailed as error:
            self._lacking.append(str(error))
        # Of these one hears for the model that writes, one cleans; neither does two at once.
        self._pool = ThreadPoolExecutor(max_workers=2)
        self._cleaning: Future[dict[str, Sound]] | None = None

    def hear(self, sound: Sound, grammar: Grammar) -> Evidence:
        """What the sound could have been, with the votes for each, or the looks of PocketSphinx."""
        if self._phones is None:
            return self._alone(sound, grammar)
        sound = self._as_before(sound)
        sounds = self._cleaned(sound).result()
        likenesses = self._phones.candidates(sounds, grammar, lambda: self._learned(grammar))
        sentences = [one.words for one in likenesses]
        writing = self._pool.submit(self._unwritten, sound, sentences)
        votes = self._votes(sounds, sentences)
        return Evidence(
            engine=self.name,
            seconds=len(sound) / RATE_HZ,
            looks=votes,
            candidates=_candidates(likenesses, votes, writing.result()),
            written=self._written(sound),
        )

    def glance(self, sound: Sound, grammar: Grammar) -> Evidence | None:
        """What the sound as it came could have been, by its phones and the model that writes."""
        if self._phones is None or self._writing is None:
            return None
        sound = self._as_before(sound)
        hearing = self._pool.submit(self._written, sound)
        # Where the glance is not enough, the other looks need not wait for theirs.
        self._cleaned(sound)
        likenesses = self._phones.candidates({RAW: sound}, grammar, lambda: self._learned(grammar))
        written = hearing.result()
        sentences = [one.words for one in likenesses]
        unwritten = self._unwritten(sound, sentences, GLANCED_TEXTS)
        if self._writing is None:
            return None
        return Evidence(
            engine=self.name,
            seconds=len(sound) / RATE_HZ,
            candidates=_candidates(likenesses, (), unwritten),
            at_a_glance=True,
            written=written,
        )

    def lacking(self) -> tuple[str, ...]:
        """What would make hearing surer and is not there, each with the reason."""
        return tuple(self._lacking)

    def close(self) -> None:
        """End the threads; the models go with the process."""
        if self._phones is not None:
            self._phones.close()
        self._pool.shutdown()
        self._grammars.clear()

    def _as_before(self, sound: Sound) -> Sound:
        """The very sound of the call before where it is the same: what was found is kept by it."""
        if not np.array_equal(sound, self._before):
            self._before = sound.copy()
            self._cleaning = None
        return self._before

    def _cleaned(self, sound: Sound) -> Future[dict[str, Sound]]:
        """The sound through all the front ends, being made or made."""
        if self._cleaning is None:
            names = dict.fromkeys((*WEIGHTS, *BALLOTS))
            self._cleaning = self._pool.submit(self._front_ends.of, sound, names)
        return self._cleaning

    def _learned(self, grammar: Grammar) -> Automaton:
        self._decoder.learn(grammar.vocabulary())
        return automaton(grammar)

    def _unwritten(
        self, sound: Sound, sentences: Sequence[Words], most_texts: int = MOST_TEXTS
    ) -> Sequence[float | None]:
        if self._writing is not None and sentences:
            try:
                return self._writing.unwritten(sound, sentences, most_texts)
            except Exception as error:
                self._give_up_writing(error)
        return [None] * len(sentences)

    def _written(self, sound: Sound) -> str:
        if self._writing is not None:
            try:
                return self._writing.written(sound)
            except Exception as error:
                self._give_up_writing(error)
        return ""

    def _give_up_writing(self, error: Exception) -> None:
        """Go on without: the phones and the votes still hear."""
        self._writing = None
        self._lacking.append(f"the model that writes has failed ({error})")

    def _votes(self, sounds: dict[str, Sound], sentences: Sequence[Words]) -> tuple[Look, ...]:
        if not sentences:
            return ()
        chains = chained(sentences)
        # One state more, in which all the sentences end.
        final = len(chains.automaton.arcs) + 1
        joined = [(end, final, 1.0, None) for end in chains.ends]
        self._decoder.set_search(VOTE, [*chains.automaton.arcs, *joined], final)
        return tuple(self._decoder.look(VOTE, sounds[name], name) for name in BALLOTS)

    def _alone(self, sound: Sound, grammar: Grammar) -> Evidence:
        search = self._search_for(grammar)
        sounds = self._front_ends.of(sound, ALONE)
        looks = tuple(self._decoder.look(search, sounds[name], name) for name in ALONE)
        return Evidence(engine=self.name, seconds=len(sound) / RATE_HZ, looks=looks)

    def _search_for(self, grammar: Grammar) -> str:
        if grammar in self._grammars:
            self._grammars.move_to_end(grammar)
            return self._grammars[grammar]
        self._made += 1
        search = f"moment{self._made}"
        built = self._learned(grammar)
        self._decoder.set_search(search, built.arcs, built.final)
        self._grammars[grammar] = search
        if len(self._grammars) > KEPT_GRAMMARS:
            _, oldest = self._grammars.popitem(last=False)
            self._decoder.drop_search(oldest, search)
        return search

    def _ways(self) -> Callable[[str], tuple[Phones, ...]]:
        @cache
        def ways(word: str) -> tuple[Phones, ...]:
            heard = (phones_of(way.split()) for way in self._decoder.ways(word))
            return tuple(dict.fromkeys((*heard, *WRITTEN.get(word, ()))))

        return ways


def _candidates(
    likenesses: Sequence[Likeness], votes: Sequence[Look], unwritten: Sequence[float | None]
) -> tuple[Candidate, ...]:
    return tuple(
        Candidate(
            words=one.words,
            strangeness=one.strangeness,
            phones=one.phones,
            votes=sum(vote.words == one.words for vote in votes),
            unwritten=itself,
        )
        for one, itself in zip(likenesses, unwritten, strict=True)
    )
