"""How words are pronounced that the recogniser's dictionary lacks, in ARPAbet.

The dictionary of PocketSphinx is CMUdict. Words of the trade stand here with the
pronunciations that British and American brewers use (common practice, no source); a name from a
schedule is given to a synthesiser's letter-to-sound rules by the engine.
"""

from collections.abc import Mapping

PRONUNCIATIONS: Mapping[str, tuple[str, ...]] = {
    "aerated": ("EH R EY T IH D", "EY R EY T IH D"),
    "celsius": ("S EH L S IY AH S",),
    "doughed": ("D OW D",),
    "fermenter": ("F ER M EH N T ER", "F AH M EH N T AH"),
    "finings": ("F AY N IH NG Z",),
    "flameout": ("F L EY M AW T",),
    "fuggle": ("F AH G AH L",),
    "fuggles": ("F AH G AH L Z",),
    "goldings": ("G OW L D IH NG Z",),
    "hallertau": ("HH AE L ER T AW",),
    "krausen": ("K R OY Z AH N", "K R AW Z AH N"),
    "litre": ("L IY T ER", "L IY T AH"),
    "litres": ("L IY T ER Z", "L IY T AH Z"),
    "lauter": ("L AW T ER",),
    "nought": ("N AO T",),
    "plato": ("P L EY T OW", "P L AA T OW"),
    "saaz": ("S AA T S", "S AA Z"),
    "sanitiser": ("S AE N IH T AY Z ER",),
    "sparge": ("S P AA R JH",),
    "tettnang": ("T EH T N AE NG",),
    "trub": ("T R UW B", "T R AH B"),
    "unpause": ("AH N P AO Z",),
    "vorlauf": ("F AO R L AW F",),
    "wort": ("W ER T", "W AO R T"),
}

BRITISH: Mapping[str, tuple[str, ...]] = {
    "kettle": ("K EH T AH L", "K EH D AH L"),
    "water": ("W AO T AH",),
    "fermenters": ("F AH M EH N T AH Z",),
    "quarter": ("K W AO T AH",),
    "four": ("F AO",),
    "forty": ("F AO T IY",),
    "fourteen": ("F AO T IY N",),
    "hundred": ("HH AH N D R AH D",),
    "temperature": ("T EH M P R AH CH AH",),
    "timer": ("T AY M AH",),
    "point": ("P OY N T",),
    "half": ("HH AA F",),
    "volume": ("V AO L Y UW M",),
    "not": ("N AO T",),
    "stop": ("S T AO P",),
    "hops": ("HH AO P S",),
    "boiling": ("B OY L IH NG",),
}
"""Further pronunciations of words that the dictionary has in American only."""

SPELLINGS: Mapping[str, str] = {
    "thats": "that's",
    "theyre": "they're",
    "its": "it's",
    "whats": "what's",
    "bags": "bag's",
    "lids": "lid's",
    "waters": "water's",
}
"""Words as we write them, without apostrophe, and as the dictionary does."""

LETTERS: Mapping[str, tuple[str, ...]] = {
    "c": ("S IY",),
    "f": ("EH F",),
    "g": ("JH IY",),
    "h": ("EY CH",),
    "o": ("OW",),
    "p": ("P IY",),
    "s": ("EH S",),
    "og": ("OW JH IY",),
    "sg": ("EH S JH IY",),
    "ph": ("P IY EY CH",),
}
"""Letters said one by one."""


def pronunciations(word: str) -> tuple[str, ...]:
    """The pronunciations that stand here for a word; none where the dictionary must have it."""
    found = (PRONUNCIATIONS.get(word) or ()) + (LETTERS.get(word) or ())
    return tuple(dict.fromkeys((*found, *BRITISH.get(word, ()))))
