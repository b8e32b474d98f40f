"""Noise taken out of speech by RNNoise, a small network that was trained on many noises.

It knows a boil and a rattling lid, which no measured spectrum describes. Source: J.-M. Valin, "A
hybrid DSP/deep learning approach to real-time full-band speech enhancement", MMSP 2018.
"""

import importlib.util
from pathlib import Path
from typing import Any

import numpy as np

from assistant.hearing.engine import RATE_HZ, EngineFailed, Sound

ITS_RATE_HZ = 48_000
LATE_S = 0.05
"""What is added at the end, for the network answers a little late."""


class RNNoise:
    """The network of the package ``pyrnnoise``."""

    def __init__(self) -> None:
        """Raises :class:`EngineFailed` where it can't be used."""
        try:
            self._library = _library()
        except (ImportError, OSError) as error:
            raise EngineFailed(f"RNNoise can't be used ({error}): pip install pyrnnoise") from error

    def speech_of(self, sound: Sound) -> Sound:
        """The sound with what is not speech taken out; as long as it was."""
        import soxr  # type: ignore[import-untyped]

        wide = soxr.resample(sound.astype(np.float32), RATE_HZ, ITS_RATE_HZ)
        size = int(self._library.FRAME_SIZE)
        count = -(-(len(wide) + int(LATE_S * ITS_RATE_HZ)) // size)
        wide = np.pad(wide, (0, count * size - len(wide)))
        frames = np.clip(wide, -32768, 32767).astype(np.int16).reshape(count, size)
        state = self._library.create()
        try:
            clean = [self._library.process_mono_frame(state, frame)[0] for frame in frames]
        finally:
            self._library.destroy(state)
        narrow = soxr.resample(np.concatenate(clean).astype(np.float32), ITS_RATE_HZ, RATE_HZ)
        speech: Sound = np.clip(narrow[: len(sound)], -32768, 32767).astype(np.int16)
        return speech


def _library() -> Any:
    """The module that has the network, without the readers of sound files around it."""
    package = importlib.util.find_spec("pyrnnoise")
    if package is None or package.origin is None:
        raise ImportError("the package pyrnnoise is not there")
    path = Path(package.origin).with_name("rnnoise.py")
    spec = importlib.util.spec_from_file_location("kettleside_rnnoise", path)
    if spec is None or spec.loader is None:
        raise ImportError(f"{path} is not there")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
