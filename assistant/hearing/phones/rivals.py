"""Sentences that a sound could be taken for beside the one that was found.

Those are the sentences of the grammar with one word other, one more or one less: another figure,
another command, another unit.
"""

from collections.abc import Iterable, Iterator

from assistant.hearing.grammar.automaton import Automaton
from assistant.hearing.spoken import Words

States = frozenset[int]


class Acceptor:
    """Follows the sentences of an automaton word by word."""

    def __init__(self, automaton: Automaton) -> None:
        self._final = automaton.final
        self._steps: dict[int, dict[str, set[int]]] = {}
        self._skips: dict[int, list[int]] = {}
        for start, end, _, word in automaton.arcs:
            if word is None:
                self._skips.setdefault(start, []).append(end)
            else:
                self._steps.setdefault(start, {}).setdefault(word, set()).add(end)
        self.start = self._with_skips({0})

    def after(self, states: States, word: str) -> States:
        """Where a word leads."""
        return self._with_skips(
            {end for state in states for end in self._steps.get(state, {}).get(word, ())}
        )

    def ends(self, states: States, words: Words) -> bool:
        """Whether these words lead to the end of a sentence."""
        for word in words:
            if not states:
                return False
            states = self.after(states, word)
        return self._final in states

    def next_words(self, states: States) -> Iterator[str]:
        """Every word that can follow, in the same order every time."""
        yield from dict.fromkeys(word for state in sorted(states) for word in self._from(state))

    def _from(self, state: int) -> Iterable[str]:
        return self._steps.get(state, {})

    def _with_skips(self, states: set[int]) -> States:
        found, left = set(states), list(states)
        while left:
            for end in self._skips.get(left.pop(), ()):
                if end not in found:
                    found.add(end)
                    left.append(end)
        return frozenset(found)


def rivals(sentences: Iterable[Words], acceptor: Acceptor) -> tuple[Words, ...]:
    """The sentences themselves, then their rivals; each once."""
    said = dict.fromkeys(sentences)
    for sentence in tuple(said):
        for rival in _near(sentence, acceptor):
            said.setdefault(rival)
    return tuple(said)


def _near(words: Words, acceptor: Acceptor) -> Iterator[Words]:
    states = acceptor.start
    for place in range(len(words) + 1):
        before, after = words[:place], words[place:]
        if len(words) > 1 and after and acceptor.ends(states, after[1:]):
            yield (*before, *after[1:])
        for word in acceptor.next_words(states):
            followed = acceptor.after(states, word)
            if acceptor.ends(followed, after):
                yield (*before, word, *after)
            if after and acceptor.ends(followed, after[1:]):
                yield (*before, word, *after[1:])
        if after:
            states = acceptor.after(states, after[0])
