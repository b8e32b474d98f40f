"""What must agree between one part of a schedule and another, and the schedule put together."""

from enum import Enum

from assistant.schedule.additions import build_addition, check_additions
from assistant.schedule.faults import Report
from assistant.schedule.groups import Values
from assistant.schedule.model import (
    Addition,
    Chill,
    ChillMethod,
    Ferment,
    Kettle,
    Malt,
    Moment,
    Package,
    Rest,
    Schedule,
    Vessel,
    Whirlpool,
    Yeast,
    YeastForm,
)
from assistant.schedule.tables import CHILL, FERMENT, WHIRLPOOL
from assistant.schedule.water import build_water, check_water

STEEP_MINUTES = 20.0
ONLY_FOR: tuple[tuple[str, str, str, tuple[Enum, ...]], ...] = (
    # group, key, the key that says the kind, the kinds that have it
    ("yeast", "age", "form", (YeastForm.LIQUID, YeastForm.SLURRY)),
    ("yeast", "pack", "form", (YeastForm.LIQUID,)),
    ("package", "glass", "into", (Vessel.BOTTLES,)),
)


def check_beer(values: Values, report: Report) -> None:
    """Report every contradiction between the parts that could be read."""
    _check_rests(values.get("mash") or [], report)
    ferment = FERMENT.within(values, "ferment")
    check_additions(values.get("additions") or [], values.get("boil"), ferment, report)
    chill = CHILL.within(values, "chill")
    if chill:
        _check_top_up(chill, values, report)
    check_water(values.get("water"), report)
    _check_only_for(values, report)


def _check_rests(rests: list[Values | None], report: Report) -> None:
    warmest: Values | None = None
    for place, rest in enumerate(rests, start=1):
        if rest is None or rest.get("at") is None:
            continue
        if warmest is not None and rest["at"] < warmest["at"] - 0.01:
            found = f"{rest.written('at')} after {warmest.written('at')}"
            wanted = "rests that rise: one kettle warms a mash but does not cool it"
            report.add(rest.line_of("at"), f"mash {place}.at", found, wanted)
        else:
            warmest = rest


def _check_top_up(chill: Values, values: Values, report: Report) -> None:
    top_up_l, volume_l = chill.get("top_up"), values.get("volume")
    line = chill.line_of("top_up")
    if top_up_l is None:
        return
    if chill.get("method") is ChillMethod.TOP_UP and top_up_l == 0:
        wanted = "the water to chill with, such as top_up: 4 L"
        report.add(line, "chill.top_up", chill.written("top_up"), wanted)
    if volume_l is not None and top_up_l >= volume_l:
        wanted = f"less than the volume of {values.written('volume')}"
        report.add(line, "chill.top_up", chill.written("top_up"), wanted)


def _check_only_for(values: Values, report: Report) -> None:
    for group, name, kind_key, owners in ONLY_FOR:
        part: Values | None = values.get(group)
        if part is None or not part.gives(name):
            continue
        kind: Enum | None = part.get(kind_key)
        if kind is not None and kind not in owners:
            wanted = f"{name} for {' and '.join(owner.value for owner in owners)} only"
            report.add(part.line_of(name), f"{group}.{name}", f"it with {kind.value}", wanted)


def build_schedule(values: Values, kettle: Kettle) -> Schedule:
    """The schedule of values in which no fault was found, its defaults filled in."""
    additions = tuple(build_addition(addition) for addition in values["additions"])
    ferment = _ferment(values)
    return Schedule(
        beer=values["beer"],
        volume_l=values["volume"],
        units=values["units"],
        kettle=kettle,
        grist=tuple(_malt(malt) for malt in values["grist"]),
        mash=tuple(_rest(rest, place) for place, rest in enumerate(values["mash"], start=1)),
        boil_minutes=values["boil"]["for"],
        additions=additions,
        whirlpool=_whirlpool(values, additions),
        chill=_chill(values, ferment),
        yeast=_yeast(values["yeast"]),
        ferment=ferment,
        package=_package(values["package"]),
        water=build_water(values["water"]),
    )


def _malt(values: Values) -> Malt:
    return Malt(
        name=values["malt"],
        weight_kg=values["weight"],
        extract=values["extract"],
        colour_ebc=values["colour"],
        ph=values["ph"],
    )


def _rest(values: Values, place: int) -> Rest:
    name = values["rest"] or f"rest {place}"
    return Rest(name=name, temperature_c=values["at"], minutes=values["for"])


def _whirlpool(schedule: Values, additions: tuple[Addition, ...]) -> Whirlpool:
    values = WHIRLPOOL.within(schedule, "whirlpool")
    assert values is not None
    steeps = any(addition.moment is Moment.WHIRLPOOL for addition in additions)
    steep_minutes = values["steep"]
    if steep_minutes is None:
        steep_minutes = STEEP_MINUTES if steeps else 0.0
    return Whirlpool(
        temperature_c=values["at"], steep_minutes=steep_minutes, settle_minutes=values["settle"]
    )


def _chill(schedule: Values, ferment: Ferment) -> Chill:
    values = CHILL.within(schedule, "chill")
    assert values is not None
    to_c = values["to"]
    if to_c is None:
        to_c = (ferment.low_c + ferment.high_c) / 2
    return Chill(to_c=to_c, method=values["method"], top_up_l=values["top_up"])


def _yeast(values: Values) -> Yeast:
    return Yeast(
        name=values["name"],
        form=values["form"],
        attenuation=values["attenuation"],
        rate_million_ml_p=values["rate"],
        age_days=values["age"],
        pack_billion=values["pack"],
    )


def _ferment(schedule: Values) -> Ferment:
    values = FERMENT.within(schedule, "ferment")
    assert values is not None
    low_c, high_c = values["at"]
    return Ferment(low_c=low_c, high_c=high_c, days=values["for"])


def _package(values: Values | None) -> Package | None:
    if values is None:
        return None
    return Package(
        into=values["into"],
        carbonation_vol=values["carbonation"],
        sugar=values["sugar"],
        glass=values["glass"],
    )
