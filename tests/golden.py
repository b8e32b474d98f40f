"""The golden day: every word of the sample's rehearsal with its time.

`python tests/golden.py` writes it anew; read the difference as a brewer would before keeping it.
"""

from pathlib import Path

from assistant.rehearsal.day import rehearse
from assistant.rehearsal.page import SEED
from assistant.rehearsal.rehearsed import Rehearsed, Who
from assistant.rehearsal.truths import INSTRUCTIVE
from assistant.schedule import load

SAMPLE = Path(__file__).parent.parent / "schedules" / "breakwater-amber.yaml"
GOLDEN = Path(__file__).parent / "rehearsal" / "golden-breakwater-amber.txt"
MARKS = {Who.PROGRAM: "  ", Who.BREWER: "> ", Who.DAY: "# "}


def golden_day() -> Rehearsed:
    """The day that is kept: the instructive kettle, advice taken."""
    return rehearse(load(SAMPLE), INSTRUCTIVE, SEED, follow_advice=True)


def as_text(day: Rehearsed) -> str:
    """One line for each thing said: the time, who said it, the words."""
    lines = []
    for line in day.log:
        seconds = int(line.at)
        clock = f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}"
        why = f" [{line.why.value}]" if line.why else ""
        lines.append(f"{clock}  {MARKS[line.who]}{line.text}{why}")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    GOLDEN.write_text(as_text(golden_day()))
