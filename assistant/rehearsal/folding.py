"""What of a day's talk goes on one page: the routine is folded away, what matters stays.

Folded: figures read back, cautions, heads-ups, the checklist after its first item, readings that
only ask for another, reminders said again, and words of the brewer that only mean "done". What is
said in one breath stands in one row. Kept: every warning, advice and what was chosen, every late
reminder, what the brewer asked and the answer, and whatever was not heard as it was said.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from assistant.day.effects import Why
from assistant.rehearsal.brewer import ASIDES
from assistant.rehearsal.rehearsed import Line, Who

LATE = ". Due "
"""What a reminder that is said again says about itself."""

UNASKED = frozenset(words for _, words in ASIDES.values())
BREATH_S = 3.0
REPLY_WITHIN_S = 1800.0
ROUTINE = frozenset({"done", "okay", "got it", "that's done", "aerated", "splashed"})
HEADS_UP = re.compile(r"(?!.*\bnow\b)(.+ )?[Ii]n \d+ (minutes?|seconds)[:.].*")
NEAR_TOO = re.compile(r"(?<=\.) In \d+ (minutes?|seconds): .*")
"""The heads-up at the end of a reminder of what is due."""

OVER = re.compile(r"(.+ is over|Heat off now|Chiller in now|Boil soon: .+)\.")
STILL_GOING = re.compile(
    r"About .+ more\.|I'll ask again in .+|Stirring is enough\.|Heat off in .+\.|"
    r"(Add|Top up|Stir in) .+ Say done\.|Full power now, .+|No more heat in this rest\."
)
BURST = re.compile(r"To hold .+ power for .+, stirring\.")
"""Heat that holds a rest: said again and again, told once."""

READING = re.compile(r"(.*(temperature|volume|gravity)( is)? |not yet|boiling)")


@dataclass(frozen=True, kw_only=True)
class Row:
    """A line of the page: a stage's heading, or what was said to whom and how it was answered.

    ``times`` counts how often the program said it.
    """

    at: float
    program: str = ""
    brewer: tuple[str, ...] = ()
    heading: bool = False
    advice: bool = False
    warning: bool = False
    times: int = 1

    @property
    def asks(self) -> bool:
        """Whether it asks for a reading."""
        return self.program.endswith("?") and not self.advice


def folded(log: Iterable[Line]) -> list[Row]:
    """The rows of a day for one page."""
    rows: list[Row] = []
    for line in log:
        if line.who is Who.DAY:
            rows.append(Row(at=line.at, program=line.text, heading=True))
        elif line.who is Who.PROGRAM:
            _program(rows, line)
        else:
            _brewer(rows, line)
    return rows


def unfolded(log: Iterable[Line]) -> list[Row]:
    """Every line of a day, one a row."""
    return [
        Row(
            at=line.at,
            program="" if line.who is Who.BREWER else line.text,
            brewer=(_with_note(line),) if line.who is Who.BREWER else (),
            heading=line.who is Who.DAY,
            advice=line.advice,
            warning=line.why is Why.WARNING,
        )
        for line in log
    ]


def is_routine(line: Line) -> bool:
    """Whether a line of the program's is left off the page."""
    late = line.text.endswith(" late.")
    return (
        (line.why is Why.READBACK and not late)
        or line.why is Why.CAUTION
        or (line.why is Why.REMINDER and _needs_no_row(line.text))
        or STILL_GOING.fullmatch(line.text) is not None
    )


def _needs_no_row(reminder: str) -> bool:
    return HEADS_UP.fullmatch(reminder) is not None or OVER.fullmatch(reminder) is not None


def _program(rows: list[Row], line: Line) -> None:
    if is_routine(line):
        return
    if not rows:
        rows.append(Row(at=line.at, program=line.text, warning=line.why is Why.WARNING))
        return
    last = rows[-1]
    if line.why is Why.PROMPT and last.program.endswith("all here?"):
        rows[-1] = replace(last, times=last.times + 1)
        return
    text = NEAR_TOO.sub("", line.text) if line.why is Why.REMINDER else line.text
    row = Row(at=line.at, program=text, advice=line.advice, warning=line.why is Why.WARNING)
    if _counted_before(rows, row):
        return
    if line.why is Why.ANSWER and last.brewer and not last.program:
        rows[-1] = replace(last, program=line.text)
        return
    one_breath = not (last.heading or last.advice or last.warning or last.brewer)
    if one_breath and not (row.advice or row.warning) and row.at - last.at < BREATH_S:
        rows[-1] = replace(last, program=f"{last.program} {row.program}")
    else:
        rows.append(row)


def _counted_before(rows: list[Row], row: Row) -> bool:
    """Count a question or a late reminder to the row that said it first in this stage."""
    late = LATE in row.program
    subject = row.program.split(LATE)[0]
    for index in range(len(rows) - 1, -1, -1):
        before = rows[index]
        if before.heading or (row.asks and before.advice):
            return False
        if BURST.fullmatch(row.program) and BURST.fullmatch(before.program):
            rows[index] = replace(before, times=before.times + 1)
            return True
        if row.asks and before.program == row.program:
            rows[index] = replace(before, times=before.times + 1)
            return True
        if late and before.program.rstrip(".").endswith(subject):
            rows[index] = replace(
                before, program=f"{before.program}{row.program[len(subject) + 1 :]}"
            )
            return True
        if late and LATE in before.program and before.program.startswith(subject):
            rows[index] = replace(before, times=before.times + 1)
            return True
    return False


def _brewer(rows: list[Row], line: Line) -> None:
    if line.text in ROUTINE and not line.note:
        return
    said = _with_note(line)
    index = _answered(rows, line)
    if index is None:
        rows.append(Row(at=line.at, brewer=(said,)))
    else:
        rows[index] = replace(rows[index], brewer=(*rows[index].brewer, said))


def _with_note(line: Line) -> str:
    return f"{line.text} ({line.note})" if line.note else line.text


def _answered(rows: list[Row], line: Line) -> int | None:
    """The row a sentence belongs to: for a reading the one that asked, else the last."""
    if line.text in UNASKED:
        return None
    if READING.match(line.text) is None:
        last = rows[-1]
        free = not (last.heading or last.brewer) and line.at - last.at <= REPLY_WITHIN_S
        return len(rows) - 1 if free else None
    for index in range(len(rows) - 1, -1, -1):
        if rows[index].heading:
            return None
        if "?" in rows[index].program and not rows[index].advice:
            return index
    return None
