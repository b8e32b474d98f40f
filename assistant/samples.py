"""Where the sample schedules are: beside a checkout's package, or installed with it."""

import sys
from pathlib import Path

REHEARSED = "breakwater-amber.yaml"


def samples_folder() -> Path:
    """The folder of the samples; in a checkout its own, else where the installer put them."""
    checkout = Path(__file__).resolve().parent.parent / "schedules"
    if (checkout / REHEARSED).is_file():
        return checkout
    return Path(sys.prefix) / "share" / "kettleside" / "schedules"


def rehearsed_sample() -> Path:
    """The sample that ``rehearse`` takes when none is named."""
    return samples_folder() / REHEARSED
