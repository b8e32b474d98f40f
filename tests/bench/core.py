"""How long the core takes: `python tests/bench/core.py`.

Folds a whole day with 1,500 events, most of them readings of a sensor, and prints the time of
``advance`` for each event, of all a chart of the kettle's temperature needs, and of a whole day
through the pipe, record on disk included.
"""

import io
import json
import statistics
import sys
import tempfile
import time
from pathlib import Path

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.course import believed_c, expected_course, expected_targets, marks
from assistant.day.events import DayBegan, TimePassed
from assistant.day.listening import listening
from assistant.day.state import State, new_day
from assistant.pipe import run_pipe
from assistant.record.journal import Journal
from assistant.schedule import load
from assistant.wire import line_at, line_event, parse_line

SAMPLE = Path(__file__).parent.parent.parent / "schedules" / "breakwater-amber.yaml"
LINES = 1500
EVERY_S = 9.5


def driven_lines() -> list[dict[str, object]]:
    """A day's lines as a driver with a thermometer would send them: a reading every ten seconds."""
    schedule = load(SAMPLE)
    state = new_day(schedule, make_plan(schedule))
    state, _ = advance(state, DayBegan(at=0))
    lines: list[dict[str, object]] = [{"at": 0, "say": "start"}]
    at = 0.0
    while len(lines) < LINES:
        at += EVERY_S
        line = next_line(state, at, len(lines))
        event = line_event(
            parse_line(json.dumps(line).encode()), line_at(line, 0), listening(state)
        )
        state, _ = advance(state, TimePassed(at=at))
        state, _ = advance(state, event)
        lines.append(line)
        if state.stage is Stage.FINISHED:
            state = new_day(schedule, make_plan(schedule))
            break
    return lines


def next_line(state: State, at: float, count: int) -> dict[str, object]:
    """A task done now and then, else a temperature near what the kettle holds."""
    waits = count % 12 == 0 and state.stage is not Stage.CLEAN
    for task in state.tasks:
        if waits and task.action.do.value not in ("hold", "boil", "settle"):
            return {"at": at, "done": task.id}
    value = round(state.batch.temperature_c + 0.1 * (count % 5), 1)
    reading = {"quantity": "kettle_temperature", "value": value, "unit": "degC"}
    return {"at": at, "reading": reading}


def time_advance(lines: list[dict[str, object]]) -> list[float]:
    """Milliseconds for each event of the day."""
    schedule = load(SAMPLE)
    state, _ = advance(new_day(schedule, make_plan(schedule)), DayBegan(at=0))
    taken = []
    for line in lines[1:]:
        event = line_event(line, line_at(line, 0), listening(state))
        began = time.perf_counter()
        state, _ = advance(state, event)
        taken.append((time.perf_counter() - began) * 1000)
    return taken


def time_course(lines: list[dict[str, object]]) -> list[float]:
    """Milliseconds for what a chart needs after each event of the day."""
    schedule = load(SAMPLE)
    state, _ = advance(new_day(schedule, make_plan(schedule)), DayBegan(at=0))
    taken = []
    for line in lines[1:]:
        state, _ = advance(state, line_event(line, line_at(line, 0), listening(state)))
        began = time.perf_counter()
        for figure in (believed_c, expected_course, expected_targets, marks):
            figure(state)
        taken.append((time.perf_counter() - began) * 1000)
    return taken


def told(what: str, taken: list[float]) -> str:
    """The median and the longest of so many times in milliseconds."""
    taken = sorted(taken)
    return (
        f"{what}, {len(taken)} events: median {statistics.median(taken):.3f} ms, "
        f"p95 {taken[int(0.95 * len(taken))]:.3f} ms, most {taken[-1]:.3f} ms\n"
    )


def time_pipe(lines: list[dict[str, object]]) -> float:
    """Seconds for the same day through the pipe with its record on disk."""
    raw = b"".join(json.dumps(line).encode() + b"\n" for line in lines)
    with tempfile.TemporaryDirectory() as folder, Journal.open(Path(folder)) as journal:
        began = time.perf_counter()
        run_pipe(
            load(SAMPLE),
            str(SAMPLE),
            journal,
            io.BytesIO(raw),
            io.StringIO(),
            iter(time.time, None),
        )
        return time.perf_counter() - began


def main() -> None:
    """Print the figures."""
    lines = driven_lines()
    out = sys.stdout
    out.write(told("advance", time_advance(lines)))
    out.write(told("a chart's course, targets and marks", time_course(lines)))
    out.write(f"a day of {len(lines)} lines through the pipe: {time_pipe(lines):.2f} s\n")


if __name__ == "__main__":
    main()
