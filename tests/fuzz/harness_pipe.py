"""Any lines into a brew day: the first byte chooses how far the day has come, the rest is input."""

import io
import json
from pathlib import Path
from tempfile import TemporaryDirectory

from fuzz_days import awkward_schedule, journal_in_memory, moments

from assistant.day.state import State
from assistant.pipe import Pipe, run_pipe
from assistant.record.journal import Journal
from assistant.record.keeping import Keeper
from assistant.record.replay import replay
from assistant.session import Session

PATH = "awkward.yaml"
KINDS = {
    "say", "stage", "task", "ask", "timer", "reading", "advice", "forecast", "error", "idle",
}  # fmt: skip
MOST_LINES = 40
"""A day of more lines only takes longer to look at."""


def one(data: bytes) -> None:
    """Answer every line; an exception, or an answer that breaks the pipe's promises, is a fault."""
    if not data:
        return
    lines = data[1:].split(b"\n")[:MOST_LINES]
    if data[0] == 255:
        _from_the_start(lines)
    else:
        _from(moments()[data[0] % len(moments())], lines)


def _from_the_start(lines: list[bytes]) -> None:
    """The whole way, out of the driver's stream and into its own, with the record read again."""
    out = io.StringIO()
    with TemporaryDirectory() as folder, Journal.open(Path(folder)) as journal:
        stream = io.BytesIO(b"\n".join(lines))
        run_pipe(awkward_schedule(), PATH, journal, stream, out, iter(lambda: 1e9, None))
        for answer in out.getvalue().splitlines():
            assert json.loads(answer)["kind"] in KINDS
        for day in journal.days():
            replay(journal.schedule(day.id), journal.events(day.id))


def _from(state: State, lines: list[bytes]) -> None:
    schedule = awkward_schedule()
    with journal_in_memory() as journal:
        pipe = Pipe(schedule, PATH, journal)
        day_id = journal.begin_day(schedule, PATH, 1e9)
        pipe.session = Session(Keeper(journal, day_id), state)
        pipe.at = state.now_s
        for line in lines:
            _answered(pipe, line)


def _answered(pipe: Pipe, line: bytes) -> None:
    assert pipe.session is not None
    before, at = pipe.session.state, pipe.at
    answers = pipe.answer(line, 1e9)
    assert pipe.at >= at, "time went back"
    if not line.strip():
        assert not answers
        return
    assert [answer["kind"] for answer in answers].index("idle") == len(answers) - 1
    for answer in answers:
        assert answer["kind"] in KINDS
        assert json.loads(json.dumps(answer, allow_nan=False)) == answer
        if "text" in answer:
            assert answer["text"].isprintable(), "words that a terminal would act on"
    if answers[0]["kind"] == "error" and pipe.at == at:
        assert pipe.session.state == before, "a line that was refused changed the day"
