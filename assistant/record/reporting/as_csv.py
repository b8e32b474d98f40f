"""The account of a day as one tidy table (RFC 4180): a row to each figure and each event."""

import csv
import io
from collections.abc import Callable, Iterator
from datetime import tzinfo

from assistant.day.incidents import incident_words
from assistant.day.quantities import QUANTITIES
from assistant.record.page import Clock
from assistant.record.reporting.account import Account
from assistant.record.reporting.deviation_words import found_and_meant
from assistant.record.reporting.fermentation_csv import fermentation_rows
from assistant.record.reporting.fermentation_words import beer_clock
from assistant.record.reporting.laying import clock_of
from assistant.record.reporting.names import FATE_WORDS
from assistant.record.reporting.quantities import TRAIT_UNITS
from assistant.record.reporting.table_row import TableRow
from assistant.record.reporting.through_the_day import planned_c
from assistant.schedule.faults import harmless

COLUMNS = ("at_s", "clock", "kind", "what", "value", "unit", "planned", "note")

TAKEN_AS_FORMULA = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""What a spreadsheet takes for the beginning of a formula, the wide signs of Asia included."""

LONGEST_CELL = 5000


def as_csv(account: Account, *, zone: tzinfo | None = None) -> str:
    """The table with its header; clock times are those of ``zone``, None for this machine's.

    Numbers stand as they are, in the unit beside them; a cell of text that a spreadsheet would
    work out as a formula begins with an apostrophe.
    """
    clock, told = clock_of(account, zone), account.fermentation
    later = clock if told is None else beer_clock(told, clock)
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for part in PARTS:
        for row in part(account):
            writer.writerow(_cells(row, later if row.in_fermenter else clock))
    return text.getvalue()


def _cells(row: TableRow, clock: Clock) -> tuple[str, ...]:
    at = "" if row.at_s is None else clock.moment(row.at_s).isoformat(timespec="seconds")
    return (
        _number(row.at_s),
        at,
        row.kind,
        _harmless(row.what),
        _number(row.value),
        row.unit,
        _number(row.planned),
        _harmless(row.note),
    )


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.10g}"


def _harmless(text: str) -> str:
    """Text on one line that no spreadsheet works out."""
    plain = harmless(" ".join(text.split()), LONGEST_CELL)
    return f"'{plain}" if plain.startswith(TAKEN_AS_FORMULA) else plain


def _figures(account: Account) -> Iterator[TableRow]:
    for outcome in account.outcomes:
        yield TableRow(
            kind="figure",
            what=outcome.figure.value,
            value=outcome.reached,
            unit=outcome.figure.unit,
            planned=outcome.planned,
            note=outcome.known.value,
        )


def _reasons(account: Account) -> Iterator[TableRow]:
    for reason in account.reasons:
        moved = (("L", reason.volume_l), ("SG", reason.gravity), ("IBU", reason.ibu))
        for unit, value in moved:
            if value:
                yield TableRow(kind="reason", what=reason.cause.value, value=value, unit=unit)


def _moments(account: Account) -> Iterator[TableRow]:
    for moment in account.milestones:
        yield TableRow(
            kind="moment",
            what=moment.name,
            at_s=moment.reached_s,
            value=moment.reached_s,
            unit="s",
            planned=moment.planned_s,
        )


def _stages(account: Account) -> Iterator[TableRow]:
    for spent in account.stages:
        yield TableRow(
            kind="stage",
            what=spent.stage.value if spent.rest is None else f"{spent.stage.value}: {spent.rest}",
            at_s=spent.from_s,
            value=spent.until_s - spent.from_s,
            unit="s",
            planned=spent.planned_s,
            note="and the heating is planned" if spent.with_heating else "",
        )


def _rests(account: Account) -> Iterator[TableRow]:
    for rest in account.held:
        yield TableRow(
            kind="rest",
            what=rest.rest,
            at_s=rest.from_s,
            value=rest.mean_c,
            unit="degC",
            planned=rest.wanted_c,
            note=f"{rest.lowest_c:.1f} to {rest.highest_c:.1f} degC",
        )


def _readings(account: Account) -> Iterator[TableRow]:
    for seen in account.readings:
        reading = seen.reading
        said = f"{reading.said:.10g} {reading.said_unit}"
        if reading.sample_c is not None:
            said += f" at {reading.sample_c:.4g} degC"
        back = "" if seen.taken_back_s is None else f"; taken back at {seen.taken_back_s:.10g} s"
        yield TableRow(
            kind="reading" if seen.taken_back_s is None else "reading taken back",
            what=reading.quantity.value,
            at_s=reading.at,
            value=reading.value,
            unit=QUANTITIES[reading.quantity].unit,
            note=f"said {said}, by {seen.source.value}{back}",
        )


def _believed(account: Account) -> Iterator[TableRow]:
    for moment in account.believed:
        figures = (
            ("temperature", moment.temperature_c, "degC"),
            ("volume", moment.volume_l, "L"),
            ("gravity", moment.gravity, "SG"),
        )
        for what, value, unit in figures:
            if value is not None:
                planned = planned_c(account.planned_course, moment.at_s)
                yield TableRow(
                    kind="believed",
                    what=what,
                    at_s=moment.at_s,
                    value=value,
                    unit=unit,
                    planned=planned if what == "temperature" else None,
                    note=moment.place.value,
                )


def _additions(account: Account) -> Iterator[TableRow]:
    for line in account.additions:
        yield TableRow(
            kind="addition",
            what=line.name,
            at_s=line.in_s,
            value=line.weight_g,
            unit="g",
            planned=line.planned_g,
            note=FATE_WORDS.get(line.fate, "in"),
        )
        if line.boiled_min is not None or line.planned_boiled_min is not None:
            yield TableRow(
                kind="boiled",
                what=line.name,
                at_s=line.in_s,
                value=line.boiled_min,
                unit="min",
                planned=line.planned_boiled_min,
            )
        if line.ibu is not None:
            yield TableRow(
                kind="bitterness",
                what=line.name,
                at_s=line.in_s,
                value=line.ibu,
                unit="IBU",
                planned=line.planned_ibu,
            )
    for one in account.stirred:
        yield TableRow(
            kind="salt",
            what=one.item,
            at_s=one.at_s,
            value=one.grams if one.millilitres is None else one.millilitres,
            unit="g" if one.millilitres is None else "mL",
            note="left out" if one.left_out else "in",
        )


def _advice(account: Account) -> Iterator[TableRow]:
    for advice in account.advice:
        chosen = "not answered" if advice.chosen is None else f"chosen: {advice.chosen}"
        then = "" if advice.effect is None else f"; then: {advice.effect}"
        yield TableRow(
            kind="advice",
            what=advice.finding,
            at_s=advice.at_s if advice.chosen_s is None else advice.chosen_s,
            note=f"{chosen}{then}",
        )


def _deviations(account: Account) -> Iterator[TableRow]:
    for deviation in account.deviations:
        found, meant = found_and_meant(deviation, account.schedule.units)
        yield TableRow(
            kind="deviation",
            what=f"{deviation.off.value}: {deviation.name}",
            at_s=deviation.at_s,
            value=deviation.was,
            unit=deviation.unit,
            planned=deviation.planned,
            note=f"{found} {meant}",
        )


def _kettle(account: Account) -> Iterator[TableRow]:
    for taught in account.taught:
        yield TableRow(
            kind="kettle",
            what=taught.trait.value,
            value=taught.value,
            unit=TRAIT_UNITS[taught.trait],
            planned=taught.before,
            note=f"give or take {taught.spread:.4g}; card {taught.card:.4g}",
        )


def _told(account: Account) -> Iterator[TableRow]:
    for asked in account.asked:
        yield TableRow(kind="asked", what=asked.text, at_s=asked.at_s, note=asked.answer.value)
    for back in account.taken_back:
        done = f"done at {back.done_s:.10g} s"
        yield TableRow(kind="taken back", what=back.what, at_s=back.at_s, note=done)
    for note in account.notes:
        yield TableRow(kind="note", what="note", at_s=note.at, note=note.text)
    for incident in account.incidents:
        yield TableRow(
            kind="incident",
            what=type(incident).__name__,
            at_s=incident.at,
            note=incident_words(incident),
        )


PARTS: tuple[Callable[[Account], Iterator[TableRow]], ...] = (
    _figures,
    _reasons,
    _moments,
    _stages,
    _rests,
    _additions,
    _readings,
    _believed,
    _advice,
    _deviations,
    _kettle,
    _told,
    fermentation_rows,
)
"""What the table holds, in this order."""
