"""A rehearsed day on one page, and what advice made of it."""

from collections.abc import Callable, Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from assistant.advice import figures
from assistant.day.effects import Why
from assistant.rehearsal.day import planned_pitch_min, rehearse
from assistant.rehearsal.folding import Row, folded, unfolded
from assistant.rehearsal.rehearsed import Rehearsed
from assistant.rehearsal.saying import Ear, First, Sentence
from assistant.rehearsal.truths import INSTRUCTIVE
from assistant.schedule.model import Schedule, Units

SEED = 11
"""The day that is shown; any other number gives another brewer's pauses."""


def rehearse_command(
    schedule: Schedule, console: Console, everything: bool = False, ear: Ear | None = None
) -> None:
    """Rehearse a schedule and print its day; ``everything`` prints all that was said.

    The kettle is made to differ from its card. The same day is also lived without advice, for
    the table at the end; with an ``ear`` only the advised day is heard by it, and scored. Nothing
    is printed before both have ended. Raises :class:`~assistant.rehearsal.day.Stuck` if a day does
    not end, and what ``ear`` raises.
    """
    without = rehearse(schedule, INSTRUCTIVE, SEED, follow_advice=False)
    advised = rehearse(schedule, INSTRUCTIVE, SEED, follow_advice=True, ear=ear)
    console.print(
        Text(f"{schedule.beer}, rehearsed on a kettle that is not quite as its card says.", "bold")
    )
    console.print(talk(unfolded(advised.log) if everything else folded(advised.log)))
    console.print(closing(without, advised))
    if advised.sentences:
        console.print(Text(score(advised.sentences), "bold"))


def score(sentences: Sequence[Sentence]) -> str:
    """How the brewer was heard, in a line; what is said again or answered is not counted.

    ``12 sentences spoken: 10 right at once, 1 asked about, 1 not caught, 0 heard wrong; 0 wrong
    and kept, 1 typed in the end.``
    """
    first = ", ".join(
        f"{sum(one.first is kind for one in sentences)} {kind.value}" for kind in First
    )
    kept = sum(one.kept_wrong for one in sentences)
    typed = sum(one.typed for one in sentences)
    spoken = figures.counted(str(len(sentences)), "sentence")
    return f"{spoken} spoken: {first}; {kept} wrong and kept, {typed} typed in the end."


def talk(rows: list[Row]) -> Table:
    """The talk of a day: hours and minutes, what the program said, what the brewer said.

    A stage's heading stands before what is said first in it.
    """
    table = Table.grid(padding=(0, 1), expand=True)
    table.add_column(width=4, no_wrap=True, style="dim")
    table.add_column(ratio=2)
    table.add_column(ratio=1, style="cyan")
    table.add_row("", Text("the program", "dim"), Text("the brewer", "dim"))
    headed = Text()
    for row in rows:
        if row.heading:
            if headed:
                table.add_row(clock(row.at), headed, "")
            headed = Text(f"{heading(row.program)}  ", "bold green")
            continue
        said = Text.assemble(headed, _program(row))
        table.add_row(clock(row.at), said, Text(", ".join(_shortened(row.brewer))))
        headed = Text()
    return table


def _program(row: Row) -> Text:
    style = "yellow" if row.advice else "bold red" if row.warning else ""
    again = f" [{row.times} times]" if row.times > 1 and not row.asks else ""
    return Text(f"{row.program}{again}", style)


def _shortened(said: tuple[str, ...]) -> list[str]:
    """Readings of one quantity after one another, its name only with the first.

    What was not heard as it was said, and what is told of it, stands in full.
    """
    shown: list[str] = []
    before = ""
    for words in said:
        if words.endswith(")"):
            shown.append(words)
            before = ""
            continue
        name, _, figure = words.replace(" is ", " ").rpartition(" ")
        shown.append(figure if name and name == before else words)
        before = name
    return shown


def heading(stage: str) -> str:
    """A stage's heading: ``BOIL UP``, ``MASH: BETA``."""
    return stage.replace("_", " ").upper()


def clock(at_s: float) -> str:
    """``1:05``: hours and minutes since the day began."""
    minutes = int(at_s // 60)
    return f"{minutes // 60}:{minutes % 60:02}"


def closing(without: Rehearsed, advised: Rehearsed) -> Table:
    """Planned, reached without advice and with it, and what changed it."""
    units = advised.schedule.units
    table = Table(box=None, padding=(0, 2, 0, 0), title_justify="left")
    for title in ("", "planned", "without advice", "with advice", "what changed it"):
        table.add_column(title, header_style="bold")
    for name, planned, figure, changed in ROWS:
        cells = (
            planned(advised, units),
            figure(without, units),
            figure(advised, units),
            changed(advised),
        )
        # A hop may be called [bold] and is no order to the printer for that.
        table.add_row(name, *map(Text, cells))
    return table


def _taken(*abouts: str) -> Callable[[Rehearsed], str]:
    """The options taken about some quantities, and how often each."""

    def words(day: Rehearsed) -> str:
        says = [answer.say for answer in day.answers if answer.about in abouts]
        counted = {say: says.count(say) for say in says if say != "leave it"}
        parts = [say if times == 1 else f"{say}, {times} times" for say, times in counted.items()]
        return "; ".join(parts) or "nothing"

    return words


def _hops(day: Rehearsed) -> str:
    late = [
        line.text.rstrip(".")
        for line in day.log
        if line.why is Why.READBACK and line.text.endswith(" late.")
    ]
    taken = _taken("additions")(day)
    return "; ".join([*late, *([] if taken == "nothing" else [taken])]) or "nothing"


def _pitching(day: Rehearsed) -> str:
    late_min = day.reached.late_min
    side = "later" if late_min > 0 else "earlier"
    taken = _taken("fermenter_temperature")(day)
    off = f"{figures.duration(abs(late_min) * 60)} {side} than planned"
    return off if taken == "nothing" else f"{off}; {taken}"


Figure = Callable[[Rehearsed, Units], str]

ROWS: tuple[tuple[str, Figure, Figure, Callable[[Rehearsed], str]], ...] = (
    (
        "original gravity",
        lambda day, units: figures.gravity(day.plan.original_gravity),
        lambda day, units: figures.gravity(day.reached.original_gravity),
        _taken("gravity", "volume"),
    ),
    (
        "in the fermenter",
        lambda day, units: figures.volume(day.plan.fermenter_volume_l, units),
        lambda day, units: figures.volume(day.reached.fermenter_volume_l, units),
        lambda day: "nothing" if _taken("gravity", "volume")(day) == "nothing" else "the same",
    ),
    (
        "bitterness",
        lambda day, units: f"{day.plan.ibu:.0f} IBU",
        lambda day, units: f"{day.reached.ibu:.0f} IBU",
        _hops,
    ),
    (
        "first rest",
        lambda day, units: figures.temperature(day.schedule.mash[0].temperature_c, units),
        lambda day, units: figures.temperature(day.reached.rests[0].mean_c, units),
        _taken("mash_temperature", "water_temperature"),
    ),
    (
        "yeast in at",
        lambda day, units: clock(planned_pitch_min(day.plan) * 60),
        lambda day, units: clock(day.reached.pitched_at_s),
        _pitching,
    ),
)
