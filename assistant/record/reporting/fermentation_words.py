"""The weeks after a brew day in words: what was read, done and packaged, and what comes next."""

from collections.abc import Iterator

from assistant.advice import figures
from assistant.cellar.state import BeerReading, Packaged
from assistant.cellar.warmth import Warmth
from assistant.day.incidents import incident_words
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.record.page import Clock
from assistant.record.reporting.account import Account
from assistant.record.reporting.fermentation import Fermentation, ReadOfBeer
from assistant.record.reporting.quantities import NONE
from assistant.record.reporting.reading_words import left_out_words, said_words, thinned_floods
from assistant.record.reporting.section import Chart, Paragraph, Section, Table
from assistant.schedule.model import Units, Vessel

IN_RANGE = "as wanted"

Row = tuple[str, ...]


def fermentation_section(account: Account, clock: Clock) -> Section:
    """What became of the beer after its brew day; empty where nobody has come to it yet."""
    told = account.fermentation
    if told is None:
        return Section(key="fermenter", title="In the fermenter")
    clock, units = beer_clock(told, clock), account.schedule.units
    shown = thinned_floods(told.readings, lambda read: read.reading.sensed)
    left_out = len(told.readings) - len(shown)
    remark = (Paragraph(head="", text=left_out_words(len(told.readings), left_out)),)
    return Section(
        key="fermenter",
        title="In the fermenter",
        charts=(Chart.FERMENTATION,),
        tables=(
            Table(
                caption="What it came to",
                header=("figure", "planned", "reached", "how it is known"),
                rows=tuple(_figures(told)),
            ),
            Table(
                caption="Its dates",
                header=("what", "planned", "date", "how far"),
                rows=tuple(_dates(account, told, clock)),
            ),
            Table(
                caption=f"Every reading of it; {_wanted(account)} is wanted",
                header=("when", "day", "what", "as said", "as kept", "gravity", "temperature"),
                rows=tuple(_reading_row(read, units, clock) for read in shown),
            ),
            Table(
                caption="What was to be done",
                header=("what", "weight", "due", "done"),
                rows=tuple(_tended(told, units, clock)),
            ),
            Table(
                caption="How it was packaged",
                header=("what", "how much"),
                rows=() if told.packaged is None else tuple(_packaged(told.packaged, units)),
            ),
            Table(
                caption=f"What comes next, as it stood on {clock.date(told.seen_s)}",
                header=("what", "when", "between"),
                rows=tuple(
                    (each.what, clock.date(each.at_s), _between(each.low_s, each.high_s, clock))
                    for each in told.coming
                ),
            ),
        ),
        paragraphs=(*(remark if left_out else ()), *_noted(told, clock)),
    )


def beer_clock(told: Fermentation, clock: Clock) -> Clock:
    """The wall clock of the visits, in the zone of the day's."""
    return Clock(wall_s=told.zero_wall_s, at_s=0.0, zone=clock.zone)


def share_words(share: float | None) -> str:
    """``77 %``."""
    return NONE if share is None else f"{figures.number(share * 100, 0)} %"


def alcohol_words(percent: float | None) -> str:
    """``5.1 %``."""
    return NONE if percent is None else f"{percent:.1f} %"


def gravity_words(gravity: float | None) -> str:
    """``1.012``."""
    return NONE if gravity is None else figures.gravity(gravity)


def _figures(told: Fermentation) -> Iterator[Row]:
    beer = told.beer
    known = "by the readings" if told.final_gravity is not None else "so far"
    if told.gravity is None:
        known = "not read yet"
    yield (
        "Original gravity",
        figures.gravity(beer.planned_original_gravity),
        figures.gravity(told.original_gravity),
        "by the readings" if beer.gravity_read else "reckoned",
    )
    yield (
        "Final gravity" if told.final_gravity is not None else "Gravity",
        figures.gravity(beer.planned_final_gravity),
        gravity_words(told.gravity),
        known,
    )
    yield (
        "Attenuation, apparent",
        share_words(told.planned_attenuation),
        share_words(told.attenuation),
        known,
    )
    yield (
        "Alcohol by volume",
        alcohol_words(told.planned_abv_percent),
        alcohol_words(told.abv_percent),
        known,
    )
    curve = told.curve
    low, high = figures.gravity(curve.final_low), figures.gravity(curve.final_high)
    yield (
        "Final gravity by the curve",
        figures.gravity(told.expected_final_gravity),
        f"{figures.gravity(curve.final_gravity)}, {low} to {high}",
        "fitted to the readings" if told.gravity_read else "expected",
    )


def _dates(account: Account, told: Fermentation, clock: Clock) -> Iterator[Row]:
    pitched_s, curve, packaged = told.beer.pitched_s, told.curve, told.packaged
    yield "Yeast in", "", clock.date_and_time(pitched_s), ""
    finish = figures.number(curve.finish_day, 0)
    low, high = (figures.number(day, 0) for day in (curve.finish_low, curve.finish_high))
    finished = "Finished, by the curve" if told.gravity_read else "Finished, expected"
    yield (
        finished,
        "",
        clock.date(pitched_s + curve.finish_day * 86400.0),
        f"day {finish}" if low == high else f"day {finish}, from {low} to {high}",
    )
    if told.steady_s is not None:
        days = figures.counted(figures.number(told.steady_days, 1), "day")
        steady = "Steady by the hydrometer"
        yield steady, "", f"since {clock.date_and_time(told.steady_s)}", f"for {days}"
    planned_s = pitched_s + account.schedule.ferment.days * 86400.0
    yield (
        "Packaged",
        clock.date(planned_s),
        NONE if packaged is None else clock.date_and_time(packaged.at),
        "" if packaged is None else f"day {int(told.day(packaged.at))}",
    )
    if told.slurry is not None:
        kept = figures.small_volume(told.slurry.volume_ml, account.schedule.units)
        yield "Yeast kept", "", clock.date_and_time(told.slurry.at), kept
    if told.ready_s is not None:
        yield "Ready to drink", "", clock.date(told.ready_s), ""


def _wanted(account: Account) -> str:
    ferment, units = account.schedule.ferment, account.schedule.units
    high = figures.temperature(ferment.high_c, units)
    low = figures.degrees(ferment.low_c, units)
    return high if ferment.low_c == ferment.high_c else f"{low} to {high}"


def _reading_row(read: ReadOfBeer, units: Units, clock: Clock) -> Row:
    reading = read.reading
    spec = QUANTITIES[reading.quantity]
    return (
        clock.date_and_time(reading.at),
        f"day {int(read.day)}",
        _instrument(reading),
        said_words(reading, units),
        spec.show(reading.value, units),
        "" if reading.gravity is None else figures.gravity(reading.gravity),
        warmth_name(read.warmth),
    )


def _instrument(reading: BeerReading) -> str:
    name = figures.sentence(QUANTITIES[reading.quantity].spoken)
    floats = reading.streamed and reading.quantity is Quantity.GRAVITY
    return f"{name}, floating" if floats else name


def warmth_name(warmth: Warmth | None) -> str:
    """Where a temperature lies against the range wanted; nothing of what is no temperature."""
    if warmth is None:
        return ""
    return IN_RANGE if warmth is Warmth.RIGHT else warmth.value


def _tended(told: Fermentation, units: Units, clock: Clock) -> Iterator[Row]:
    for each in told.tended:
        done = "not yet" if told.packaged is None else "not in"
        if each.done_s is not None:
            when = clock.date_and_time(each.done_s)
            done = f"left out, {when}" if each.left_out else when
        yield (
            figures.sentence(each.name),
            "" if each.weight_g is None else figures.weight(each.weight_g, units),
            "" if each.due_s is None else clock.date(each.due_s),
            done,
        )


def _packaged(packed: Packaged, units: Units) -> Iterator[Row]:
    yield "into", packed.into.value if packed.into is Vessel.BOTTLES else "a keg"
    yield "beer", figures.volume(packed.volume_l, units)
    yield "carbonation wanted", f"{figures.number(packed.carbonation_vol, 1)} volumes"
    yield "warmest, for the gas in it", figures.temperature_read(packed.temperature_c, units)
    if packed.into is Vessel.BOTTLES:
        if packed.sugar is None or packed.sugar_g is None:
            yield "sugar", "not known"
        else:
            yield packed.sugar.value, figures.weight(packed.sugar_g, units)
    if packed.bottles is not None and packed.bottle_ml is not None:
        size = figures.small_volume(packed.bottle_ml, units)
        yield "filled", f"{figures.counted(str(packed.bottles), 'bottle')} of {size}"
    if packed.pressure_kpa is not None and packed.serving_c is not None:
        cold = figures.temperature(packed.serving_c, units)
        yield "pressure", f"{figures.pressure(packed.pressure_kpa, units)} at {cold}"


def _between(low_s: float | None, high_s: float | None, clock: Clock) -> str:
    if low_s is None or high_s is None:
        return ""
    low, high = clock.date(low_s), clock.date(high_s)
    return "" if low == high else f"{low} and {high}"


def _noted(told: Fermentation, clock: Clock) -> Iterator[Paragraph]:
    noted = [(note.at, note.text) for note in told.notes]
    noted += [(incident.at, incident_words(incident)) for incident in told.incidents]
    for at_s, text in sorted(noted, key=lambda each: each[0]):
        yield Paragraph(head=clock.date_and_time(at_s), text=text)
