"""Typed text as the words that would be spoken: lower case, no punctuation, no accents.

Only punctuation that carries no meaning is dropped. Anything else, such as the comma in ``66,5``
or the stroke in ``1/2``, stays as a word of its own, and so is not understood rather than lost.
"""

import re
import unicodedata
from collections.abc import Iterable

Words = tuple[str, ...]

_piece = re.compile(
    r"""
    (?P<minus> (?<![^\W_]) [-\N{HYPHEN}\N{MINUS SIGN}] (?=\.?[0-9]) )
    | (?P<number> [0-9]+(?:\.[0-9]+)? | (?<![0-9])\.[0-9]+ )
    | (?P<word> [^\W\d_]+ )
    | (?P<hyphen> (?<=[^\W_]) [-\N{HYPHEN}\N{NON-BREAKING HYPHEN}] (?=[^\W\d_]) )
    | (?P<comma_in_number> (?<=[0-9]),(?=[0-9]) )
    | (?P<dropped> [\s.,!?;:"'()\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}
        \N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}\N{HORIZONTAL ELLIPSIS}] )
    | (?P<sign> . )
    """,
    re.VERBOSE,
)
_apostrophe = re.compile(r"(?<=[^\W\d_])['\N{RIGHT SINGLE QUOTATION MARK}](?=[^\W\d_])")

SIGNS_READ = {"\N{DEGREE SIGN}": "degrees", "&": "and"}
"""Signs that are read out as a word."""


def spoken(text: str) -> Words:
    """The words of a text; a number in figures is one word, such as ``66.5``."""
    folded = unicodedata.normalize("NFD", text.casefold())
    plain = "".join(letter for letter in folded if not unicodedata.combining(letter))
    words = []
    for piece in _piece.finditer(_apostrophe.sub("", plain)):
        match piece.lastgroup:
            case "minus":
                words.append("minus")
            case "number":
                words.append(f"0{piece[0]}" if piece[0].startswith(".") else piece[0])
            case "word":
                words.append(piece[0])
            case "sign" | "comma_in_number":
                words.append(SIGNS_READ.get(piece[0], piece[0]))
    return tuple(words)


def without_lead(words: Words, leads: Iterable[Words]) -> Words:
    """The words after the longest of ``leads`` they begin with; all of them where none fits."""
    found = [lead for lead in leads if words[: len(lead)] == lead]
    return words[len(max(found, key=len, default=())) :]


def without_end(words: Words, ends: Iterable[Words]) -> Words:
    """The words before the longest of ``ends`` they finish with; all of them where none fits."""
    found = [end for end in ends if end and words[-len(end) :] == end]
    return words[: len(words) - len(max(found, key=len, default=()))]
