"""The pipe: one JSON object a line in, one a line out, the driver's clock the only one."""

import json
import sys
from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from typing import IO, Any

from assistant.board.chart import Trace
from assistant.day.effects import Effect
from assistant.day.listening import listening
from assistant.day.timers import next_due_s
from assistant.day_board import BoardWanted, DayBoard, Pace, opened_board
from assistant.hearing.words import NotUnderstood
from assistant.record.journal import Journal
from assistant.schedule.model import Schedule
from assistant.session import Session
from assistant.unsaved import all_kept
from assistant.wire import BadLine, effect_json, line_at, line_event, parse_line

LONGEST_LINE = 64 * 1024


def run_pipe(
    schedule: Schedule,
    schedule_path: str,
    journal: Journal,
    lines_in: IO[bytes],
    lines_out: IO[str],
    wall_s: "Iterator[float]",
    board: BoardWanted | None = None,
) -> None:
    """Drive a day from ``lines_in`` until it ends; ``wall_s`` gives the wall clock, for the record.

    A ``board`` shows the day and takes no words: whoever writes the lines drives it.

    Raises :class:`~assistant.record.journal.RecordError` when the record can't be opened for the
    day, or not all of the day could be written by its end.
    """
    pipe = Pipe(schedule, schedule_path, journal)
    with ExitStack() as stack:
        pace = Pace(at=lambda: pipe.at, speed=0)
        day_board, found_at = stack.enter_context(
            opened_board(board, pace, pipe.trace, takes_words=False)
        )
        for line in found_at:
            sys.stderr.write(f"{line}\n")
        begun = False
        while raw := lines_in.readline(LONGEST_LINE):
            if not raw.endswith(b"\n") and len(raw) == LONGEST_LINE:
                drain(lines_in)
                answers = pipe.answer_bad(f"the line is longer than {LONGEST_LINE} bytes")
            else:
                answers = pipe.answer(raw, next(wall_s))
            if pipe.session is not None and not begun:
                begun = True
                stack.enter_context(all_kept(pipe.session.keeper))
            for answer in answers:
                # In ASCII: whatever the encoding, and harmless to a terminal that looks on.
                lines_out.write(json.dumps(answer) + "\n")
            lines_out.flush()
            pipe.show(day_board)


def drain(lines_in: IO[bytes]) -> None:
    """Read to the end of a line that is too long to be used."""
    while (rest := lines_in.readline(LONGEST_LINE)) and not rest.endswith(b"\n"):
        pass


class Pipe:
    """A day driven line by line."""

    def __init__(self, schedule: Schedule, schedule_path: str, journal: Journal) -> None:
        self.schedule = schedule
        self.schedule_path = schedule_path
        self.journal = journal
        self.session: Session | None = None
        self.at = 0.0
        self.trace = Trace()
        self._said: list[str] = []
        self._fresh: tuple[Effect, ...] = ()

    def answer(self, raw: bytes, wall_s: float) -> list[dict[str, Any]]:
        """Everything a line is answered with, the closing ``idle`` included."""
        if not raw.strip():
            return []
        try:
            line = parse_line(raw)
            at = line_at(line, self.at)
            effects = self._effects(line, at, wall_s)
        except (BadLine, NotUnderstood) as error:
            return self.answer_bad(str(error))
        self.at, self._fresh = at, effects
        told = (effect_json(effect, at) for effect in effects)
        return [*(answer for answer in told if answer is not None), self._idle()]

    def show(self, board: DayBoard) -> None:
        """Show what the last line came to."""
        if self.session is not None:
            session, fresh, self._fresh = self.session, self._fresh, ()
            board.show(session.day_id, session.state, fresh, heard=self._said)

    def answer_bad(self, text: str) -> list[dict[str, Any]]:
        """The answer to a line that could not be used."""
        return [{"at": self.at, "kind": "error", "text": text}, self._idle()]

    def _idle(self) -> dict[str, Any]:
        due_s = next_due_s(self.session.state) if self.session else None
        return {"at": self.at, "kind": "idle", "next": due_s}

    def _effects(self, line: Mapping[str, Any], at: float, wall_s: float) -> tuple[Effect, ...]:
        words = line.get("say")
        if isinstance(words, str):
            self._said.append(words)
        if words == "start" and self.session is None:
            self.session, effects = Session.begin(
                self.journal, self.schedule, self.schedule_path, at=at, wall_s=wall_s
            )
            return effects
        if words == "resume" and self.session is None:
            return self._resume(at, wall_s)
        if self.session is None:
            raise BadLine('the day has not begun: the first line is {"at": 0, "say": "start"}')
        return self.session.happen(line_event(line, at, listening(self.session.state)), wall_s)

    def _resume(self, at: float, wall_s: float) -> tuple[Effect, ...]:
        day = self.journal.unfinished(self.schedule_path)
        if day is None:
            raise BadLine("there is no unfinished day of this schedule: say start")
        last = self.journal.last(day.id)
        if last is not None and at < last[0]:
            raise BadLine(f"at {at:g} lies before the day's last moment, {last[0]:g}")
        self.session, effects = Session.resume(
            self.journal, day, at=at, wall_s=wall_s, watch=self.trace.add
        )
        return effects
