"""What a sound could have been, by its phones: the best sentences and how far each is from it."""

from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from assistant.hearing.engine import Sound
from assistant.hearing.front_ends import CLEAN, RAW, SPEECH
from assistant.hearing.grammar.automaton import Automaton
from assistant.hearing.grammar.tree import Grammar
from assistant.hearing.phones.graph import Graph, graph_of
from assistant.hearing.phones.model import Frames, PhoneModel
from assistant.hearing.phones.rivals import Acceptor, rivals
from assistant.hearing.phones.search import best_sentence, likeliest_at_all, scores_at
from assistant.hearing.phones.symbols import Phones
from assistant.hearing.spoken import Words

WEIGHTS: Mapping[str, float] = {RAW: 0.3, CLEAN: 0.3, SPEECH: 0.4}
"""How much each look counts. RNNoise's speech alone is best over a boil and worst beside people who
talk, the sound as it came the other way round; of several mixes, of 80 sentences a cell by the
voices for tuning, this one and its like did well in all."""

GRAMMAR_WEIGHT = 0.7
"""How much the grammar's shares count beside the sound in finding a sentence; with 2.5, a tenth
fewer were found in quiet."""

KEPT_GRAPHS = 4
KEPT_CANDIDATES = 40


@dataclass(frozen=True, kw_only=True)
class Likeness:
    """A sentence that a sound could have been.

    ``strangeness`` is how much less likely it is than the likeliest phones whatever they mean, as a
    logarithm: 0 or more. ``phones`` is how many phones it has, the fewest where there are ways.
    """

    words: Words
    strangeness: float
    phones: int


@dataclass(frozen=True, kw_only=True)
class _Moment:
    graph: Graph
    acceptor: Acceptor


class PhoneHearing:
    """Hears by phones. ``ways`` tells how a word is pronounced, in the symbols of the model."""

    def __init__(self, ways: Callable[[str], Sequence[Phones]]) -> None:
        """Raises :class:`~assistant.hearing.engine.EngineFailed` where there is no model."""
        self._model = PhoneModel()
        self._ways = ways
        self._moments: OrderedDict[Grammar, _Moment] = OrderedDict()
        self._kept: dict[int, tuple[Sound, Frames]] = {}
        # The model leaves Python alone while it counts, so that looks can be taken side by side.
        self._pool = ThreadPoolExecutor(max_workers=len(WEIGHTS))

    def candidates(
        self, sounds: Mapping[str, Sound], grammar: Grammar, automaton: Callable[[], Automaton]
    ) -> tuple[Likeness, ...]:
        """What a sound could have been, the least strange first; at most forty.

        ``sounds`` are the sound through each front end of :data:`WEIGHTS`, or through some;
        ``automaton`` makes that of the grammar where it is not known yet. What the model made of
        the sounds of the call before is kept.
        """
        moment = self._moment(grammar, automaton)
        looks = [name for name in WEIGHTS if name in sounds]
        # Where there is little noise a front end leaves the sound as it is: one look is enough.
        different = {id(sounds[name]): sounds[name] for name in looks}
        self._kept = {
            id(sound): (sound, frames)
            for sound, frames in self._pool.map(self._frames, different.values())
        }
        frames = {key: self._kept[key][1] for key in different}
        found = self._pool.map(lambda one: best_sentence(moment.graph, one), frames.values())
        words = rivals((best for best in found if best), moment.acceptor)
        if not words:
            return ()
        chains, ends = self._chains(words)
        below = {
            key: np.maximum(likeliest_at_all(one) - scores_at(chains, one)[ends], 0.0)
            for key, one in frames.items()
        }
        whole = sum(WEIGHTS[name] for name in looks)
        strangeness = sum(
            (WEIGHTS[name] / whole * below[id(sounds[name])] for name in looks),
            np.zeros(len(words)),
        )
        kept = np.argsort(strangeness, kind="stable")[:KEPT_CANDIDATES]
        return tuple(
            Likeness(
                words=words[place],
                strangeness=float(strangeness[place]),
                phones=sum(min(map(len, self._ways(word))) for word in words[place]),
            )
            for place in kept
        )

    def _frames(self, sound: Sound) -> tuple[Sound, Frames]:
        kept = self._kept.get(id(sound))
        return kept if kept is not None else (sound, self._model.frames(sound))

    def close(self) -> None:
        """End the threads."""
        self._pool.shutdown()

    def _moment(self, grammar: Grammar, automaton: Callable[[], Automaton]) -> _Moment:
        if grammar in self._moments:
            self._moments.move_to_end(grammar)
            return self._moments[grammar]
        built = automaton()
        moment = _Moment(
            graph=graph_of(built, self._ways, self._model.columns, GRAMMAR_WEIGHT),
            acceptor=Acceptor(built),
        )
        self._moments[grammar] = moment
        if len(self._moments) > KEPT_GRAPHS:
            self._moments.popitem(last=False)
        return moment

    def _chains(self, sentences: Sequence[Words]) -> tuple[Graph, list[int]]:
        """A graph with each sentence on its own, and the state each one ends in."""
        chains = chained(sentences)
        return graph_of(chains.automaton, self._ways, self._model.columns, 0.0), list(chains.ends)


@dataclass(frozen=True, kw_only=True)
class Chains:
    """Sentences side by side, each ending in a state of its own."""

    automaton: Automaton
    ends: tuple[int, ...]


def chained(sentences: Sequence[Words]) -> Chains:
    """The automaton of sentences side by side; none is empty."""
    arcs = []
    ends = []
    state = 0
    for sentence in sentences:
        before = 0
        for word in sentence:
            state += 1
            arcs.append((before, state, 1.0, word))
            before = state
        ends.append(before)
    return Chains(automaton=Automaton(arcs=tuple(arcs), final=ends[-1]), ends=tuple(ends))
