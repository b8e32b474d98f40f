"""Days that are killed and gone on with, over and over, against the same day unbroken.

The driver is careful in the one way that it needs: it lets no two lines have the same moment. After
a kill it says ``resume`` at the moment of the last line whose ``idle`` it read. Where that is
refused as too early, the line after it reached the record, and the driver goes on from the one that
follows; else it sends the line again.

What the days have in common, ``alike`` tells: every row of the record but the ones that say the
day was resumed, to the last bit, and all of the state that these rows lead to but the last words
spoken (``resume`` says where the day stands, and "repeat" repeats that) and the ear's troubles (a
program that starts has none yet). What can be taken back is no part of what two states share, and
is held to it by the "undo" in the day. When a row was written by the wall clock is left out too.
"""

import json
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from kill_plans import AT_PLACE, Kill, Moment
from recorded_day import OnRecord, RecordedDay

from assistant.day.ear_troubles import Ear
from assistant.day.state import Phase, State
from assistant.day.timers import next_due_s
from assistant.record.journal import DayStatus

LAUNCHER = Path(__file__).with_name("killed_brew.py")
Line = dict[str, Any]

STILL_DUE = "Still due: "
"""How a reminder begins that tells again what was announced before."""

TOLD_AGAIN = {Phase.SET: ("set",), Phase.SOON: ("soon",), Phase.DUE: ("late",)}
"""How a timer may be told of to a driver that joins the day here."""


class Program:
    """One process of ``kettleside brew --pipe``, and a kill that waits for it."""

    def __init__(self, day: RecordedDay, folder: Path, fuse: Sequence[str] = ()) -> None:
        command = [str(LAUNCHER), *fuse] if fuse else ["-m", "assistant"]
        arguments = ["brew", str(day.schedule_path), "--pipe", "--data", str(folder)]
        self.process = subprocess.Popen(
            [sys.executable, *command, *arguments],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )

    def answer(self, line: Line, kill_after_s: float | None = None) -> list[Line] | None:
        """What a line is answered with up to its ``idle``; None where the program died first."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        try:
            self.process.stdin.write(json.dumps(line).encode() + b"\n")
            self.process.stdin.flush()
        except BrokenPipeError:
            return None
        if kill_after_s is not None:
            until_s = time.perf_counter() + kill_after_s
            while time.perf_counter() < until_s:
                pass
            self.process.kill()
        answers: list[Line] = []
        while raw := self.process.stdout.readline():
            if not raw.endswith(b"\n"):
                break
            answers.append(json.loads(raw))
            if answers[-1]["kind"] == "idle":
                return answers
        return None

    def end(self) -> str:
        """Kill it where it still runs; what it wrote to standard error."""
        self.process.kill()
        _, told = self.process.communicate()
        return told.decode()


@dataclass(kw_only=True)
class Tally:
    """What became of the kills: by their moments, and in rows; ``wrong`` is what must not be."""

    by_moment: Counter[str] = field(default_factory=Counter)
    acknowledged: int = 0
    lost: int = 0
    unacknowledged: int = 0
    wrong: list[str] = field(default_factory=list)
    resumed_s: list[float] = field(default_factory=list)

    @property
    def kills(self) -> int:
        """How many there were."""
        return sum(self.by_moment.values())


def alike(state: State) -> State:
    """What two days have in common that differ by kills alone."""
    return replace(state, spoken="", ear=Ear(), history=())


class KilledDay:
    """A recorded day driven to its end through these kills."""

    def __init__(self, day: RecordedDay, folder: Path, kills: Sequence[Kill], tally: Tally) -> None:
        self.day, self.folder, self.tally = day, folder, tally
        self.kills = list(kills)
        self.next = 0
        """The first line that is not known to be on record."""

    def run(self) -> None:
        """Drive the day; what is not as it should be goes on the tally."""
        self._live(None if not self.kills else self.kills.pop(0), first=True)
        while self.next < len(self.day.lines):
            self._live(self.kills.pop(0) if self.kills else None)
        self._compare_end()

    def _wrong(self, what: str) -> None:
        self.tally.wrong.append(f"line {self.next}: {what}")

    def _live(self, kill: Kill | None, *, first: bool = False) -> None:
        """One process, from its start to its kill, or to the end of the day."""
        there = self._rows_are_right(OnRecord.of(self.folder))
        taken = self._is_taken(there)
        if kill is not None and kill.line is not None and kill.line < self.next + taken:
            return
        rows_before = len(there.events)
        program = Program(self.day, self.folder, self._fuse(kill, there, first=first))
        told = ""
        try:
            alive = first or self._resumes(program, kill, there)
            while alive and self.next < len(self.day.lines):
                strikes = kill is not None and kill.moment is Moment.AT_RANDOM
                after_s = kill.after_s if kill and strikes and kill.line == self.next else None
                alive = program.answer(self.day.lines[self.next], after_s) is not None
                self.next += alive
                alive = alive and after_s is None
        finally:
            told = program.end()
        if told:
            self._wrong(f"standard error held {told}")
        if kill is None and self.next < len(self.day.lines):
            raise AssertionError(f"the program ended unasked at line {self.next}: {told}")
        if kill is not None:
            while_resumed = "" if kill.line is not None else ", while the day is gone on with"
            self.tally.by_moment[kill.moment.value + while_resumed] += 1
        self.tally.acknowledged += max(self.day.rows_before(self.next) - rows_before, 0)

    def _fuse(self, kill: Kill | None, there: OnRecord, *, first: bool) -> tuple[str, ...]:
        if kill is None or kill.moment not in AT_PLACE:
            return ()
        answers = 0 if first else 1 + self._is_refused(there)
        if kill.line is not None:
            answers += kill.line - self.next - self._is_taken(there) + 1
        return (kill.moment.value, str(answers))

    def _rows_are_right(self, there: OnRecord) -> OnRecord:
        """Every row acknowledged is there, and of the next line its row or none."""
        wanted = self.day.rows_before(self.next)
        most = self.day.rows_after[min(self.next, len(self.day.lines) - 1)]
        if len(there.events) < wanted:
            self.tally.lost += wanted - len(there.events)
            self._wrong(f"{len(there.events)} rows are on record of {wanted} acknowledged")
        if len(there.events) > most or there.events != self.day.events[: len(there.events)]:
            self._wrong("the record holds what was not sent, or sent otherwise")
        self.tally.unacknowledged += max(len(there.events) - wanted, 0)
        return there

    def _is_taken(self, there: OnRecord) -> bool:
        """Whether the record holds all that the line not acknowledged came to, and it is some."""
        if self.next == len(self.day.lines):
            return False
        rows = self.day.rows_after[self.next]
        return len(there.events) >= rows > self.day.rows_before(self.next)

    def _is_refused(self, there: OnRecord) -> bool:
        """Whether the day can't be resumed at the moment of the last line acknowledged."""
        return there.last_s > self._last_s

    @property
    def _last_s(self) -> float:
        return float(self.day.lines[max(self.next - 1, 0)]["at"])

    def _resumes(self, program: Program, kill: Kill | None, there: OnRecord) -> bool:
        """Go on with the day by what the pipe tells; whether the program lives on."""
        began_s = time.perf_counter()
        starting = kill is not None and kill.moment is Moment.STARTING
        at_s = self._last_s
        answers = program.answer(
            {"at": at_s, "say": "resume"}, kill.after_s if kill and starting else None
        )
        if answers is None or starting:
            return False
        refused = answers[0]["kind"] == "error" and "lies before" in answers[0]["text"]
        if refused:
            at_s = float(self.day.lines[self.next]["at"])
            answers = program.answer({"at": at_s, "say": "resume"})
            if answers is None:
                return False
        self.tally.resumed_s.append(time.perf_counter() - began_s)
        if answers[0]["kind"] == "error":
            return self._has_nothing_to_resume(answers[0]["text"], there)
        taken = self._is_taken(there)
        if there.events:
            self._is_told_what_is_open(answers, at_s, there)
        if self.next and refused is not taken:
            self._wrong("the answer to resume told wrongly what was kept")
        # A day that is there has been started, or is by now.
        self.next += taken or not self.next
        return True

    def _has_nothing_to_resume(self, text: str, there: OnRecord) -> bool:
        """Before the start is on record that is right, and after the end."""
        if "no unfinished day" not in text or not (
            there.status is DayStatus.FINISHED or there.state is None
        ):
            self._wrong(f"resume was answered {text}")
        if there.status is DayStatus.FINISHED:
            self.next = len(self.day.lines)
        return there.state is None

    def _is_told_what_is_open(self, answers: list[Line], at_s: float, there: OnRecord) -> None:
        state = there.state
        assert state is not None
        open_now = {
            "task": {task.id for task in state.tasks},
            "ask": {ask.id for ask in state.asks},
            "advice": {state.advice.id} if state.advice else set(),
        }
        for kind, wanted in open_now.items():
            told = {line["id"] for line in answers if line["kind"] == kind}
            if told != wanted:
                self._wrong(f"resumed, the open {kind}s are {wanted}, and told were {told}")
        if answers[0].get("stage") != state.stage.value:
            self._wrong(f"resumed in {state.stage.value}, told was {answers[0]}")
        due_s = next_due_s(state)
        reminders = [line["text"] for line in answers if line.get("why") == "reminder"]
        anew = [text for text in reminders if not text.startswith(STILL_DUE)]
        if anew and (due_s is None or due_s > at_s):
            self._wrong(f"resumed, it was announced again: {anew}")
        phases = {timer.name: TOLD_AGAIN[timer.phase] for timer in state.timers}
        for line in answers:
            if line["kind"] == "timer" and line["state"] not in phases.get(line["name"], ()):
                self._wrong(f"resumed, timer {line['name']} was told {line['state']}")

    def _compare_end(self) -> None:
        there = self._rows_are_right(OnRecord.of(self.folder))
        whole = self.day.end
        if there.events != whole.events:
            self._wrong("at the end the rows differ from the unbroken day's")
        assert there.state is not None
        assert whole.state is not None
        mine, other = alike(there.state), alike(whole.state)
        for part in fields(State):
            if part.compare and getattr(mine, part.name) != getattr(other, part.name):
                self._wrong(f"at the end {part.name} differs from the unbroken day's")
        if (there.status, there.learned) != (whole.status, whole.learned):
            self._wrong(f"the day is {there.status}, and it taught {there.learned}")
        if there.days != 1:
            self._wrong(f"there are {there.days} days on record")
