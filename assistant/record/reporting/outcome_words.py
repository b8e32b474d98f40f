"""What a day came to and why, in words: the figures of the beer and the great moments."""

from collections.abc import Iterator

from assistant.advice import figures
from assistant.day.wording import STAGE_NAMES
from assistant.record.page import Clock
from assistant.record.reporting.account import Account, Figure, Milestone
from assistant.record.reporting.names import FIGURE_NAMES
from assistant.record.reporting.quantities import NONE, in_words, moved_in_all
from assistant.record.reporting.section import Paragraph, Section, Table
from assistant.schedule.model import Units

ON_TIME_S = 60.0


def outcome_section(account: Account, clock: Clock) -> Section:
    """Each figure of the beer and each great moment: planned and reached."""
    units = account.schedule.units
    figures_of_it = tuple(
        (
            FIGURE_NAMES[outcome.figure],
            figure_words(outcome.figure, outcome.planned, units),
            figure_words(outcome.figure, outcome.reached, units),
            outcome.known.value,
        )
        for outcome in account.outcomes
    )
    moments = tuple(
        (
            moment.name,
            clock.time(moment.planned_s),
            NONE if moment.reached_s is None else clock.time(moment.reached_s),
            "" if moment.reached_s is None else late_words(moment.reached_s - moment.planned_s),
        )
        for moment in account.milestones
    )
    return Section(
        key="outcome",
        title="Planned and reached",
        tables=(
            Table(
                caption="The beer",
                header=("figure", "planned", "reached", "how it is known"),
                rows=figures_of_it,
            ),
            Table(
                caption="The great moments",
                header=("moment", "planned", "reached", "how late"),
                rows=moments,
            ),
        ),
    )


def reason_section(account: Account) -> Section:
    """What moved the beer and the day off their plan."""
    units = account.schedule.units
    rows = tuple(
        (
            figures.sentence(reason.cause.value),
            in_words(reason.planned, reason.unit, units),
            in_words(reason.was, reason.unit, units),
            moved_in_all(reason.volume_l, reason.gravity, reason.ibu, units),
        )
        for reason in account.reasons
    )
    return Section(
        key="reasons",
        title="Why it came out so",
        tables=(
            Table(
                caption="What moved the beer in the fermenter, each by itself",
                header=("what", "planned", "was", "moved it by"),
                rows=rows,
            ),
        ),
        paragraphs=tuple(_why_late(account.milestones)),
    )


def _why_late(milestones: tuple[Milestone, ...]) -> Iterator[Paragraph]:
    for moment in milestones:
        if moment.because:
            told = [
                f"{STAGE_NAMES[stage].lower()} took {figures.duration(abs(longer_s))} "
                f"{'longer' if longer_s > 0 else 'less'} than planned"
                for stage, longer_s in moment.because
            ]
            yield Paragraph(head=moment.name, text=f"{figures.sentence(figures.listed(told))}.")


def figure_words(figure: Figure, value: float | None, units: Units) -> str:
    """A figure of the beer in the brewer's units."""
    if value is None:
        return NONE
    match figure:
        case Figure.VOLUME:
            return figures.volume(value, units)
        case Figure.GRAVITY:
            return figures.gravity(value)
        case Figure.BITTERNESS:
            return f"{value:.0f} IBU"
        case Figure.ALCOHOL:
            return f"{value:.1f} %"
        case Figure.EXTRACT:
            return f"{value:.0f} %"


def late_words(late_s: float) -> str:
    """``10 minutes late``, ``on time``."""
    if abs(late_s) < ON_TIME_S:
        return "on time"
    return f"{figures.duration(abs(late_s))} {'late' if late_s > 0 else 'early'}"
