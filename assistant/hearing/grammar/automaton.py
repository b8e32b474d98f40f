"""A grammar as a finite automaton of words, the form PocketSphinx searches in.

PocketSphinx reads JSGF too, but it then follows every empty step of every rule, which takes a
second for the grammar of one moment; here the phrases of a choice share their beginnings and hardly
any empty step is left.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from assistant.hearing.grammar.tree import Either, Grammar, Maybe, Node, Say, Then
from assistant.hearing.spoken import Words

Arc = tuple[int, int, float, str | None]
"""From a state to a state, with its probability and its word; no word for an empty step."""


@dataclass(frozen=True, slots=True)
class Automaton:
    """States are numbered from 0, where it starts; it ends in ``final``."""

    arcs: tuple[Arc, ...]
    final: int


def automaton(grammar: Grammar) -> Automaton:
    """The automaton that says just what the grammar says."""
    built = _Building()
    final = built.state()
    built.add(grammar.root, 0, final, 1.0)
    return Automaton(arcs=tuple(built.arcs), final=final)


@dataclass
class _Prefix:
    """Phrases of one choice that begin alike."""

    after: dict[str, "_Prefix"] = field(default_factory=dict)
    ends: float = 0.0
    weight: float = 0.0


@dataclass
class _Building:
    arcs: list[Arc] = field(default_factory=list)
    states: int = 1

    def state(self) -> int:
        self.states += 1
        return self.states - 1

    def add(self, node: Node, start: int, end: int, weight: float) -> None:
        """Say ``node`` between two states; its first steps carry ``weight``."""
        match node:
            case Say(words=words):
                self._phrase(words, start, end, weight)
            case Then(parts=parts):
                for part in parts[:-1]:
                    between = self.state()
                    self.add(part, start, between, weight)
                    start, weight = between, 1.0
                self.add(parts[-1], start, end, weight)
            case Either(options=options):
                self._either(options, start, end, weight)
            case Maybe(part=part, share=share):
                self.add(part, start, end, weight * share)
                self.arcs.append((start, end, weight * (1 - share), None))

    def _phrase(self, words: Words, start: int, end: int, weight: float) -> None:
        if not words:
            self.arcs.append((start, end, weight, None))
            return
        for word in words[:-1]:
            between = self.state()
            self.arcs.append((start, between, weight, word))
            start, weight = between, 1.0
        self.arcs.append((start, end, weight, words[-1]))

    def _either(
        self, options: Iterable[tuple[float, Node]], start: int, end: int, weight: float
    ) -> None:
        said = _Prefix()
        total = sum(share for share, _ in options)
        for share, option in options:
            if isinstance(option, Say) and option.words:
                _grow(said, option.words, share / total)
            else:
                self.add(option, start, end, weight * share / total)
        self._prefixes(said, start, end, weight)

    def _prefixes(self, prefix: _Prefix, start: int, end: int, weight: float) -> None:
        for word, after in prefix.after.items():
            if after.ends:
                self.arcs.append((start, end, weight * after.ends, word))
            if after.after:
                between = self.state()
                going_on = after.weight - after.ends
                self.arcs.append((start, between, weight * going_on, word))
                self._prefixes(after, between, end, 1.0 / going_on)


def _grow(prefix: _Prefix, words: Words, share: float) -> None:
    for word in words:
        prefix = prefix.after.setdefault(word, _Prefix())
        prefix.weight += share
    prefix.ends += share
