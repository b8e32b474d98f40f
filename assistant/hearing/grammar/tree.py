"""A grammar as a tree of plain data: words, sequences, choices and what can be left out.

Nothing here knows of brewing or of an engine. Weights are relative shares of what is said.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from assistant.hearing.spoken import Words, spoken


@dataclass(frozen=True, slots=True)
class Say:
    """These words, one after another; none at all is allowed."""

    words: Words


@dataclass(frozen=True, slots=True)
class Then:
    """The parts in order."""

    parts: tuple["Node", ...]


@dataclass(frozen=True, slots=True)
class Either:
    """One of the options, each with its weight above nought."""

    options: tuple[tuple[float, "Node"], ...]


@dataclass(frozen=True, slots=True)
class Maybe:
    """The part, or nothing; ``share`` of the times it is said, between 0 and 1."""

    part: "Node"
    share: float = 0.5


Node = Say | Then | Either | Maybe


@dataclass(frozen=True, slots=True)
class Grammar:
    """Everything that can be said at one moment."""

    root: Node

    def accepts(self, words: Words) -> bool:
        """Whether these words can be said."""
        return len(words) in _ends(self.root, words, frozenset({0}))

    def vocabulary(self) -> frozenset[str]:
        """Every word that occurs."""
        return frozenset(_words_of(self.root))


def say(text: str) -> Say:
    """The words of a text."""
    return Say(spoken(text))


def then(*parts: Node) -> Node:
    """The parts in order; one part alone is itself."""
    return parts[0] if len(parts) == 1 else Then(parts)


def either(options: Iterable[Node]) -> Either:
    """One of the options, all alike."""
    return Either(tuple((1.0, option) for option in options))


def any_of(phrases: Iterable[Words]) -> Either:
    """One of the phrases, all alike."""
    return either(Say(phrase) for phrase in phrases)


def _ends(node: Node, words: Words, starts: frozenset[int]) -> frozenset[int]:
    """Where a part that begins at one of ``starts`` can end."""
    match node:
        case Say(words=said):
            size = len(said)
            return frozenset(
                start + size for start in starts if words[start : start + size] == said
            )
        case Then(parts=parts):
            for part in parts:
                if not starts:
                    break
                starts = _ends(part, words, starts)
            return starts
        case Either(options=options):
            return frozenset().union(*(_ends(option, words, starts) for _, option in options))
        case Maybe(part=part):
            return starts | _ends(part, words, starts)


def _words_of(node: Node) -> Iterable[str]:
    match node:
        case Say(words=said):
            yield from said
        case Then(parts=parts):
            for part in parts:
                yield from _words_of(part)
        case Either(options=options):
            for _, option in options:
                yield from _words_of(option)
        case Maybe(part=part):
            yield from _words_of(part)
