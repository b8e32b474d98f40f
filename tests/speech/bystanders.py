"""People who talk, but not to the program: one after the other, or all at once as babble."""

import random
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from speech.prose import SENTENCES
from speech.voices import RATE_HZ, Half, Sound, available, render


@dataclass(frozen=True, kw_only=True)
class Overheard:
    """One sentence that was not for us: the voice, its words, the speech with its pauses."""

    voice: str
    text: str
    sound: Sound

    @property
    def length_s(self) -> float:
        """How long it is, pauses and all."""
        return len(self.sound) / RATE_HZ


def not_for_us(seed: int, minutes: float, half: Half | None = None) -> Iterator[Overheard]:
    """Sentences by turns of a few from each voice, for as long as ``minutes``.

    Laid end to end they are continuous speech, with digital zeros between: put them in a room with
    ``noises.mix``. No voice repeats a sentence before it has said all of them. With a ``half``, it
    is that half's voices only, and sentences that the other half does not say.
    """
    source = random.Random(seed)
    sentences = SENTENCES if half is None else SENTENCES[half is Half.HELD :: 2]
    voices = everyone() if half is None else available(half)
    decks: dict[str, list[str]] = {voice: [] for voice in voices}
    left_s = minutes * 60
    while left_s > 0:
        voice = source.choice(voices)
        for _ in range(source.randint(2, 5)):
            if left_s <= 0:
                return
            if not decks[voice]:
                decks[voice] = source.sample(sentences, len(sentences))
            text = decks[voice].pop()
            pause = np.zeros(int(source.uniform(0.0, 1.0) * RATE_HZ), dtype=np.int16)
            said = Overheard(
                voice=voice, text=text, sound=np.concatenate([render(voice, text), pause])
            )
            left_s -= said.length_s
            yield said


def read_aloud(place: int, seconds: float, seed: int) -> npt.NDArray[np.float64]:
    """The person at a place of the babble, reading sentence after sentence for so many seconds."""
    source = random.Random(f"{seed} {place}")
    voices = everyone()
    voice = voices[(place + seed) % len(voices)]
    count = round(seconds * RATE_HZ)
    skipped = source.randrange(RATE_HZ)
    pieces: list[Sound] = []
    while sum(map(len, pieces)) < count + skipped:
        pieces.append(render(voice, source.choice(SENTENCES)))
    return np.concatenate(pieces)[skipped : skipped + count] / 32768


def everyone() -> tuple[str, ...]:
    """All the voices of this machine."""
    return tuple(voice for half in Half for voice in available(half))
