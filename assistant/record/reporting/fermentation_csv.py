"""The rows of an account's table that tell of the weeks after its day."""

from collections.abc import Iterator
from dataclasses import replace

from assistant.cellar.state import DAY_S, Packaged
from assistant.day.incidents import incident_words
from assistant.day.quantities import QUANTITIES
from assistant.record.reporting.account import Account
from assistant.record.reporting.fermentation import Fermentation, ReadOfBeer
from assistant.record.reporting.fermentation_json import source_of
from assistant.record.reporting.fermentation_words import warmth_name
from assistant.record.reporting.table_row import TableRow


def fermentation_rows(account: Account) -> Iterator[TableRow]:
    """A row to each figure and each event of the beer; none where nobody has come to it yet."""
    told = account.fermentation
    if told is not None:
        for row in _rows(account, told):
            yield replace(row, in_fermenter=True)


def _rows(account: Account, told: Fermentation) -> Iterator[TableRow]:
    yield from _figures(account, told)
    for read in told.readings:
        yield _reading(read)
    for each in told.tended:
        yield TableRow(
            kind="beer addition",
            what=each.name,
            at_s=each.done_s,
            value=each.weight_g,
            unit="" if each.weight_g is None else "g",
            planned=each.weight_g,
            note=("left out" if each.left_out else "in" if each.done_s is not None else "not yet")
            + ("" if each.due_s is None else f"; due at {each.due_s:.10g} s"),
        )
    if told.packaged is not None:
        yield from _packaged(told.packaged, told.ready_s)
    if told.slurry is not None:
        slurry = told.slurry
        yield TableRow(
            kind="slurry", what="volume", at_s=slurry.at, value=slurry.volume_ml, unit="mL"
        )
    for ahead in told.coming:
        yield TableRow(
            kind="to come", what=ahead.key, at_s=ahead.at_s, note=f"{ahead.what}. {ahead.note}"
        )
    for note in told.notes:
        yield TableRow(kind="beer note", what="note", at_s=note.at, note=note.text)
    for incident in told.incidents:
        yield TableRow(
            kind="beer incident",
            what=type(incident).__name__,
            at_s=incident.at,
            note=incident_words(incident),
        )


def _figures(account: Account, told: Fermentation) -> Iterator[TableRow]:
    beer, curve = told.beer, told.curve
    shares = [
        None if share is None else 100 * share
        for share in (told.attenuation, told.planned_attenuation)
    ]
    how = "fitted" if told.gravity_read else "expected"
    days = account.schedule.ferment.days
    pitched_s = beer.pitched_s
    figures: tuple[tuple[str, float | None, str, float | None, str, float | None], ...] = (
        ("pitched", None, "", None, "", pitched_s),
        (
            "original gravity",
            told.original_gravity,
            "SG",
            beer.planned_original_gravity,
            "",
            None,
        ),
        ("gravity", told.gravity, "SG", None, told.progress.value, None),
        ("final gravity", told.final_gravity, "SG", beer.planned_final_gravity, "", None),
        ("attenuation", shares[0], "%", shares[1], "", None),
        ("alcohol", told.abv_percent, "%", told.planned_abv_percent, "", None),
        (
            "final gravity by the curve",
            curve.final_gravity,
            "SG",
            told.expected_final_gravity,
            f"{how}; {curve.final_low:.4f} to {curve.final_high:.4f} SG",
            None,
        ),
        (
            "finished by the curve",
            curve.finish_day,
            "day",
            None,
            f"{how}; {curve.finish_low:.1f} to {curve.finish_high:.1f} days",
            pitched_s + curve.finish_day * DAY_S,
        ),
        ("steady", told.steady_days, "day", None, "by the hydrometer", told.steady_s),
        (
            "packaged",
            None if told.packaged is None else told.day(told.packaged.at),
            "day",
            days,
            "",
            None if told.packaged is None else told.packaged.at,
        ),
    )
    for what, value, unit, planned, note, at_s in figures:
        yield TableRow(
            kind="fermentation",
            what=what,
            at_s=at_s,
            value=value,
            unit=unit,
            planned=planned,
            note=note,
        )


def _reading(read: ReadOfBeer) -> TableRow:
    reading = read.reading
    said = f"said {reading.said:.10g} {reading.said_unit}"
    if reading.sample_c is not None:
        said += f" at {reading.sample_c:.4g} degC"
    said += f", by {source_of(reading).value}"
    if reading.gravity is not None:
        said += f"; {reading.gravity:.4f} SG"
    warm = warmth_name(read.warmth)
    return TableRow(
        kind="beer reading",
        what=reading.quantity.value,
        at_s=reading.at,
        value=reading.value,
        unit=QUANTITIES[reading.quantity].unit,
        note=f"{said}; {warm}" if warm else said,
    )


def _packaged(packed: Packaged, ready_s: float | None) -> Iterator[TableRow]:
    figures = (
        ("volume", packed.volume_l, "L"),
        ("carbonation", packed.carbonation_vol, "vol"),
        ("temperature", packed.temperature_c, "degC"),
        ("final gravity", packed.final_gravity, "SG"),
        ("sugar" if packed.sugar is None else packed.sugar.value, packed.sugar_g, "g"),
        ("bottles", packed.bottles, ""),
        ("bottle", packed.bottle_ml, "mL"),
        ("pressure", packed.pressure_kpa, "kPa"),
        ("serving temperature", packed.serving_c, "degC"),
    )
    for what, value, unit in figures:
        if value is not None:
            yield TableRow(
                kind="packaged",
                what=what,
                at_s=packed.at,
                value=value,
                unit=unit,
                note=packed.into.value,
            )
    if ready_s is not None:
        yield TableRow(kind="packaged", what="ready", at_s=ready_s, note=packed.into.value)
