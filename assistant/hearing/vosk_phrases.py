"""The phrases that Vosk is given: those its model has words for, and some to draw away the rest.

Vosk drops a word that its model lacks and hears the remains of its phrase, which then mean nothing
or something else. So here the whole phrase goes, and the word is told.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

UNKNOWN = "[unk]"
"""The word for speech that is none of the phrases, in models that have it; never understood."""

DECOYS = (
    "yeah",
    "you know",
    "i think",
    "i mean",
    "and then",
    "because",
    "there was",
    "they were",
    "about it",
    "look at that",
    "come on",
    "did you see",
    "would you like",
    "the other day",
    "on the table",
    "on television",
    "cattle",
    "metal",
    "settle",
    "petal",
    "cuddle",
    "kennel",
)
"""What people say near a kettle that is not for it, and words that sound like its name."""

_ENDINGS = ("s", "t", "m", "d", "ll", "re", "ve")

Known = Callable[[str], bool]


@dataclass(frozen=True, kw_only=True)
class PhraseList:
    """What Vosk is to listen for, as its model writes it, and our words that the model lacks."""

    listed: tuple[str, ...]
    unknown: tuple[str, ...]


def phrase_list(phrases: Iterable[str], known: Known, decoys: Iterable[str] = ()) -> PhraseList:
    """The phrases whose every word is ``known`` to the model, and the decoys that fit with them.

    A decoy with a word of ours is left out: it would make a model of what follows that word. With
    no phrase left the list is empty, decoys or not.
    """
    ours: list[str] = []
    unknown: set[str] = set()
    spelt: dict[str, str | None] = {}
    for phrase in phrases:
        written = []
        for word in phrase.split():
            if word not in spelt:
                spelt[word] = next(filter(known, spellings(word)), None)
            as_known = spelt[word]
            if as_known is None:
                unknown.add(word)
            else:
                written.append(as_known)
        if written and len(written) == len(phrase.split()):
            ours.append(" ".join(written))
    extra = [*_fitting(decoys, ours, known), *filter(known, (UNKNOWN,))] if ours else []
    return PhraseList(listed=(*ours, *extra), unknown=tuple(sorted(unknown)))


def spellings(word: str) -> Iterator[str]:
    """A word as it is, then with the apostrophe that it may have lost: ``its``, ``it's``."""
    yield word
    for ending in _ENDINGS:
        if word.endswith(ending) and word != ending:
            yield f"{word.removesuffix(ending)}'{ending}"


def plain(word: str) -> str:
    """A word of the model as our words are written: lower case, no apostrophe."""
    return word.casefold().replace("'", "")


def _fitting(decoys: Iterable[str], ours: Iterable[str], known: Known) -> Iterator[str]:
    taken = {word for phrase in ours for word in phrase.split()}
    for decoy in decoys:
        words = decoy.split()
        if taken.isdisjoint(words) and all(map(known, words)):
            yield decoy
