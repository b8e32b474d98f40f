"""The program with a watch: ``python timed_brew.py FILE SPEED brew SCHEDULE --speed SPEED ...``.

For each event by which something fell due, FILE gets a line: the real milliseconds from its due
moment until ``Session.happen`` gave its effects back, which is after its row was written.
"""

import sys
import time
from pathlib import Path
from typing import Any

from assistant.cli import main
from assistant.day.timers import next_due_s
from assistant.session import Session


def watched(happen: Any, path: Path, speed: float) -> Any:
    def happened(session: Session, event: Any, wall_s: float) -> Any:
        due_s = next_due_s(session.state)
        began_s = time.perf_counter()
        effects = happen(session, event, wall_s)
        taken_s = time.perf_counter() - began_s
        if due_s is not None and due_s <= event.at:
            with path.open("a") as kept:
                kept.write(f"{((event.at - due_s) / speed + taken_s) * 1000:.3f}\n")
        return effects

    return happened


if __name__ == "__main__":
    kept_in, times = Path(sys.argv[1]), float(sys.argv[2])
    Session.happen = watched(Session.happen, kept_in, times)  # type: ignore[method-assign]
    del sys.argv[1:3]
    main()
