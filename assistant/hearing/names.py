"""Names of additions and timers as a brewer says them: in full, or by some of their words."""

from collections.abc import Sequence

from assistant.hearing.numbers import spell
from assistant.hearing.spoken import Words, spoken, without_lead
from assistant.hearing.vocabulary import ARTICLES

NO_NAME_ALONE = frozenset({"at", "of", "and", "the", "minutes", "day", "again"})
"""Words that tell no addition from another unless a word of its name comes with them."""

_number_words = frozenset(word for number in range(101) for word in spell(number))


def matching(said: Words, names: Sequence[str]) -> tuple[str, ...]:
    """The names meant: the one said in full, else all that hold the words said, side by side.

    Words are whole words; numbers count the same in figures and in words.
    """
    wanted = _key(without_lead(said, ARTICLES)) or _key(said)
    keys = {name: _key(spoken(name)) for name in names}
    full = tuple(name for name, key in keys.items() if key == wanted)
    if full or not _can_stand_alone(wanted):
        return full[:1]
    return tuple(name for name, key in keys.items() if _holds(key, wanted))


def _key(words: Words) -> Words:
    key: list[str] = []
    for word in words:
        if word.isdecimal() and int(word) <= 999:
            key += spell(int(word))
        elif any(letter.isalnum() for letter in word):
            key.append(word)
    return tuple(key)


def _can_stand_alone(words: Words) -> bool:
    return any(word not in NO_NAME_ALONE and word not in _number_words for word in words)


def _holds(key: Words, run: Words) -> bool:
    return any(key[start : start + len(run)] == run for start in range(len(key)))
