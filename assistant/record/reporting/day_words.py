"""The day itself in words: what it came to and why, its course, what was read, done and said."""

from collections.abc import Iterator

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.mash_minerals import amount
from assistant.day.events import Source
from assistant.day.incidents import incident_words
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.state import Reading
from assistant.record.page import Clock
from assistant.record.reporting.account import (
    Account,
    AdditionAccount,
    Figure,
    Milestone,
    StageSpent,
)
from assistant.record.reporting.followed import Answer, SeenReading
from assistant.record.reporting.names import FATE_WORDS, FIGURE_NAMES, STAGE_NAMES
from assistant.record.reporting.quantities import (
    NONE,
    in_words,
    moved_in_all,
)
from assistant.record.reporting.recipe_words import when
from assistant.record.reporting.section import Chart, Paragraph, Section, Table
from assistant.record.reporting.through_the_day import through_the_day
from assistant.schedule.model import Units

ON_TIME_S = 60.0

MOST_READINGS = 300
"""More readings than this are thinned out on a page: those of a sensor, evenly."""


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


def course_section(account: Account, clock: Clock) -> Section:
    """Temperature, volume and gravity through the day, and how the rests were held."""
    units = account.schedule.units
    held = tuple(
        (
            rest.rest,
            figures.temperature_read(rest.wanted_c, units),
            figures.temperature_read(rest.mean_c, units),
            f"{figures.degrees_read(rest.lowest_c, units)} to "
            f"{figures.temperature_read(rest.highest_c, units)}",
            f"{clock.time(rest.from_s)} to {clock.time(rest.until_s)}",
        )
        for rest in account.held
    )
    rows = tuple(
        (
            clock.time(then.at_s),
            _degrees(then.planned_c, units),
            _degrees(then.believed.temperature_c if then.believed else None, units),
            _volume(then.believed.volume_l if then.believed else None, units),
            _gravity(then.believed.gravity if then.believed else None),
        )
        for then in through_the_day(account)
    )
    plan = account.plan
    planned = (
        ("strike water", figures.volume(plan.strike_volume_l, units), ""),
        (
            "before the boil",
            figures.volume(plan.preboil_volume_l, units),
            figures.gravity(plan.preboil_gravity),
        ),
        (
            "after the boil",
            figures.volume(plan.postboil_volume_l, units),
            figures.gravity(plan.postboil_gravity),
        ),
        (
            "in the fermenter",
            figures.volume(plan.fermenter_volume_l, units),
            figures.gravity(plan.original_gravity),
        ),
    )
    return Section(
        key="course",
        title="Through the day",
        tables=(
            Table(
                caption="How the rests were held, as believed",
                header=("rest", "wanted", "held on average", "from lowest to highest", "when"),
                rows=held,
            ),
            Table(
                caption="Temperature of the kettle, volume and gravity, as then believed",
                header=("time", "planned", "believed", "volume", "gravity"),
                rows=rows,
            ),
            Table(
                caption="Volume and gravity by plan",
                header=("when", "volume", "gravity"),
                rows=planned if rows else (),
            ),
        ),
        charts=(Chart.TEMPERATURE, Chart.WORT) if rows else (),
    )


def _degrees(value_c: float | None, units: Units) -> str:
    return "" if value_c is None else figures.temperature_read(value_c, units)


def _volume(litres: float | None, units: Units) -> str:
    return "" if litres is None else figures.volume(litres, units)


def _gravity(value: float | None) -> str:
    return "" if value is None else figures.gravity(value)


def stage_section(account: Account, clock: Clock) -> Section:
    """Every stage and rest with its time and length."""
    rows = tuple(_stage_row(spent, clock) for spent in account.stages)
    header = ("stage", "began", "took", "planned")
    table = Table(caption="Every stage and rest", header=header, rows=rows)
    return Section(key="stages", title="Stages", tables=(table,))


def _stage_row(spent: StageSpent, clock: Clock) -> tuple[str, str, str, str]:
    name = STAGE_NAMES[spent.stage]
    if spent.rest is not None:
        name = f"{name}, {spent.rest}"
    began = clock.time(spent.from_s)
    if spent.planned_s is None:
        return name, began, "", ""
    planned = figures.duration(spent.planned_s)
    if spent.with_heating:
        planned += " and the heating"
    return name, began, figures.duration(spent.until_s - spent.from_s), planned


def reading_section(account: Account, clock: Clock) -> Section:
    """Every reading as it was said and as it is kept, and those that were taken back."""
    units = account.schedule.units
    shown = _thinned(account.readings)
    table = Table(
        caption="Every reading, as said and as kept",
        header=("time", "quantity", "as said", "as kept", "taken back"),
        rows=tuple(
            (
                clock.time(seen.reading.at),
                figures.sentence(QUANTITIES[seen.reading.quantity].spoken),
                said_words(seen.reading, units),
                QUANTITIES[seen.reading.quantity].show(seen.reading.value, units),
                "" if seen.taken_back_s is None else f"at {clock.time(seen.taken_back_s)}",
            )
            for seen in shown
        ),
    )
    left_out = len(account.readings) - len(shown)
    remark = (
        Paragraph(
            head="",
            text=f"Of {len(account.readings)} readings, {left_out} of a sensor are left out here; "
            "--csv has them all.",
        ),
    )
    return Section(
        key="readings",
        title="Readings",
        tables=(table,),
        paragraphs=remark if left_out else (),
    )


def _thinned(readings: tuple[SeenReading, ...]) -> list[SeenReading]:
    """The readings with those of a sensor thinned out evenly where there are too many."""
    if len(readings) <= MOST_READINGS:
        return list(readings)
    streamed = sum(seen.source is Source.SENSOR for seen in readings)
    room = max(MOST_READINGS - (len(readings) - streamed), 20)
    every = max(-(-streamed // room), 1)
    shown, count = [], 0
    for seen in readings:
        if seen.source is not Source.SENSOR:
            shown.append(seen)
            continue
        if count % every == 0:
            shown.append(seen)
        count += 1
    return shown


def said_words(reading: Reading, units: Units) -> str:
    """A reading as it came: ``149.9 degF``, ``1.047 at 21 degrees``."""
    if reading.quantity is Quantity.BOILING:
        return "yes" if reading.said else "no"
    said = f"{figures.number(reading.said, 3)} {reading.said_unit}"
    if reading.said_unit == "SG":
        said = figures.gravity(reading.said)
    if reading.sample_c is None:
        return said
    return f"{said} at {figures.temperature_read(reading.sample_c, units)}"


def addition_section(account: Account, clock: Clock) -> Section:
    """Every salt and addition as planned and as it went in, and what bitterness it brought."""
    units = account.schedule.units
    stirred = [
        (
            one.item,
            amount(Action(do=Do.ADD, item=one.item, grams=one.grams, millilitres=one.millilitres)),
            "",
            "",
            "left out" if one.left_out else clock.time(one.at_s),
        )
        for one in account.stirred
    ]
    went_in = [_addition_row(line, units, clock) for line in account.additions]
    return Section(
        key="additions",
        title="Additions",
        tables=(
            Table(
                caption="What went in, and when",
                header=("addition", "weight", "planned", "by the clock", "went in"),
                rows=(*stirred, *went_in),
            ),
        ),
    )


def _addition_row(
    line: AdditionAccount, units: Units, clock: Clock
) -> tuple[str, str, str, str, str]:
    weight = figures.weight(line.weight_g, units)
    if line.planned_g is not None and line.weight_g != line.planned_g:
        weight += f" ({figures.weight(line.planned_g, units)} planned)"
    planned = "" if line.extra else when(line.addition)
    due = "" if line.due_s is None else clock.time(line.due_s)
    went_in = FATE_WORDS.get(line.fate, "in")
    if line.in_s is not None:
        went_in = clock.time(line.in_s)
        if line.boiled_min is not None:
            went_in += f", boiled {figures.duration(line.boiled_min * 60)}"
    return line.name, weight, planned, due, went_in


def bitterness_section(account: Account) -> Section:
    """What bitterness each addition was to bring and brought."""
    units = account.schedule.units
    lines = [line for line in account.additions if line.ibu is not None]
    rows = tuple(
        (
            line.name,
            _beside(
                figures.weight(line.weight_g, units),
                None if line.planned_g is None else figures.weight(line.planned_g, units),
            ),
            _beside(
                in_words(line.boiled_min, "min", units),
                in_words(line.planned_boiled_min, "min", units),
            ),
            _beside(
                in_words(line.hot_min, "min", units),
                in_words(line.planned_hot_min, "min", units),
            ),
            _beside(
                f"{line.ibu:.1f} IBU",
                None if line.planned_ibu is None else f"{line.planned_ibu:.1f} IBU",
            ),
        )
        for line in lines
    )
    return Section(
        key="bitterness",
        title="Bitterness as brewed",
        tables=(
            Table(
                caption="As brewed, with the plan in brackets; hot time after the boil counts as "
                "so much boil",
                header=("hops", "weight", "boiled", "hot after it", "bitterness"),
                rows=rows,
            ),
        ),
        charts=(Chart.BITTERNESS,) if rows else (),
    )


def _beside(was: str, planned: str | None) -> str:
    """``25 grams (24 grams)``: a figure with the plan's in brackets, where there is one."""
    return f"{was} ({planned})".strip() if planned else was


def advice_section(account: Account, clock: Clock) -> Section:
    """What was found and chosen, and where that was to lead."""
    paragraphs = []
    for advice in account.advice:
        text = f"{figures.sentence(advice.finding)}. "
        if advice.chosen is None:
            text += f"Offered: {_quoted(advice.options)}. Not answered."
        else:
            text += f"Chosen: {advice.chosen}. Then: {advice.effect}."
            others = tuple(option for option in advice.options if option != advice.chosen)
            if others:
                text += f" Offered as well: {_quoted(others)}."
            if advice.recommended not in (None, advice.chosen):
                text += f" Recommended was: {advice.recommended}."
        at_s = advice.at_s if advice.chosen_s is None else advice.chosen_s
        paragraphs.append(Paragraph(head=clock.time(at_s), text=text))
    return Section(key="advice", title="Advice taken", paragraphs=tuple(paragraphs))


def _quoted(options: tuple[str, ...]) -> str:
    return ", ".join(f'"{option}"' for option in options)


ANSWER_WORDS = {
    Answer.YES: "Answered yes",
    Answer.NO: "Answered no",
    Answer.DROPPED: "Not answered",
    Answer.OPEN: "Still open",
}


def slip_section(account: Account, clock: Clock) -> Section:
    """What was asked about before it counted, and what was taken back."""
    told = [
        (
            asked.at_s,
            f"Asked: {asked.text} {ANSWER_WORDS[asked.answer]}"
            + ("." if asked.answered_s is None else f" at {clock.time(asked.answered_s)}."),
        )
        for asked in account.asked
    ] + [
        (back.at_s, f"Taken back: {back.what}, of {clock.time(back.done_s)}.")
        for back in account.taken_back
    ]
    paragraphs = [
        Paragraph(head=clock.time(at_s), text=text)
        for at_s, text in sorted(told, key=lambda each: each[0])
    ]
    return Section(key="slips", title="Asked and taken back", paragraphs=tuple(paragraphs))


def note_section(account: Account, clock: Clock) -> Section:
    """The brewer's own notes."""
    notes = [Paragraph(head=clock.time(note.at), text=note.text) for note in account.notes]
    return Section(key="notes", title="Notes", paragraphs=tuple(notes))


def incident_section(account: Account, clock: Clock) -> Section:
    """What befell the program itself."""
    told = [
        Paragraph(head=clock.time(incident.at), text=incident_words(incident))
        for incident in account.incidents
    ]
    return Section(key="incidents", title="The record and the clock", paragraphs=tuple(told))
