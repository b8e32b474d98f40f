"""A beer written in US measure is the beer written in metric: every figure of the plan agrees.

The texts are turned from one measure into the other by a registry of pint's own, apart from the
program's; malt colour is the maltsters' EBC = 2.65 °L - 1.2, from memory, unchecked.
"""

import json
import math
import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any

import pint
import pytest
import yaml
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from sample_files import SAMPLES

from assistant.advice.mash_water import mash_water
from assistant.advice.plan import make_plan
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.schedule import Schedule, ScheduleError, Units, load, load_text
from assistant.schedule.additions import AdditionMoment
from assistant.schedule.groups import Group, Listing, Reader
from assistant.schedule.kettle_card import KettleOrPath
from assistant.schedule.readers import Choice, Measure, Name, Number, Share, Span
from assistant.schedule.tables import SCHEDULE
from assistant.schedule.water import WaterOrUnknown

Tree = Any
"""A schedule's keys and values as YAML has them: mappings, lists and text."""

registry = pint.UnitRegistry()
registry.define("EBC = [malt_colour]")

MEASURES = (
    ("L", "gal"),
    ("mL", "floz"),
    ("kg", "lb"),
    ("g", "oz"),
    ("degC", "degF"),
    ("EBC", "degL"),
    ("kW", "BTU/h"),
    ("kJ/K", "kJ/degF"),
    ("W/K", "W/degF"),
    ("L/h", "gal/h"),
    ("L/kg", "qt/lb"),
    ("m", "ft"),
    ("metric", "us"),
)
OTHER = {**dict(MEASURES), **{us: metric for metric, us in MEASURES}}
IN_BOTH = {"%", "min", "h", "day", "days", "mg/L", "vol"}
WRITTEN = {"percent": "%", "W": "kW", "J/K": "kJ/K"}
ONE = r"([-+.\d]+) ([%A-Za-z]+(?:/[A-Za-z]+)?)"


def converted(value: float, unit: str, other: str) -> float:
    if {unit, other} == {"EBC", "degL"}:
        return 2.65 * value - 1.2 if unit == "degL" else (value + 1.2) / 2.65
    source, target = (name.replace("/deg", "/delta_deg") for name in (unit, other))
    return float(registry.Quantity(value, source).to(target).magnitude)


def figure(value: float, unit: str) -> str:
    return f"{value:.15f} {unit}"


def other_quantity(match: re.Match[str]) -> str:
    number, unit = match.groups()
    if unit in IN_BOTH:
        return match[0]
    return figure(converted(float(number), unit, OTHER[unit]), OTHER[unit])


def other_measure(tree: Tree) -> Tree:
    """The tree with every quantity, and the ends of every range, in the other measure."""
    if isinstance(tree, dict):
        return {key: other_measure(value) for key, value in tree.items()}
    if isinstance(tree, list):
        return [other_measure(value) for value in tree]
    if not isinstance(tree, str):
        return tree
    if re.fullmatch(rf"{ONE}(?: to {ONE})?", tree):
        return re.sub(ONE, other_quantity, tree)
    assert not tree[0].isdigit(), tree
    return OTHER.get(tree, tree)


def named_figures(thing: object, name: str = "") -> Iterator[tuple[str, Any]]:
    """Every figure and word within a plan or a schedule, under a name of its own."""
    if is_dataclass(thing):
        for field in fields(thing):
            yield from named_figures(getattr(thing, field.name), f"{name}.{field.name}")
    elif isinstance(thing, tuple):
        for place, part in enumerate(thing):
            yield from named_figures(part, f"{name} {place}")
    else:
        yield name, thing


def differing(ours: object, theirs: object, within: float) -> dict[str, tuple[Any, Any]]:
    """What is not the same in both: words to the letter, numbers to a share of them."""
    mine, other = dict(named_figures(ours)), dict(named_figures(theirs))
    pairs = {name: (mine.get(name), other.get(name)) for name in {*mine, *other}}
    return {name: pair for name, pair in pairs.items() if not same(*pair, within)}


def same(mine: Any, other: Any, within: float) -> bool:
    if isinstance(mine, float) and isinstance(other, float):
        return math.isclose(mine, other, rel_tol=within, abs_tol=1e-9)
    return bool(mine == other)


def written_to(folder: Path, name: str, tree: Tree) -> Path:
    path = folder / name
    path.parent.mkdir(exist_ok=True)
    path.write_text(json.dumps(tree), encoding="utf-8")
    return path


def sample_in_other_measure(path: Path, folder: Path) -> Schedule:
    tree = yaml.safe_load(path.read_text(encoding="utf-8"))
    if isinstance(tree["kettle"], str):
        card = yaml.safe_load((path.parent / tree["kettle"]).read_text(encoding="utf-8"))
        written_to(folder, tree["kettle"], other_measure(card))
    return load(written_to(folder, path.name, other_measure(tree)))


ALL_SAMPLES = sorted(SAMPLES.glob("*.yaml"))


@pytest.mark.parametrize("path", ALL_SAMPLES, ids=lambda path: path.stem)
def test_a_sample_in_the_other_measure_is_the_same_beer(path: Path, tmp_path: Path) -> None:
    ours, theirs = load(path), sample_in_other_measure(path, tmp_path)
    assert {ours.units, theirs.units} == set(Units)
    assert not differing(ours, replace(theirs, units=ours.units), 1e-9)


@pytest.mark.parametrize("path", ALL_SAMPLES, ids=lambda path: path.stem)
def test_a_plan_in_us_units_is_the_plan_in_metric(path: Path, tmp_path: Path) -> None:
    ours = load(path)
    theirs = replace(sample_in_other_measure(path, tmp_path), units=ours.units)
    plan = make_plan(ours)
    assert not differing(plan, make_plan(theirs), 1e-6)
    waters = [mash_water(beer, plan.strike_volume_l) for beer in (ours, theirs)]
    assert not differing(*waters, 1e-6)


def key_values(reader: Reader) -> st.SearchStrategy[Tree]:
    """What a key may hold, from one end of its limits to the other, in metric."""
    match reader:
        case Measure(unit=unit, low=low, high=high):
            shown = WRITTEN.get(unit, unit)
            scale = 1000 if shown in ("kW", "kJ/K") else 1
            return st.floats(low, high).map(lambda value: figure(round(value, 4) / scale, shown))
        case Share(measure=measure):
            return key_values(measure)
        case Span(measure=measure):
            end = st.floats(measure.low, measure.high).map(lambda value: round(value, 4))
            return st.tuples(end, end).map(
                lambda ends: " to ".join(figure(value, measure.unit) for value in sorted(ends))
            )
        case Number(low=low, high=high):
            return st.floats(low, high).map(lambda value: round(value, 4))
        case Choice():
            return st.sampled_from(reader.choices)
        case Name():
            return st.just("plain")
        case AdditionMoment():
            words = ["first wort", "boil start", "flameout", "whirlpool", "day 1"]
            return st.sampled_from(words) | st.floats(0, 1)
        case Listing(of=of, fewest=fewest):
            return st.lists(key_values(of), min_size=fewest, max_size=3)
        case Group(keys=keys):
            needed = {name: key_values(key.reader) for name, key in keys.items() if key.required}
            free = {name: key_values(key.reader) for name, key in keys.items() if not key.required}
            return st.fixed_dictionaries(needed, optional=free)
        case KettleOrPath(keys=group) | WaterOrUnknown(keys=group):
            return key_values(group)
    raise AssertionError(f"no beers are made of {reader}")


def quantity_of(text: str) -> float:
    return float(text.split()[0])


def agreeing_additions(additions: list[Tree], volume_l: float, boil: str) -> None:
    for addition in additions:
        if isinstance(addition["at"], float):
            addition["at"] = figure(addition["at"] * quantity_of(boil), "min")
        kind = addition.get("kind", "hops")
        if kind == "hops":
            addition.setdefault("alpha", "7 %")
        for key, owner in (("alpha", "hops"), ("form", "hops"), ("extract", "sugar")):
            if kind != owner:
                addition.pop(key, None)
        if kind == "sugar":
            share = quantity_of(addition["weight"]) / 10_000
            addition["weight"] = figure(max(50 * share * volume_l, 0.01), "g")


def agreeing_parts(tree: Tree) -> None:
    """Take out what only some yeasts, vessels and waters have."""
    yeast, package, water = (tree.get(name, {}) for name in ("yeast", "package", "water"))
    if yeast.get("form", "dry") == "dry":
        yeast.pop("age", None)
    if yeast.get("form") != "liquid":
        yeast.pop("pack", None)
    if package.get("into") == "keg":
        package.pop("glass", None)
    if "bicarbonate" in water:
        water.pop("alkalinity", None)
    elif "water" in tree:
        water.setdefault("alkalinity", "0 mg/L")


@st.composite
def any_beer_trees(draw: st.DrawFn) -> Tree:
    """A schedule the loader takes, each key anywhere within its table's limits.

    Only the strength is held to what a kettle could be asked for, or hardly any would be beer.
    """
    tree = draw(key_values(SCHEDULE))
    volume_l = quantity_of(tree["volume"])
    for malt in tree["grist"]:
        share = draw(st.floats(0.01, 0.4)) / len(tree["grist"])
        malt["weight"] = figure(max(round(share * volume_l, 4), 0.001), "kg")
    tree["mash"].sort(key=lambda rest: quantity_of(rest["at"]))
    agreeing_additions(tree.get("additions", []), volume_l, tree["boil"]["for"])
    agreeing_parts(tree)
    chill = tree.get("chill", {})
    if "top_up" in chill or chill.get("method") == "top-up":
        chill["top_up"] = figure(min(draw(st.floats(0.01, 0.8)) * volume_l, 50), "L")
    return tree


def loaded(tree: Tree) -> Schedule:
    try:
        return load_text(json.dumps(tree), "any.yaml")
    except ScheduleError:
        assume(False)
        raise


@settings(
    max_examples=80,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(tree=any_beer_trees())
def test_any_beer_in_us_measure_is_the_beer_in_metric(tree: Tree) -> None:
    metric, us = loaded(tree), loaded(other_measure(tree))
    us = replace(us, units=metric.units)
    assert not differing(metric, us, 1e-8)
    try:
        plan = make_plan(metric)
    except (OutOfRange, NeverReaches) as error:
        with pytest.raises(type(error)):
            make_plan(us)
        return
    # At a limit to the last digit, such as tap water just cold enough, either may be warned of.
    theirs = replace(make_plan(us), warnings=plan.warnings)
    assert not differing(plan, theirs, 1e-6)
