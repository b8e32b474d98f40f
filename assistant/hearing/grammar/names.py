"""The names of additions and timers as grammar: in full, or by a word that tells them apart."""

from collections.abc import Iterable

from assistant.hearing.grammar.tree import Node, any_of
from assistant.hearing.names import matching
from assistant.hearing.numbers import spell
from assistant.hearing.spoken import Words, spoken

LONGEST_SPELT = 999


def names_said(names: tuple[str, ...], running: Iterable[str] = ()) -> Node | None:
    """All that can stand for one of the names and for no other; None where there is nothing.

    Of several with a word in common, the one that is ``running`` is meant.
    """
    said: dict[Words, None] = {}
    for name in names:
        full = in_words(spoken(name))
        for size in range(len(full), 0, -1):
            for start in range(len(full) - size + 1):
                part = full[start : start + size]
                if _means_one(part, names, tuple(running)):
                    said.setdefault(part)
    return any_of(said) if said else None


def in_words(words: Words) -> Words:
    """Words with figures spelt out: ``first gold at ten minutes``."""
    spelt: list[str] = []
    for word in words:
        if word.isdecimal() and int(word) <= LONGEST_SPELT:
            spelt += spell(int(word))
        else:
            spelt.append(word)
    return tuple(spelt)


def _means_one(part: Words, names: tuple[str, ...], running: tuple[str, ...]) -> bool:
    meant = matching(part, names)
    if len(meant) > 1:
        meant = tuple(name for name in meant if name in running) or meant
    return len(meant) == 1
