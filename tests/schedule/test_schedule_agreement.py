"""What must agree within a beer, and that all faults of its files come at once."""

from pathlib import Path

import pytest
from schedule_texts import FILE, faults_of, line_of, schedule_text, schedule_with

from assistant.schedule import Fault

CONTRADICTIONS = [
    pytest.param(
        "mash",
        "[{at: 66 degC, for: 60 min}, {at: 145 degF, for: 9 min}]",
        "mash 2.at",
        "145 degF after 66 degC",
        "rests that rise: one kettle warms a mash but does not cool it",
        id="a rest colder than the one before",
    ),
    pytest.param(
        "mash",
        "[{at: 70 degC, for: 9 min}, {at: 60 degC, for: 9 min}, {at: 65 degC, for: 9 min}]",
        "mash 3.at",
        "65 degC after 70 degC",
        "rests that rise: one kettle warms a mash but does not cool it",
        id="each rest colder than the warmest before",
    ),
    pytest.param(
        "additions",
        "[{add: x, weight: 9 g, alpha: 7 %, at: 80 min}]",
        "additions 1.at",
        "80 min",
        "at most 70 min, the length of the boil",
        id="hops before the boil",
    ),
    pytest.param(
        "additions",
        "[{add: x, kind: finings, weight: 9 g, at: 1.5 h}]",
        "additions 1.at",
        "1.5 h",
        "at most 70 min, the length of the boil",
        id="finings before the boil",
    ),
    pytest.param(
        "additions",
        "[{add: x, weight: 9 g, at: day 15}]",
        "additions 1.at",
        "day 15",
        "a day within the 14 days of ferment.for",
        id="dry hops after the fermentation",
    ),
    *(
        pytest.param(
            "additions",
            f"[{{add: x, weight: 9 g, at: {moment}}}]",
            "additions 1.alpha",
            "nothing",
            "the alpha-acid share of the hops, such as alpha: 7.2 %",
            id=f"hops without alpha at {moment}",
        )
        for moment in ("60 min", "boil start", "first wort", "flameout", "whirlpool")
    ),
    *(
        pytest.param(
            "additions",
            f"[{{add: x, kind: {kind}, {key}, weight: 9 g, at: day 1}}]",
            f"additions 1.{key.partition(':')[0]}",
            f"it with {kind}",
            f"{key.partition(':')[0]} for {owner} only",
            id=f"{kind} with {key}",
        )
        for kind, key, owner in [
            ("finings", "alpha: 5 %", "hops"),
            ("salt", "form: whole", "hops"),
            ("sugar", "form: pellet", "hops"),
            ("hops", "extract: 80 %", "sugar and malt extract"),
            ("nutrient", "extract: 80 %", "sugar and malt extract"),
        ]
    ),
    pytest.param(
        "chill",
        "{method: top-up}",
        "chill.top_up",
        "nothing",
        "the water to chill with, such as top_up: 4 L",
        id="chilling with no water",
    ),
    pytest.param(
        "chill",
        "{method: top-up, top_up: 0 gal}",
        "chill.top_up",
        "0 gal",
        "the water to chill with, such as top_up: 4 L",
        id="chilling with nought of water",
    ),
    pytest.param(
        "chill",
        "{top_up: 20 L}",
        "chill.top_up",
        "20 L",
        "less than the volume of 20 L",
        id="nothing but top-up water",
    ),
]


@pytest.mark.parametrize(("key", "text", "place", "found", "wanted"), CONTRADICTIONS)
def test_a_contradiction_is_told_in_the_brewers_figures(
    key: str, text: str, place: str, found: str, wanted: str
) -> None:
    faults = faults_of(schedule_text(**{key: text}))
    assert faults[-1] == Fault(FILE, line_of(key), place, found, wanted)
    assert {fault.wanted for fault in faults} == {wanted}


@pytest.mark.parametrize(
    "changes",
    [
        pytest.param(
            {"mash": "[{at: 66 degC, for: 9 min}, {at: 66 degC, for: 9 min}]"}, id="level"
        ),
        pytest.param(
            {"mash": "[{at: 66 degC, for: 9 min}, {at: 150.8 degF, for: 9 min}]"},
            id="level in two units",
        ),
        pytest.param(
            {"additions": "[{add: x, weight: 9 g, at: day 14}]"}, id="dry hops on the last day"
        ),
        pytest.param(
            {
                "boil": "{for: 1.25 h}",
                "additions": "[{add: x, weight: 9 g, alpha: 7 %, at: 75 min}]",
            },
            id="hops as the boil begins",
        ),
        pytest.param({"whirlpool": "{steep: 20 min}"}, id="a steep without whirlpool hops"),
        pytest.param({"chill": "{top_up: 4 L}"}, id="a coil and top-up water"),
    ],
)
def test_what_only_looks_odd_is_taken(changes: dict[str, str]) -> None:
    assert schedule_with(**changes).beer == "Quayside Ale"


def test_the_length_of_a_fermentation_that_cannot_be_read_blames_no_addition() -> None:
    text = schedule_text(additions="[{add: x, weight: 9 g, at: day 15}]", ferment="{for: 20}")
    assert [fault.key for fault in faults_of(text)] == ["ferment.for"]


def test_a_boil_that_cannot_be_read_blames_no_addition() -> None:
    additions = "[{add: x, weight: 9 g, alpha: 7 %, at: 80 min}]"
    text = schedule_text(additions=additions, boil="{for: 90}")
    assert [fault.key for fault in faults_of(text)] == ["boil.for"]


def test_a_rest_that_cannot_be_read_blames_no_other() -> None:
    mash = "[{at: 90 degC, for: 9 min}, {at: 66 degC, for: 9 min}, {at: 70, for: 9 min}]"
    assert [fault.key for fault in faults_of(schedule_text(mash=mash))] == [
        "mash 1.at",
        "mash 3.at",
    ]


def test_an_addition_that_is_none_leaves_the_others_to_be_checked() -> None:
    additions = "[Challenger, {add: x, weight: 9 g, alpha: 7 %, at: 80 min}]"
    faults = faults_of(schedule_text(additions=additions))
    assert [fault.key for fault in faults] == ["additions 1", "additions 2.at"]


SPOILT = """\
beer: 1984
volume: 19 kg
units: imperial
kettle: kettles/pot.yaml
grist:
  - {malt: pale malt, weight: -3 kg}
  - {malt: crystal malt,
     weight: 300 g, color: 120 EBC}
mash:
  - {at: 300 degC, for: 60 min}
boil:
  for: 60
additions:
  - {add: x, weight: 9 g, at: day 40}
yeast: {name: a, name: b}
"""

SPOILT_KETTLE = """\
holds: 30
heater:
  kind: steam
  power: 2 kW
altitude: 40 L
"""


def test_all_faults_of_both_files_come_at_once_and_in_order() -> None:
    faults = faults_of(SPOILT, SPOILT_KETTLE)
    assert [(fault.file, fault.line, fault.key, fault.found) for fault in faults] == [
        (FILE, 1, "beer", "a number, 1984"),
        (FILE, 2, "volume", "19 kg"),
        (FILE, 3, "units", "imperial"),
        (FILE, 6, "grist 1.weight", "-3 kg"),
        (FILE, 8, "grist 2.color", "an unknown key"),
        (FILE, 10, "mash 1.at", "300 degC"),
        (FILE, 12, "boil.for", "60"),
        (FILE, 14, "additions 1.at", "day 40"),
        (FILE, 15, "yeast.name", "it again, first on line 15"),
        (str(Path("kettles/pot.yaml")), 1, "holds", "30"),
        (str(Path("kettles/pot.yaml")), 3, "heater.kind", "steam"),
        (str(Path("kettles/pot.yaml")), 5, "altitude", "40 L"),
    ]
