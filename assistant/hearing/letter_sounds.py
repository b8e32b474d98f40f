"""How a name that no dictionary has is pronounced: by eSpeak NG's letter-to-sound rules."""

import ctypes
import re
from collections.abc import Mapping
from functools import cache

SOUNDS: Mapping[str, str] = {
    "aɪə": "AY AH", "aʊə": "AW AH",
    "tʃ": "CH", "dʒ": "JH", "aɪ": "AY", "aʊ": "AW", "eɪ": "EY", "oʊ": "OW", "əʊ": "OW",
    "ɔɪ": "OY", "ɪə": "IH R", "eə": "EH R", "ʊə": "UH R", "ɑːɹ": "AA R", "ɔːɹ": "AO R",
    "oːɹ": "AO R", "ɜː": "ER", "ɚ": "ER", "ɝ": "ER", "iː": "IY", "uː": "UW", "ɑː": "AA",
    "ɔː": "AO", "oː": "AO", "əl": "AH L", "i": "IY", "ɪ": "IH", "ɛ": "EH", "e": "EH", "æ": "AE",
    "a": "AE", "ɐ": "AH", "ʌ": "AH", "ə": "AH", "ɒ": "AA", "ɑ": "AA", "ɔ": "AO", "o": "OW",
    "ʊ": "UH", "u": "UW", "ᵻ": "IH", "b": "B", "d": "D", "f": "F", "ɡ": "G", "g": "G", "h": "HH",
    "j": "Y", "k": "K", "l": "L", "m": "M", "n": "N", "ŋ": "NG", "p": "P", "ɹ": "R", "r": "R",
    "s": "S", "ʃ": "SH", "t": "T", "ɾ": "T", "θ": "TH", "ð": "DH", "v": "V", "w": "W", "x": "K",
    "z": "Z", "ʒ": "ZH",
}  # fmt: skip
"""Sounds of the International Phonetic Alphabet as eSpeak NG writes them, and in ARPAbet."""

_sound = re.compile("|".join(sorted(map(re.escape, SOUNDS), key=len, reverse=True)))

VOICES = (b"en-us", b"en-gb")
RETRIEVAL = 2
UTF8, IPA = 1, 2


def sounded(word: str) -> tuple[str, ...]:
    """The pronunciations of a word, American and British; none where eSpeak NG is missing."""
    library = _espeak()
    if library is None:
        return ()
    found = (arpabet(_phonemes(library, word, voice)) for voice in VOICES)
    return tuple(dict.fromkeys(way for way in found if way))


def arpabet(phonemes: str) -> str:
    """``sˈɑːts`` as ``S AA T S``; signs that are no sound, such as stress, are left out."""
    return " ".join(
        SOUNDS[sound] for sound in _sound.findall(phonemes.replace("ˈ", "").replace("ˌ", ""))
    )


@cache
def _espeak() -> ctypes.CDLL | None:
    try:
        import espeakng_loader
    except ImportError:
        return None
    try:
        library = ctypes.CDLL(espeakng_loader.get_library_path())
        data = espeakng_loader.get_data_path().encode()
    except OSError:
        return None
    library.espeak_TextToPhonemes.restype = ctypes.c_char_p
    if library.espeak_Initialize(RETRIEVAL, 0, data, 0) < 0:
        return None
    return library


def _phonemes(library: ctypes.CDLL, word: str, voice: bytes) -> str:
    library.espeak_SetVoiceByName(voice)
    text = ctypes.c_char_p(word.encode())
    said = library.espeak_TextToPhonemes(ctypes.byref(text), UTF8, IPA)
    return said.decode() if said else ""
