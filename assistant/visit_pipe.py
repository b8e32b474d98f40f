"""The pipe of a visit: one JSON object a line in, one a line out, the driver's clock the only one.

It goes as the pipe of a brew day; ``at`` goes on in the seconds of that day.
"""

import json
from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from dataclasses import replace
from typing import IO, Any

from assistant.cellar.dates import coming
from assistant.cellar.events import VisitBegan
from assistant.cellar.listening import listening
from assistant.cellar.state import CellarState
from assistant.day.effects import Effect
from assistant.hearing.words import NotUnderstood
from assistant.pipe import LONGEST_LINE, drain
from assistant.record.beers import BeerOnRecord
from assistant.record.journal import Journal
from assistant.unsaved import all_kept
from assistant.visit import Visit
from assistant.visit_wire import LATEST_S, beer_json
from assistant.wire import BadLine, effect_json, line_at, line_event, parse_line


def run_visit_pipe(
    journal: Journal,
    beer: BeerOnRecord,
    errand: VisitBegan,
    lines_in: IO[bytes],
    lines_out: IO[str],
    wall_s: Iterator[float],
) -> None:
    """Drive a visit from ``lines_in`` until it ends; ``wall_s`` gives the wall clock.

    Raises :class:`~assistant.record.journal.RecordError` when not all of it could be written.
    """
    pipe = VisitPipe(journal, beer, errand)
    with ExitStack() as stack:
        while raw := lines_in.readline(LONGEST_LINE):
            if not raw.endswith(b"\n") and len(raw) == LONGEST_LINE:
                drain(lines_in)
                answers = pipe.answer_bad(f"the line is longer than {LONGEST_LINE} bytes")
            else:
                began = pipe.visit is not None
                answers = pipe.answer(raw, next(wall_s))
                if pipe.visit is not None and not began:
                    stack.enter_context(all_kept(pipe.visit.keeper))
                    stack.callback(pipe.visit.end)
            for answer in answers:
                lines_out.write(json.dumps(answer) + "\n")
            lines_out.flush()


class VisitPipe:
    """A visit driven line by line; ``errand`` is what it is for, at whatever moment it begins."""

    def __init__(self, journal: Journal, beer: BeerOnRecord, errand: VisitBegan) -> None:
        self.journal, self.beer, self.errand = journal, beer, errand
        self.visit: Visit | None = None
        last = journal.last(beer.day.id)
        self.at = 0.0 if last is None else last[0]
        self._told: Mapping[str, Any] | None = None

    def answer(self, raw: bytes, wall_s: float) -> list[dict[str, Any]]:
        """Everything a line is answered with, the closing ``idle`` included."""
        if not raw.strip():
            return []
        try:
            line = parse_line(raw)
            at = line_at(line, self.at, LATEST_S)
            effects = self._effects(line, at, wall_s)
        except (BadLine, NotUnderstood) as error:
            return self.answer_bad(str(error))
        self.at = at
        told = [effect_json(effect, at) for effect in effects]
        return [*(answer for answer in told if answer is not None), *self._beer(), self._idle()]

    def answer_bad(self, text: str) -> list[dict[str, Any]]:
        """The answer to a line that could not be used."""
        return [{"at": self.at, "kind": "error", "text": text}, self._idle()]

    @property
    def _state(self) -> CellarState | None:
        return None if self.visit is None else self.visit.state

    def _beer(self) -> list[dict[str, Any]]:
        """How the beer stands, where that has changed."""
        if self._state is None:
            return []
        found = beer_json(self._state)
        if found == self._told:
            return []
        self._told = found
        return [{"at": self.at, "kind": "beer"} | found]

    def _idle(self) -> dict[str, Any]:
        ahead = () if self._state is None else coming(self._state)
        due_s = min((each.at_s for each in ahead if each.at_s > self.at), default=None)
        return {"at": self.at, "kind": "idle", "next": due_s}

    def _effects(self, line: Mapping[str, Any], at: float, wall_s: float) -> tuple[Effect, ...]:
        if self.visit is not None:
            return self.visit.happen(line_event(line, at, listening(self.visit.state)), wall_s)
        if line.get("say") != "start":
            first = f'{{"at": {self.at:.0f}, "say": "start"}}'
            raise BadLine(f"the visit has not begun: the first line is {first}")
        began = replace(self.errand, at=at)
        self.visit, effects = Visit.begin(self.journal, self.beer, began, wall_s)
        return effects
