"""What was brewed, so that it can be brewed again: recipe, kettle and the figures of the plan."""

from collections.abc import Iterator

from assistant.advice import figures
from assistant.advice.learned import Trait, card_figure
from assistant.advice.plan import Plan
from assistant.brewing.colour import lovibond_from_ebc, srm_from_ebc
from assistant.day.wording import MOMENT_WORDS
from assistant.record.reporting.account import Account
from assistant.record.reporting.quantities import TRAIT_NAMES, trait_words
from assistant.record.reporting.section import Section, Table
from assistant.schedule.model import Addition, Schedule, Units, Water


def recipe_section(account: Account) -> Section:
    """Grist, mash, additions, yeast, water and kettle, and what the plan made of them."""
    schedule, units = account.schedule, account.schedule.units
    tables = (
        Table(
            caption="Grist",
            header=("malt", "weight", "extract", "colour"),
            rows=tuple(
                (
                    malt.name,
                    figures.weight(malt.weight_kg * 1000, units),
                    _percent(malt.extract, 1),
                    _malt_colour(malt.colour_ebc, units),
                )
                for malt in schedule.grist
            ),
        ),
        Table(
            caption="Mash",
            header=("rest", "at", "for"),
            rows=tuple(
                (
                    rest.name,
                    figures.temperature(rest.temperature_c, units),
                    figures.duration(rest.minutes * 60),
                )
                for rest in schedule.mash
            ),
        ),
        Table(
            caption="Hops and other additions",
            header=("addition", "kind", "weight", "alpha acid", "form", "when"),
            rows=tuple(
                (
                    addition.name,
                    addition.kind.value,
                    figures.weight(addition.weight_g, units),
                    "" if addition.alpha is None else _percent(addition.alpha, 1),
                    "" if addition.form is None else addition.form.value,
                    when(addition),
                )
                for addition in schedule.additions
            ),
        ),
        Table(
            caption="Yeast, boil and what comes after",
            header=("what", "how"),
            rows=tuple(_rest_of_it(schedule)),
        ),
        Table(caption="Water", header=("what", "how much"), rows=tuple(_water(schedule.water))),
        Table(
            caption="Kettle",
            header=("what", "at the start of the day"),
            rows=tuple(_kettle(schedule)),
        ),
        Table(
            caption="By plan",
            header=("what", "planned"),
            rows=tuple(_plan(schedule, account.plan)),
        ),
    )
    return Section(
        key="recipe",
        title="What was brewed",
        tables=tuple(table for table in tables if table.rows),
    )


def when(addition: Addition) -> str:
    """``at 60 minutes``, ``whirlpool``, ``day 4``: when an addition goes in by the schedule."""
    if addition.minutes_before_end is not None:
        return f"at {figures.number(addition.minutes_before_end, 0)} minutes"
    if addition.day is not None:
        return f"day {addition.day}"
    return MOMENT_WORDS[addition.moment]


def _rest_of_it(schedule: Schedule) -> Iterator[tuple[str, str]]:
    units, yeast = schedule.units, schedule.yeast
    yield "boil", figures.duration(schedule.boil_minutes * 60)
    whirlpool = schedule.whirlpool
    steep = figures.duration(whirlpool.steep_minutes * 60)
    settle = figures.duration(whirlpool.settle_minutes * 60)
    if whirlpool.steep_minutes:
        at = figures.temperature(whirlpool.temperature_c, units)
        yield "whirlpool", f"steep {steep} at {at}, settle {settle}"
    else:
        yield "whirlpool", f"settle {settle}"
    chill = f"{schedule.chill.method.value}, to {figures.temperature(schedule.chill.to_c, units)}"
    if schedule.chill.top_up_l:
        chill += f", topped up with {figures.volume(schedule.chill.top_up_l, units)}"
    yield "chill", chill
    rate = figures.number(yeast.rate_million_ml_p, 2)
    yield (
        "yeast",
        f"{yeast.name}, {yeast.form.value}, {_percent(yeast.attenuation)} attenuation, "
        f"{rate} million cells a millilitre a degree Plato",
    )
    low, high = (
        figures.temperature(value_c, units)
        for value_c in (schedule.ferment.low_c, schedule.ferment.high_c)
    )
    days = figures.counted(figures.number(schedule.ferment.days, 0), "day")
    at = low if low == high else f"{low.split()[0]} to {high}"
    yield "ferment", f"{at}, {days}"
    package = schedule.package
    if package is not None:
        gas = figures.number(package.carbonation_vol, 2)
        sugar = f", {package.sugar.value}" if package.into.value == "bottles" else ""
        yield "package", f"{package.into.value}, {gas} volumes{sugar}"


def _water(water: Water | None) -> Iterator[tuple[str, str]]:
    if water is None:
        return
    ions = (
        ("calcium", water.calcium_mg_l),
        ("magnesium", water.magnesium_mg_l),
        ("sodium", water.sodium_mg_l),
        ("sulphate", water.sulphate_mg_l),
        ("chloride", water.chloride_mg_l),
        ("alkalinity, as calcium carbonate", water.alkalinity_mg_l),
    )
    for name, mg_l in ions:
        yield name, f"{figures.number(mg_l, 1)} mg/L"
    salts = (
        ("gypsum", water.gypsum_g),
        ("calcium chloride", water.calcium_chloride_g),
        ("Epsom salt", water.epsom_salt_g),
        ("baking soda", water.baking_soda_g),
    )
    for name, grams in salts:
        if grams:
            yield name, f"{figures.number(grams, 1)} g"
    if water.lactic_acid_ml:
        strength = _percent(water.lactic_strength)
        yield "lactic acid", f"{figures.number(water.lactic_acid_ml, 1)} mL of {strength}"


def _kettle(schedule: Schedule) -> Iterator[tuple[str, str]]:
    kettle, units = schedule.kettle, schedule.units
    yield "holds", figures.volume(kettle.holds_l, units)
    yield "heater", f"{kettle.heater.kind.value}, {figures.power(kettle.heater.power_w)}"
    for trait in Trait:
        if trait not in (Trait.COAST, Trait.LANDING):
            yield TRAIT_NAMES[trait], trait_words(trait, card_figure(kettle, trait), units)
    yield "room", figures.temperature(kettle.room_c, units)
    yield "tap water", figures.temperature(kettle.tap_water_c, units)


def _plan(schedule: Schedule, plan: Plan) -> Iterator[tuple[str, str]]:
    units = schedule.units
    yield "water in all", figures.volume(plan.total_water_l, units)
    yield (
        "strike",
        f"{figures.volume(plan.strike_volume_l, units)} at "
        f"{figures.temperature(plan.strike_temperature_c, units)}",
    )
    yield (
        "before the boil",
        f"{figures.volume(plan.preboil_volume_l, units)} at "
        f"{figures.gravity(plan.preboil_gravity)}",
    )
    yield (
        "after the boil",
        f"{figures.volume(plan.postboil_volume_l, units)} at "
        f"{figures.gravity(plan.postboil_gravity)}",
    )
    yield "final gravity", figures.gravity(plan.final_gravity)
    yield "colour", _beer_colour(plan.colour_ebc, units)
    yield "yeast cells", figures.cells(plan.yeast_cells_billion)
    if plan.yeast_dry_g is not None:
        yield "dry yeast", figures.weight(plan.yeast_dry_g, Units.METRIC)
    if plan.priming_sugar_g:
        yield "priming sugar", figures.weight(plan.priming_sugar_g, units)
    if plan.keg_pressure_kpa is not None:
        yield "keg pressure", figures.pressure(plan.keg_pressure_kpa, units)


def _percent(share: float, decimals: int = 0) -> str:
    return f"{figures.number(share * 100, decimals)} %"


def _malt_colour(colour_ebc: float, units: Units) -> str:
    if units is Units.US:
        return f"{figures.number(float(lovibond_from_ebc(colour_ebc)), 0)} degL"
    return f"{figures.number(colour_ebc, 0)} EBC"


def _beer_colour(colour_ebc: float, units: Units) -> str:
    if units is Units.US:
        return f"{figures.number(float(srm_from_ebc(colour_ebc)), 0)} SRM"
    return f"{figures.number(colour_ebc, 0)} EBC"
