"""The ways in which a sentence may be written down, by whoever takes dictation.

A model that has learned from what people wrote gives "one oh four eight" as ``1048``, ``1.048`` or
in words, and "p h" as ``pH``. Which of them it takes says nothing about what was said, so all of
them stand for the sentence.
"""

from collections.abc import Iterator, Mapping
from itertools import islice, product

from assistant.hearing.numbers import FRACTIONS, in_figures
from assistant.hearing.spoken import Words

OTHERWISE: Mapping[Words, tuple[str, ...]] = {
    ("p", "h"): ("pH", "PH"),
    ("ph",): ("pH", "PH"),
    ("s", "g"): ("SG",),
    ("sg",): ("SG",),
    ("o", "g"): ("OG",),
    ("og",): ("OG",),
    ("degrees", "c"): ("degrees C",),
    ("degrees", "f"): ("degrees F",),
    ("celsius",): ("Celsius",),
    ("fahrenheit",): ("Fahrenheit",),
    ("brix",): ("Brix", "bricks"),
    ("plato",): ("Plato",),
    ("litre",): ("liter", "litre"),
    ("litres",): ("liters", "litres"),
    ("thats",): ("that's",),
    ("theyre",): ("they're",),
    ("its",): ("it's",),
    ("whats",): ("what's",),
    ("bags",): ("bag's",),
    ("lids",): ("lid's",),
    ("waters",): ("water's",),
    ("i",): ("I",),
    ("first", "one"): ("first one",),
    ("second", "one"): ("second one",),
    ("third", "one"): ("third one",),
}
"""Words that are written in other ways than ours."""

LONGEST_NUMBER = 8
"""The most words a number can have: "one hundred and fifty two point two five"."""

MOST = 6


def written_forms(words: Words) -> tuple[str, ...]:
    """How a sentence may be written, without a full stop at its end; at most :data:`MOST`."""
    texts = (" ".join(choice) for choice in product(*_pieces(words)))
    # A text begins with a capital, but for what is always written as it stands.
    begun = (text if text[1:2].isupper() else text[:1].upper() + text[1:] for text in texts)
    return tuple(islice(dict.fromkeys(begun), MOST))


def _pieces(words: Words) -> Iterator[tuple[str, ...]]:
    """Each number and each other word or two, in the ways it is written."""
    place = 0
    while place < len(words):
        if words[place : place + 2] in OTHERWISE:
            yield OTHERWISE[words[place : place + 2]]
            place += 2
            continue
        ends = range(min(len(words), place + LONGEST_NUMBER), place, -1)
        number = next((end for end in ends if in_figures(words[place:end]) is not None), None)
        if number is not None:
            yield _number_forms(words[place:number])
            place = number
            continue
        yield OTHERWISE.get(words[place : place + 1], (words[place],))
        place += 1


def _number_forms(words: Words) -> tuple[str, ...]:
    figures = in_figures(words) or ""
    forms = [figures, " ".join(words)]
    for ending in FRACTIONS:
        if words[-len(ending) :] == ending:
            forms.append(" ".join((in_figures(words[: -len(ending)]) or "", *ending)))
    if len(figures) == 4 and figures.startswith("1") and figures.isdigit():
        forms.append(f"{figures[0]}.{figures[1:]}")
    return tuple(dict.fromkeys(forms))
