"""Two days side by side: what each planned and came to, and what was done otherwise."""

from collections.abc import Callable
from dataclasses import replace
from datetime import tzinfo

from assistant.advice import figures
from assistant.advice.learned import Trait
from assistant.advice.timeline import Stage
from assistant.day.wording import STAGE_NAMES
from assistant.record.page import Clock
from assistant.record.reporting.account import Account, Figure, Taught
from assistant.record.reporting.comparing_beers import fermentations_beside
from assistant.record.reporting.comparing_recipes import additions_beside, counted, recipes_beside
from assistant.record.reporting.followed import Held
from assistant.record.reporting.laying import clock_of, head_lines
from assistant.record.reporting.names import FIGURE_NAMES
from assistant.record.reporting.outcome_words import figure_words
from assistant.record.reporting.quantities import (
    NONE,
    TRAIT_NAMES,
    gravity_moved,
    ibu_moved,
    more_or_less,
    trait_words,
    volume_moved,
)
from assistant.record.reporting.section import Chart, Laid, Paragraph, Section, Table
from assistant.schedule.faults import harmless
from assistant.schedule.model import Units


def compared(one: Account, other: Account, *, zone: tzinfo | None = None) -> Laid:
    """Two days laid out side by side, in the units of the first."""
    units = one.schedule.units
    other = replace(other, schedule=replace(other.schedule, units=units))
    clocks = clock_of(one, zone), clock_of(other, zone)
    names = f"day {one.day.id}", f"day {other.day.id}"
    if one.day.id == other.day.id:
        names = f"day {one.day.id}", "the same"
    sections = (
        _outcomes(one, other, names),
        fermentations_beside(one, other, names),
        _moments(one, other, names, clocks),
        _stages(one, other, names),
        _rests(one, other, names),
        _kettle(one, other, names),
        recipes_beside(one, other, names),
        additions_beside(one, other, names),
        _advice(one, other, names, clocks),
    )
    beers = harmless(one.schedule.beer), harmless(other.schedule.beer)
    title = beers[0] if beers[0] == beers[1] else f"{beers[0]} and {beers[1]}"
    return Laid(
        title=f"{title}, side by side",
        lines=(*head_lines(one, clocks[0]), *head_lines(other, clocks[1])),
        sections=tuple(section for section in sections if not section.empty),
    )


Names = tuple[str, str]


def _outcomes(one: Account, other: Account, names: Names) -> Section:
    units = one.schedule.units
    pairs = list(zip(one.outcomes, other.outcomes, strict=True))
    rows = tuple(
        (
            FIGURE_NAMES[a.figure],
            figure_words(a.figure, a.planned, units),
            figure_words(a.figure, a.reached, units),
            figure_words(b.figure, b.planned, units),
            figure_words(b.figure, b.reached, units),
            _moved(a.figure, a.reached, b.reached, units),
        )
        for a, b in pairs
    )
    header = (
        "figure",
        f"{names[0]} planned",
        "reached",
        f"{names[1]} planned",
        "reached",
        "the second came to",
    )
    table = Table(caption="The beer", header=header, rows=rows)
    return Section(
        key="outcome", title="The beer", tables=(table,), charts=(Chart.BOTH_TEMPERATURES,)
    )


def _moved(figure: Figure, a: float | None, b: float | None, units: Units) -> str:
    """How much more or less the second came to than the first."""
    if a is None or b is None:
        return NONE
    return DIFFERENCES[figure](b - a, units) or "the same"


def _percent_moved(difference: float, units: Units) -> str:
    return more_or_less(difference, f"{figures.number(abs(difference), 1)} %", 0.05)


DIFFERENCES: dict[Figure, Callable[[float, Units], str]] = {
    Figure.VOLUME: volume_moved,
    Figure.GRAVITY: lambda difference, units: gravity_moved(difference),
    Figure.BITTERNESS: lambda difference, units: ibu_moved(difference),
    Figure.ALCOHOL: _percent_moved,
    Figure.EXTRACT: _percent_moved,
}


def _moments(one: Account, other: Account, names: Names, clocks: tuple[Clock, Clock]) -> Section:
    rows = []
    for a, b in zip(one.milestones, other.milestones, strict=True):
        took = [
            None if m.reached_s is None else m.reached_s - account.began_s
            for m, account in ((a, one), (b, other))
        ]
        rows.append(
            (
                a.name,
                NONE if a.reached_s is None else clocks[0].time(a.reached_s),
                _since(took[0]),
                NONE if b.reached_s is None else clocks[1].time(b.reached_s),
                _since(took[1]),
                _later(took[0], took[1]),
            )
        )
    header = (
        "moment",
        names[0],
        "after",
        names[1],
        "after",
        "the second was",
    )
    table = Table(
        caption="The great moments, and how long after the start", header=header, rows=tuple(rows)
    )
    return Section(key="moments", title="The great moments", tables=(table,))


def _since(seconds: float | None) -> str:
    return NONE if seconds is None else figures.duration(seconds)


def _later(a: float | None, b: float | None) -> str:
    if a is None or b is None:
        return NONE
    if abs(b - a) < 60:
        return "the same"
    return f"{figures.duration(abs(b - a))} {'later' if b > a else 'sooner'}"


def _stages(one: Account, other: Account, names: Names) -> Section:
    rows = tuple(
        (
            STAGE_NAMES[stage],
            *(_since(took) for took in both),
            _longer(*both),
        )
        for stage in Stage
        if stage is not Stage.FINISHED
        for both in [(_took_s(one, stage), _took_s(other, stage))]
        if both != (None, None)
    )
    header = ("stage", names[0], names[1], "the second took")
    table = Table(caption="How long each stage took", header=header, rows=rows)
    return Section(key="stages", title="Stages", tables=(table,))


def _took_s(account: Account, stage: Stage) -> float | None:
    spent = [each.until_s - each.from_s for each in account.stages if each.stage is stage]
    return sum(spent) if spent else None


def _longer(a: float | None, b: float | None) -> str:
    if a is None or b is None:
        return NONE
    return more_or_less(b - a, figures.duration(abs(b - a)), 60.0) or "the same"


def _rests(one: Account, other: Account, names: Names) -> Section:
    units = one.schedule.units
    held = [dict(counted((rest.rest, rest) for rest in each.held)) for each in (one, other)]
    rows = tuple(
        (name, *(_rest_words(rests.get(name), units) for rests in held))
        for name in dict.fromkeys([*held[0], *held[1]])
    )
    header = ("rest", names[0], names[1])
    table = Table(caption="How the rests were held", header=header, rows=rows)
    return Section(key="rests", title="Rests", tables=(table,))


def _rest_words(rest: Held | None, units: Units) -> str:
    if rest is None:
        return NONE
    held, wanted = (
        figures.temperature_read(rest.mean_c, units),
        figures.degrees_read(rest.wanted_c, units),
    )
    return f"{held} ({wanted} wanted)"


def _kettle(one: Account, other: Account, names: Names) -> Section:
    units = one.schedule.units
    known: list[dict[Trait, Taught]] = [
        {taught.trait: taught for taught in account.taught} for account in (one, other)
    ]
    rows = tuple(
        (
            figures.sentence(TRAIT_NAMES[trait]),
            *(
                trait_words(trait, figures_of[trait].value, units) if trait in figures_of else NONE
                for figures_of in known
            ),
        )
        for trait in Trait
        if any(trait in figures_of for figures_of in known)
    )
    kettles = [harmless(account.schedule.kettle.name) for account in (one, other)]
    header = (
        "figure",
        f"{names[0]}, {kettles[0]}",
        f"{names[1]}, {kettles[1]}",
    )
    table = Table(caption="The kettle as believed at the end", header=header, rows=rows)
    return Section(key="kettle", title="The kettle as learned", tables=(table,))


def _advice(one: Account, other: Account, names: Names, clocks: tuple[Clock, Clock]) -> Section:
    told = tuple(
        Paragraph(
            head=f"{name}, {clock.time(advice.chosen_s or advice.at_s)}",
            text=f"{figures.sentence(advice.finding)}. "
            + ("Not answered." if advice.chosen is None else f"Chosen: {advice.chosen}."),
        )
        for account, name, clock in zip((one, other), names, clocks, strict=True)
        for advice in account.advice
    )
    return Section(key="advice", title="Advice", paragraphs=told)
