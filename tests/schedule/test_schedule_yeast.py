"""How old the yeast is, what its pack holds, and the glass of the bottles."""

import pytest
from schedule_texts import FILE, faults_of, line_of, schedule_text, schedule_with

from assistant.brewing.gas import BOTTLE_LIMIT_VOL
from assistant.schedule import Fault, YeastForm
from assistant.schedule.model import Glass

AGE = "a time such as 30 days"
PACK = "billion cells in a fresh pack from 10 to 1000 such as 100"


@pytest.mark.parametrize(
    ("yeast", "age_days", "pack_billion"),
    [
        pytest.param("{form: liquid, age: 30 days}", 30.0, 100.0, id="a month"),
        pytest.param("{form: liquid, age: 6 weeks, pack: 200}", 42.0, 200.0, id="a full pack"),
        pytest.param("{form: liquid, age: 0 days}", 0.0, 100.0, id="fresh"),
        pytest.param("{form: liquid, age: 365 days, pack: 10}", 365.0, 10.0, id="the oldest"),
        pytest.param("{form: liquid, pack: 1000}", None, 1000.0, id="the fullest, age unknown"),
        pytest.param("{form: slurry, age: 36 h}", 1.5, 100.0, id="slurry of yesterday"),
        pytest.param("{form: slurry}", None, 100.0, id="slurry, age unknown"),
        pytest.param("{form: dry}", None, 100.0, id="dry"),
        pytest.param("{}", None, 100.0, id="nothing said"),
    ],
)
def test_yeast_has_an_age_where_it_matters(
    yeast: str, age_days: float | None, pack_billion: float
) -> None:
    read = schedule_with(yeast=yeast).yeast
    assert read.age_days == (None if age_days is None else pytest.approx(age_days))
    assert read.pack_billion == pack_billion


@pytest.mark.parametrize(
    ("package", "glass"),
    [
        pytest.param("{into: bottles, glass: thick}", Glass.THICK, id="thick"),
        pytest.param("{glass: ordinary}", Glass.ORDINARY, id="ordinary"),
        pytest.param("{into: bottles}", Glass.ORDINARY, id="nothing said"),
        pytest.param("{into: keg}", Glass.ORDINARY, id="a keg"),
    ],
)
def test_bottles_are_of_ordinary_glass_unless_told(package: str, glass: Glass) -> None:
    read = schedule_with(package=package).package
    assert read is not None
    assert read.glass is glass


def test_every_glass_has_a_carbonation_it_is_good_for() -> None:
    assert {glass.value for glass in Glass} == set(BOTTLE_LIMIT_VOL)


@pytest.mark.parametrize(
    ("key", "text", "place", "found", "wanted"),
    [
        ("yeast", "{form: liquid, age: 30}", "age", "30", AGE),
        ("yeast", "{form: liquid, age: old}", "age", "old", AGE),
        ("yeast", "{form: liquid, age: 30 degC}", "age", "30 degC", AGE),
        (
            "yeast",
            "{form: liquid, age: 400 days}",
            "age",
            "400 days",
            "a time from 0 days to 365 days",
        ),
        (
            "yeast",
            "{form: slurry, age: -1 days}",
            "age",
            "-1 days",
            "a time from 0 days to 365 days",
        ),
        ("yeast", "{form: liquid, pack: 5}", "pack", "5", PACK),
        ("yeast", "{form: liquid, pack: 2000}", "pack", "2000", PACK),
        ("yeast", "{form: liquid, pack: 100 g}", "pack", "100 g", PACK),
        ("yeast", "{form: liquid, pack: full}", "pack", "full", PACK),
        (
            "package",
            "{glass: thin}",
            "glass",
            "thin",
            "one of ordinary, thick (did you mean thick?)",
        ),
        ("package", "{glass: 4.5 vol}", "glass", "4.5 vol", "one of ordinary, thick"),
    ],
)
def test_yeast_and_bottles_that_cannot_be(
    key: str, text: str, place: str, found: str, wanted: str
) -> None:
    (fault,) = faults_of(schedule_text(**{key: text}))
    assert fault == Fault(FILE, line_of(key), f"{key}.{place}", found, wanted)


@pytest.mark.parametrize(
    ("key", "text", "place", "found", "wanted"),
    [
        pytest.param(
            "yeast",
            "{form: dry, age: 30 days}",
            "age",
            "it with dry",
            "age for liquid and slurry only",
            id="the age of dry yeast",
        ),
        pytest.param(
            "yeast",
            "{age: 30 days}",
            "age",
            "it with dry",
            "age for liquid and slurry only",
            id="an age, and dry because nothing is said",
        ),
        pytest.param(
            "yeast",
            "{form: dry, pack: 100}",
            "pack",
            "it with dry",
            "pack for liquid only",
            id="a pack of dry yeast",
        ),
        pytest.param(
            "yeast",
            "{form: slurry, pack: 100}",
            "pack",
            "it with slurry",
            "pack for liquid only",
            id="a pack of slurry",
        ),
        pytest.param(
            "package",
            "{into: keg, glass: thick}",
            "glass",
            "it with keg",
            "glass for bottles only",
            id="a keg of glass",
        ),
    ],
)
def test_what_belongs_to_another_kind_is_refused(
    key: str, text: str, place: str, found: str, wanted: str
) -> None:
    (fault,) = faults_of(schedule_text(**{key: text}))
    assert fault == Fault(FILE, line_of(key), f"{key}.{place}", found, wanted)


@pytest.mark.parametrize(
    ("key", "text", "place"),
    [
        pytest.param("yeast", "{form: frozen, age: 30 days, pack: 100}", "form", id="yeast"),
        pytest.param("package", "{into: barrels, glass: thick}", "into", id="package"),
    ],
)
def test_a_kind_that_cannot_be_read_blames_nothing_else(key: str, text: str, place: str) -> None:
    assert [fault.key for fault in faults_of(schedule_text(**{key: text}))] == [f"{key}.{place}"]


def test_both_faults_of_one_yeast_are_told() -> None:
    faults = faults_of(schedule_text(yeast="{form: dry, age: 30 days, pack: 100}"))
    assert [fault.key for fault in faults] == ["yeast.age", "yeast.pack"]


def test_an_unknown_form_of_yeast_names_the_three() -> None:
    (fault,) = faults_of(schedule_text(yeast="{form: frozen}"))
    assert fault.wanted == "one of " + ", ".join(form.value for form in YeastForm)
