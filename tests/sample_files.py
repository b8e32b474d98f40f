"""Where the samples are."""

from pathlib import Path

SAMPLES = Path(__file__).parent.parent / "schedules"
