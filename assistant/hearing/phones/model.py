"""The phone model: how likely each phone is, step by step through a sound."""

import numpy as np
import numpy.typing as npt

from assistant.hearing.engine import RATE_HZ, EngineFailed, Sound
from assistant.hearing.phones.symbols import ALIKE, IPA, WRITTEN

Frames = npt.NDArray[np.float32]
"""Logarithms of likelihoods: a row for each step of a sound, a column for each symbol; column 0 is
for no phone."""

STEP_S = 0.02

NO_PHONE = ("<blank>", "<wb>")
"""What the model writes where no phone begins, and between words."""

SHORTEST_S = 0.1


class PhoneModel:
    """The model that comes with the package ``hama``; ``columns`` has the column of each symbol."""

    def __init__(self) -> None:
        """Raises :class:`EngineFailed` where the package or its library can't be used."""
        try:
            from hama import ASRModel

            self._model = ASRModel()
        except (ImportError, OSError, RuntimeError) as error:
            raise EngineFailed(
                f"the phone model can't be used ({error}): pip install hama"
            ) from error
        tokens = {token: place for place, token in enumerate(self._model.decoder_tokens)}
        written = {symbol for ways in WRITTEN.values() for way in ways for symbol in way}
        symbols = sorted({*IPA.values(), *written})
        self.columns = {symbol: place for place, symbol in enumerate(symbols, 1)}
        self._sources = [[tokens[name] for name in NO_PHONE]]
        for symbol in symbols:
            alike = next((group for group in ALIKE if symbol in group), frozenset({symbol}))
            self._sources.append([tokens[one] for one in sorted(alike)])

    def frames(self, sound: Sound) -> Frames:
        """The likelihoods through a sound; no row where it is shorter than a tenth of a second."""
        if len(sound) < SHORTEST_S * RATE_HZ:
            return np.zeros((0, len(self._sources)), np.float32)
        waveform = (sound.astype(np.float32) / 32768.0).reshape(1, -1)
        log_probs, lengths = self._model.session.run(
            ["log_probs", "out_lengths"],
            {"waveform": waveform, "waveform_lengths": np.array([waveform.shape[1]], np.int64)},
        )
        whole = log_probs[0][: int(lengths.reshape(-1)[0])]
        columns = [np.logaddexp.reduce(whole[:, source], axis=1) for source in self._sources]
        frames: Frames = np.stack(columns, axis=1).astype(np.float32)
        return frames
