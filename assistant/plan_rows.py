"""The figures of a plan in words, a row to each thing a brewer looks up."""

from collections.abc import Callable, Iterator

from assistant.advice import figures
from assistant.advice.fit import is_old
from assistant.advice.mash_water import mash_water
from assistant.advice.packaging import KEG_SERVING_C
from assistant.advice.plan import Plan
from assistant.advice.supplies import Supplies, supplies
from assistant.advice.worts import brewhouse_share
from assistant.brewing.capacity import mash_heat_capacity_j_k
from assistant.brewing.colour import srm_from_ebc
from assistant.brewing.errors import OutOfRange
from assistant.brewing.fermentation import abv_percent_hall
from assistant.brewing.gas import BOTTLE_LIMIT_VOL
from assistant.brewing.gravity import plato_from_gravity
from assistant.brewing.heat import temperature_after
from assistant.brewing.hops import MOST_IBU, bitterness_ratio
from assistant.brewing.oxygen import splashed_oxygen_ppm
from assistant.brewing.water import fill_share, volume_hot
from assistant.schedule.model import ChillMethod, HeaterKind, Schedule, Units, Vessel, YeastForm
from assistant.schedule.units import convert

BLACK_EBC = 98.0
"""Past this, SRM 50, Morey's sum was never fitted, and no eye tells the difference."""

Row = Callable[[Schedule, Plan, Supplies], str | None]


def plan_rows(schedule: Schedule, plan: Plan) -> Iterator[tuple[str, str]]:
    """Each row's name and what stands in it; a row with nothing to say is left out."""
    needed = supplies(schedule, plan)
    for name, row in ROWS:
        try:
            text = row(schedule, plan, needed)
        except OutOfRange as error:
            text = f"past what the sums hold for: {error}"
        if text is not None:
            yield name, text
    for sentence in _about_water(schedule, plan):
        yield "", sentence


def _about_water(schedule: Schedule, plan: Plan) -> tuple[str, ...]:
    try:
        known = mash_water(schedule, plan.strike_volume_l)
    except OutOfRange as error:
        return (f"This water is past what the sums hold for: {error}.",)
    return known.guidance if known else ()


def _water(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    units = schedule.units
    return (
        f"{figures.volume(plan.total_water_l, units)} in all, "
        f"{figures.volume(plan.strike_volume_l, units)} to strike"
    )


def _strike(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    return (
        f"{_degrees(plan.strike_temperature_c, schedule.units)}, "
        f"{figures.duration(plan.strike_heat_minutes * 60)} of heating"
    )


def _kettle(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    kettle, units = schedule.kettle, schedule.units
    fits = "fits" if plan.fits_kettle else "does not fit"
    hot_l = volume_hot(plan.preboil_volume_l, plan.boiling_point_c)
    filled = fill_share(hot_l, kettle.holds_l)
    name = "" if kettle.name == "kettle" else f"{kettle.name}: "
    return (
        f"{name}mash {figures.volume(plan.mash_volume_l, units)} of "
        f"{figures.volume(kettle.holds_l, units)}, {fits}; {_percent(filled)} full before "
        f"the boil, boils at {_degrees(plan.boiling_point_c, units)}"
    )


def _mash(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    kettle, rest = schedule.kettle, schedule.mash[0]
    hour_later_c = temperature_after(
        capacity_j_k=mash_heat_capacity_j_k(
            plan.strike_volume_l, schedule.grain_kg, kettle.heat_capacity_j_k
        ),
        from_c=rest.temperature_c,
        seconds=3600.0,
        power_w=0.0,
        loss_w_k=kettle.heat_loss_w_k,
        room_c=kettle.room_c,
    )
    lost_k = rest.temperature_c - hour_later_c
    lost = figures.temperature_difference(round(lost_k) if lost_k > 10 else lost_k, schedule.units)
    thin_l_kg = plan.strike_volume_l / schedule.grain_kg
    return f"{_thickness(thin_l_kg, schedule.units)}; loses about {lost} an hour, lid on"


def _grain(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    units = schedule.units
    in_fermenter = brewhouse_share(
        schedule, volume_l=plan.fermenter_volume_l, gravity=plan.original_gravity
    )
    return (
        f"{figures.weight(plan.grain_kg * 1000, units)}, of whose extract "
        f"{_percent(schedule.kettle.extract_efficiency)} reaches the kettle and "
        f"{_percent(in_fermenter)} the fermenter"
    )


def _boil(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    units = schedule.units
    return (
        f"{figures.volume(plan.preboil_volume_l, units)} at "
        f"{figures.gravity(plan.preboil_gravity)} down to "
        f"{figures.volume(plan.postboil_volume_l, units)} in "
        f"{figures.duration(plan.boil_minutes * 60)}"
    )


def _gravity(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    text = (
        f"{figures.gravity(plan.original_gravity)} to {figures.gravity(plan.final_gravity)}, "
        f"{plan.abv_percent:.1f} % alcohol"
    )
    other = f"{abv_percent_hall(plan.fermented_gravity, plan.final_gravity):.1f}"
    if other != f"{plan.abv_percent:.1f}":
        text += f" ({other} % by Hall's equation)"
    if plan.fermented_gravity - plan.original_gravity >= 0.0005:
        text += f"; as from {figures.gravity(plan.fermented_gravity)} with the sugar added later"
    return text


def _bitterness(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    if plan.ibu < 0.5:
        return "none"
    if plan.ibu > MOST_IBU:
        return f"{plan.ibu:.0f} IBU on paper, nearer {MOST_IBU:.0f} in the glass"
    ratio = bitterness_ratio(plan.ibu, max(plan.original_gravity, 1.001))
    text = f"{plan.ibu:.0f} IBU, {ratio:.2f} to a point of gravity"
    way_min = plan.after_boil.whole_min
    if way_min >= 1:
        text += f"; the way down from the boil counts as {figures.duration(way_min * 60)} of it"
    return text


def _colour(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    if plan.colour_ebc > BLACK_EBC:
        return f"black, over {BLACK_EBC:.0f} EBC ({srm_from_ebc(BLACK_EBC):.0f} SRM)"
    ebc, srm = f"{plan.colour_ebc:.0f} EBC", f"{srm_from_ebc(plan.colour_ebc):.0f} SRM"
    return f"{srm} ({ebc})" if schedule.units is Units.US else f"{ebc} ({srm})"


def _yeast(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    yeast, units = schedule.yeast, schedule.units
    text = f"{yeast.name}: {figures.cells(plan.yeast_cells_billion)}"
    if plan.yeast_dry_g is not None:
        text += f", {figures.weight(plan.yeast_dry_g, Units.METRIC)} dry"
    if is_old(yeast):
        days = figures.counted(figures.number(yeast.age_days or 0.0, 0), "day")
        return f"{text}, which yeast {days} old may not have"
    if needed.liquid_packs is not None:
        text += f", {figures.packs(needed.liquid_packs)}{_aged(yeast.age_days)}"
    if needed.slurry_ml is not None:
        text += f", {figures.small_volume(needed.slurry_ml, units)} of slurry"
        text += _aged(yeast.age_days)
    return text


def _aged(age_days: float | None) -> str:
    if age_days is None:
        return " if fresh"
    if age_days < 1:
        return ", fresh"
    return f" {figures.counted(figures.number(age_days, 0), 'day')} old"


def _oxygen(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    most_ppm = splashed_oxygen_ppm(
        min(schedule.chill.to_c, 40.0),
        plato_from_gravity(plan.original_gravity),
        schedule.kettle.altitude_m,
    )
    splashing = f"splashing gives {most_ppm:.0f} ppm at most"
    if schedule.yeast.form is YeastForm.DRY:
        return f"{splashing}; dry yeast needs little"
    return f"{plan.oxygen_ppm:.0f} ppm wanted; {splashing}"


def _ferment(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    ferment, units = schedule.ferment, schedule.units
    low, high = _degrees(ferment.low_c, units), _degrees(ferment.high_c, units)
    return f"{low} to {high}, {ferment.days:.0f} days"


def _package(schedule: Schedule, plan: Plan, needed: Supplies) -> str | None:
    package, units = schedule.package, schedule.units
    if package is None:
        return None
    carbonation = f"{_to_a_tenth_at_least(package.carbonation_vol)} volumes"
    if package.into is Vessel.KEG:
        pressure = figures.pressure(plan.keg_pressure_kpa or 0.0, units)
        return f"keg, {carbonation}: {pressure} at {_degrees(KEG_SERVING_C, units)}"
    if plan.priming_sugar_g is None:
        limit = BOTTLE_LIMIT_VOL[package.glass.value]
        return (
            f"bottles, {carbonation}: no sugar is given, {package.glass.value} glass is good for "
            f"{limit:.1f}"
        )
    if plan.priming_sugar_g == 0:
        return f"bottles, {carbonation}: no sugar, the beer holds as much already"
    sugar = figures.weight(plan.priming_sugar_g, units)
    whole = figures.volume(plan.fermenter_volume_l, units)
    return f"bottles, {carbonation}: {sugar} of {package.sugar.value} for {whole}"


def _energy(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    gas = " of gas" if schedule.kettle.heater.kind is HeaterKind.GAS else ""
    return f"about {figures.number(needed.energy_kwh, 1)} kWh{gas}"


def _chill(schedule: Schedule, plan: Plan, needed: Supplies) -> str:
    units = schedule.units
    minutes = sum(leg.minutes for leg in plan.after_boil.legs if leg.chilled)
    text = f"{schedule.chill.method.value}, {figures.duration(minutes * 60)} in all"
    if schedule.chill.method is ChillMethod.TOP_UP:
        text = f"top-up, after {figures.duration(minutes * 60)} in a still bath of tap water"
    if needed.cooling_water_l is not None:
        text += f", about {figures.about_volume(needed.cooling_water_l, units)} through the coil"
    if needed.ice_kg is not None:
        text += f", about {figures.about_weight(needed.ice_kg * 1000, units)} of ice"
    return text


def _thickness(litres_kg: float, units: Units) -> str:
    if units is Units.US:
        quarts = convert(litres_kg, "L/kg", "qt/lb")
        return f"{figures.number(quarts, 1)} quarts to a pound of grain"
    return f"{figures.number(litres_kg, 1)} litres to a kilo of grain"


def _to_a_tenth_at_least(value: float) -> str:
    text = figures.number(value, 2)
    return text if "." in text else f"{text}.0"


def _percent(share: float) -> str:
    return f"{figures.number(share * 100, 0)} %"


def _degrees(value_c: float, units: Units) -> str:
    sign = "F" if units is Units.US else "C"
    return f"{figures.temperature(value_c, units).split()[0]} °{sign}"


ROWS: tuple[tuple[str, Row], ...] = (
    ("water", _water),
    ("strike", _strike),
    ("kettle", _kettle),
    ("mash", _mash),
    ("grain", _grain),
    ("boil", _boil),
    ("gravity", _gravity),
    ("bitterness", _bitterness),
    ("colour", _colour),
    ("chill", _chill),
    ("yeast", _yeast),
    ("oxygen", _oxygen),
    ("ferment", _ferment),
    ("package", _package),
    ("energy", _energy),
)
"""The rows in the order of the page."""
