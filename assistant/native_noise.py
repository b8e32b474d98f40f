"""Keeping the chatter of sound libraries off the screen."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

STANDARD_ERROR = 2


@contextmanager
def native_noise_dropped() -> Iterator[None]:
    """Drop what is written to the descriptor of standard error for as long as the context lasts.

    ALSA and PortAudio print there about every device they look for in vain, across any picture. An
    error that ends the program leaves the context first, and so is still shown.
    """
    sys.stderr.flush()
    try:
        kept = os.dup(STANDARD_ERROR)
    except OSError:
        # There is none, and so nothing to be drawn over.
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, STANDARD_ERROR)
    os.close(nowhere)
    try:
        yield
    finally:
        sys.stderr.flush()
        os.dup2(kept, STANDARD_ERROR)
        os.close(kept)
