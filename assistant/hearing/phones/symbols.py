"""The symbols of the phone model for the phones that a dictionary writes in ARPAbet.

The model writes the International Phonetic Alphabet. Sources: the correspondence is that of the
ARPAbet to the IPA (Handbook of the International Phonetic Association, 1999, for the symbols);
what it writes for a few words against it was seen in its output.
"""

from collections.abc import Iterable, Mapping

Phones = tuple[str, ...]

IPA: Mapping[str, str] = {
    "AA": "ɑ",
    "AE": "æ",
    "AH": "ʌ",
    "AO": "ɔ",
    "AW": "aʊ",
    "AY": "aɪ",
    "B": "b",
    "CH": "t͡ʃ",
    "D": "d",
    "DH": "ð",
    "EH": "ɛ",
    "ER": "ɝ",
    "EY": "eɪ",
    "F": "f",
    "G": "g",
    "HH": "h",
    "IH": "ɪ",
    "IY": "i",
    "JH": "d͡ʒ",
    "K": "k",
    "L": "l",
    "M": "m",
    "N": "n",
    "NG": "ŋ",
    "OW": "oʊ",
    "OY": "ɔɪ",
    "P": "p",
    "R": "ɹ",
    "S": "s",
    "SH": "ʃ",
    "T": "t",
    "TH": "θ",
    "UH": "ʊ",
    "UW": "u",
    "V": "v",
    "W": "w",
    "Y": "j",
    "Z": "z",
    "ZH": "ʒ",
}

ALIKE: tuple[frozenset[str], ...] = (frozenset({"ʌ", "ə"}), frozenset({"g", "ɡ"}))
"""Symbols that are one phone to us: either will do for each of them."""

WRITTEN: Mapping[str, tuple[Phones, ...]] = {
    "one": (("o", "n", "e"),),
    "two": (("t", "oʊ"),),
    "is": (("i", "s"),),
}
"""What the model writes for some words besides how they sound."""


def phones_of(arpabet: Iterable[str]) -> Phones:
    """The symbols of a pronunciation in ARPAbet; marks of stress are left out."""
    return tuple(IPA[phone.rstrip("012")] for phone in arpabet)
