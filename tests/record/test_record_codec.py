"""What goes on record comes back the same, and what can't be read is named by its row."""

import json
import math
import typing
from collections.abc import Mapping
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_day import small_schedule

from assistant.advice.learned import Figure, LearnedKettle, Trait
from assistant.cellar.events import BeerEvent, Errand, VisitBegan
from assistant.day.commands import Command
from assistant.day.events import (
    ClockJumped,
    CommandGiven,
    DayBegan,
    DayResumed,
    EarTroubled,
    Event,
    HeardUnsurely,
    Jump,
    Meaning,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    RecordMended,
    RecordTrouble,
    RecordTroubled,
    SensorsTroubled,
    SensorTrouble,
    Source,
    TaskDone,
    TimePassed,
    TimerRequested,
    Trouble,
)
from assistant.day.quantities import Quantity
from assistant.record.codec import (
    KINDS,
    MOST_OF_ANY_TRAIT,
    event_from,
    event_text,
    learned_from,
    learned_text,
    schedule_from,
    schedule_text,
)
from assistant.record.errors import RecordError
from assistant.schedule import Schedule
from assistant.schedule.model import Glass, Package, PrimingSugar, Vessel

FINITE = st.floats(allow_nan=False, allow_infinity=False)
ANY_TEXT = st.text(st.characters())
"""Every character there is, the halves of a broken file name among them."""

MEANINGS: Mapping[type[Meaning], st.SearchStrategy[Meaning]] = {
    ReadingTaken: st.builds(
        ReadingTaken,
        at=FINITE,
        quantity=st.sampled_from(Quantity),
        value=FINITE,
        unit=ANY_TEXT,
        sample_c=st.none() | FINITE,
        source=st.sampled_from(Source),
    ),
    NumberSaid: st.builds(NumberSaid, at=FINITE, value=FINITE, unit=st.none() | ANY_TEXT),
    CommandGiven: st.builds(
        CommandGiven, at=FINITE, command=st.sampled_from(Command), subject=st.none() | ANY_TEXT
    ),
    OptionChosen: st.builds(OptionChosen, at=FINITE, say=ANY_TEXT),
    TimerRequested: st.builds(TimerRequested, at=FINITE, seconds=FINITE, name=ANY_TEXT),
}

OF_A_KETTLE = st.floats(-MOST_OF_ANY_TRAIT, MOST_OF_ANY_TRAIT)
LEARNED = st.builds(
    LearnedKettle,
    kettle=ANY_TEXT,
    brews=st.integers(min_value=1),
    figures=st.dictionaries(
        st.sampled_from(Trait),
        st.builds(
            Figure,
            value=OF_A_KETTLE,
            spread=st.floats(min_value=0.0, max_value=MOST_OF_ANY_TRAIT, exclude_min=True),
            card=OF_A_KETTLE,
        ),
    ),
    from_card=st.lists(st.sampled_from(Trait), max_size=2).map(tuple),
)

GARAGE = LearnedKettle(
    kettle="garage 35 L",
    brews=3,
    figures={
        Trait.BOIL_OFF: Figure(value=2.7, spread=0.1, card=2.6),
        Trait.LANDING: Figure(value=-0.8, spread=0.3, card=0.0),
    },
)

EVENTS: Mapping[type[BeerEvent], st.SearchStrategy[BeerEvent]] = {
    **MEANINGS,
    DayBegan: st.builds(DayBegan, at=FINITE, learned=st.none() | LEARNED),
    DayResumed: st.builds(DayResumed, at=FINITE, unsure=st.booleans()),
    TimePassed: st.builds(TimePassed, at=FINITE),
    TaskDone: st.builds(TaskDone, at=FINITE, task_id=st.integers()),
    NoteTaken: st.builds(NoteTaken, at=FINITE, text=ANY_TEXT, dictated=st.booleans()),
    HeardUnsurely: st.builds(
        HeardUnsurely,
        at=FINITE,
        meanings=st.lists(st.one_of(*MEANINGS.values()), max_size=3).map(tuple),
    ),
    EarTroubled: st.builds(EarTroubled, at=FINITE, trouble=st.sampled_from(Trouble)),
    RecordTroubled: st.builds(RecordTroubled, at=FINITE, trouble=st.sampled_from(RecordTrouble)),
    RecordMended: st.builds(RecordMended, at=FINITE, missing=st.integers()),
    ClockJumped: st.builds(ClockJumped, at=FINITE, jump=st.sampled_from(Jump), seconds=FINITE),
    VisitBegan: st.builds(
        VisitBegan,
        at=FINITE,
        errand=st.sampled_from(Errand),
        package=st.none()
        | st.builds(
            Package,
            into=st.sampled_from(Vessel),
            carbonation_vol=FINITE,
            sugar=st.sampled_from(PrimingSugar),
            glass=st.sampled_from(Glass),
        ),
        bottle_ml=st.none() | FINITE,
        serving_c=st.none() | FINITE,
        final_gravity=st.none() | FINITE,
    ),
    SensorsTroubled: st.builds(
        SensorsTroubled,
        at=FINITE,
        trouble=st.sampled_from(SensorTrouble),
        quantity=st.none() | st.sampled_from(Quantity),
    ),
}


def test_every_kind_of_event_has_a_word_on_record() -> None:
    assert set(KINDS.values()) == set(typing.get_args(BeerEvent)) == set(EVENTS)
    assert set(MEANINGS) == set(typing.get_args(Meaning))


@given(st.one_of(*EVENTS.values()))
def test_an_event_comes_back_to_the_last_bit(event: BeerEvent) -> None:
    kind, body = event_text(event)
    back = event_from(kind, body, "row 1 of day 1")
    assert back == event
    # Minus nought equals nought, but does not read the same.
    assert repr(back) == repr(event)


@pytest.mark.parametrize(
    ("kind", "body", "event"),
    [
        pytest.param("DayBegan", '{"at": 0}', DayBegan(at=0.0), id="whole second"),
        pytest.param(
            "NoteTaken", '{"at": 6, "text": "a"}', NoteTaken(at=6.0, text="a"), id="a typed note"
        ),
        pytest.param(
            "ReadingTaken",
            '{"at": 61.5, "quantity": "gravity", "value": 1.048, "unit": "SG", "sample_c": 24.0,'
            ' "source": "sensor"}',
            ReadingTaken(
                at=61.5,
                quantity=Quantity.GRAVITY,
                value=1.048,
                unit="SG",
                sample_c=24.0,
                source=Source.SENSOR,
            ),
            id="hydrometer",
        ),
        pytest.param(
            "ReadingTaken",
            '{"at": 61.5, "quantity": "mash_ph", "value": 5.4, "unit": "pH"}',
            ReadingTaken(at=61.5, quantity=Quantity.MASH_PH, value=5.4, unit="pH"),
            id="fields with a default left out",
        ),
        pytest.param(
            "CommandGiven",
            '{"at": 7, "command": "it\'s in", "subject": "Target"}',
            CommandGiven(at=7.0, command=Command.ADDED, subject="Target"),
            id="hops in",
        ),
        pytest.param("TaskDone", '{"at": 7, "task_id": 4}', TaskDone(at=7.0, task_id=4), id="task"),
        pytest.param(
            "HeardUnsurely",
            '{"at": 7, "meanings": [{"kind": "NumberSaid", "at": 7, "value": 15},'
            ' {"kind": "CommandGiven", "at": 7, "command": "skip"}]}',
            HeardUnsurely(
                at=7.0,
                meanings=(
                    NumberSaid(at=7.0, value=15.0),
                    CommandGiven(at=7.0, command=Command.SKIP),
                ),
            ),
            id="two meanings",
        ),
        pytest.param(
            "EarTroubled",
            '{"at": 7, "trouble": "too loud"}',
            EarTroubled(at=7.0, trouble=Trouble.TOO_LOUD),
            id="trouble",
        ),
    ],
)
def test_rows_of_the_first_version_are_still_read(kind: str, body: str, event: Event) -> None:
    assert event_from(kind, body, "row 1 of day 1") == event


@pytest.mark.parametrize(
    ("kind", "body", "wording"),
    [
        pytest.param("BagSqueezed", "{}", "'BagSqueezed', which is no kind of event", id="kind"),
        pytest.param("Day\x1b[2J", "{}", r"holds 'Day\\x1b\[2J'", id="kind that clears the screen"),
        pytest.param("TimePassed", '{"at": 6', "TimePassed, can't be read: it is not", id="torn"),
        pytest.param("TimePassed", "[6]", r"found \[6\]; wanted an object", id="a list"),
        pytest.param("TimePassed", "[" * 100_000, "it is not JSON", id="bottomless"),
        pytest.param("TimePassed", "{}", "required field missing @ body.at", id="no time"),
        pytest.param("TimePassed", '{"at": "6"}', "body.at", id="a time in quotes"),
        pytest.param("TimePassed", '{"at": true}', "body.at", id="a yes for a time"),
        pytest.param("TimePassed", '{"at": 6, "till": 7}', "till", id="a field too many"),
        pytest.param("TaskDone", '{"at": 6, "task_id": 1.5}', "body.task_id", id="half a task"),
        pytest.param("NoteTaken", '{"at": 6, "text": 7}', "body.text", id="a figure for a note"),
        pytest.param(
            "CommandGiven", '{"at": 6, "command": "dance"}', "body.command", id="no such command"
        ),
        pytest.param(
            "HeardUnsurely",
            '{"at": 6, "meanings": [{"at": 6, "value": 15}]}',
            r"body.meanings\[0\]",
            id="a meaning without its kind",
        ),
        pytest.param(
            "HeardUnsurely",
            '{"at": 6, "meanings": [{"kind": "TaskDone", "at": 6, "task_id": 4}]}',
            r"body.meanings\[0\]",
            id="a meaning that is none",
        ),
        pytest.param(
            "HeardUnsurely",
            '{"at": 6, "meanings": [{"kind": "NumberSaid", "at": 6, "value": "15"}]}',
            r"body.meanings\[0\].value",
            id="a figure in quotes",
        ),
        pytest.param("EarTroubled", '{"at": 6, "trouble": "deaf"}', "body.trouble", id="trouble"),
        pytest.param(
            "NoteTaken", '{"at": 6, "text": "a", "dictated": 1}', "body.dictated", id="one for true"
        ),
        pytest.param(
            "TimePassed", '{"at": 1' + "0" * 400 + "}", "body.at", id="later than any float"
        ),
    ],
)
def test_a_row_that_cant_be_read_is_named(kind: str, body: str, wording: str) -> None:
    with pytest.raises(RecordError, match=wording) as raised:
        event_from(kind, body, "row 7 of day 2")
    assert str(raised.value).startswith("row 7 of day 2 of the record")
    assert str(raised.value).isprintable()


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_a_figure_that_is_no_number_can_not_go_on_record(value: float) -> None:
    with pytest.raises(RecordError, match="NumberSaid can't go on record"):
        event_text(NumberSaid(at=1.0, value=value))


def test_a_schedule_comes_back_whole(amber: Schedule) -> None:
    for schedule in (amber, small_schedule()):
        assert schedule_from(schedule_text(schedule), "day 1") == schedule


@pytest.mark.parametrize("text", ["", "{}", "null", '{"beer": "Slipway Bitter"}'])
def test_a_schedule_that_cant_be_read_is_named_by_its_day(text: str) -> None:
    with pytest.raises(RecordError, match="the schedule of day 3 on record can't be read"):
        schedule_from(text, "day 3")


@given(LEARNED)
def test_what_was_learned_of_a_kettle_comes_back_to_the_last_bit(learned: LearnedKettle) -> None:
    back = learned_from(learned_text(learned), "day 1")
    assert back == learned
    assert repr(back) == repr(learned)


def garage_body(**changed: object) -> str:
    """What is on record of a kettle, its boil-off changed or spoiled."""
    boil_off = {"value": 2.7, "spread": 0.1, "card": 2.6, **changed}
    return json.dumps({"kettle": "garage", "brews": 2, "figures": {"boil_off_l_h": boil_off}})


def test_a_figure_that_only_a_later_version_learns_is_passed_over() -> None:
    body = json.loads(learned_text(GARAGE))
    body["figures"]["foam_height_cm"] = ["any", "thing"]
    assert learned_from(json.dumps(body), "day 1") == GARAGE
    began = json.dumps({"at": 0.0, "learned": body})
    assert event_from("DayBegan", began, "row 1") == DayBegan(at=0.0, learned=GARAGE)


@pytest.mark.parametrize(
    ("body", "place"),
    [
        pytest.param(garage_body(value=math.nan), r"boil_off_l_h'\].value", id="no number"),
        pytest.param(garage_body(value=math.inf), r"boil_off_l_h'\].value", id="endless"),
        pytest.param(garage_body(card=-math.inf), r"boil_off_l_h'\].card", id="endless card"),
        pytest.param(garage_body(spread=0.0), r"boil_off_l_h'\].spread", id="known exactly"),
        pytest.param(garage_body(spread=-0.1), r"boil_off_l_h'\].spread", id="spread below nought"),
        pytest.param(garage_body(spread=math.nan), r"boil_off_l_h'\].spread", id="no spread"),
        pytest.param(garage_body(value=-1e300), r"boil_off_l_h'\].value", id="past any sum"),
        pytest.param(garage_body(spread=1e300), r"boil_off_l_h'\].spread", id="spread past any"),
        pytest.param(garage_body(value="2.7"), r"boil_off_l_h'\].value", id="in quotes"),
        pytest.param(garage_body(unit="L/h"), r"extra fields found \(unit\)", id="one too many"),
        pytest.param('{"kettle": "garage", "brews": 0, "figures": {}}', "brews", id="no brew"),
        pytest.param(
            '{"kettle": "garage", "brews": 1.5, "figures": {}}', "brews", id="half a brew"
        ),
        pytest.param('{"kettle": 35, "brews": 1, "figures": {}}', "kettle", id="a nameless kettle"),
        pytest.param('{"kettle": "garage", "brews": 1, "figures": [2.7]}', "figures", id="a list"),
        pytest.param('{"kettle": "garage", "brews": 1}', "figures", id="no figures"),
        pytest.param(
            '{"kettle": "garage", "brews": 1, "figures": {"boil_off_l_h": 2.7}}',
            "boil_off_l_h",
            id="a bare figure",
        ),
    ],
)
def test_what_was_learned_is_read_strictly(body: str, place: str) -> None:
    with pytest.raises(RecordError, match=place) as raised:
        learned_from(body, "day 3")
    assert str(raised.value).startswith("what day 3 on record taught of its kettle can't be read")
    with pytest.raises(RecordError, match=place):
        event_from("DayBegan", f'{{"at": 0, "learned": {body}}}', "row 1 of day 4")


@pytest.mark.parametrize(
    "spoiled",
    [
        pytest.param({"value": math.nan}, id="no number"),
        pytest.param({"spread": 0.0}, id="known exactly"),
    ],
)
def test_what_could_not_be_read_again_is_not_put_on_record(spoiled: dict[str, float]) -> None:
    figure = Figure(**{"value": 2.7, "spread": 0.1, "card": 2.6, **spoiled})
    learned = LearnedKettle(kettle="garage", brews=1, figures={Trait.BOIL_OFF: figure})
    with pytest.raises(RecordError, match="what was learned of the kettle can't go on record"):
        learned_text(learned)


def test_a_kettle_whose_card_was_never_changed_is_written_as_it_always_was() -> None:
    assert "from_card" not in learned_text(GARAGE)
    changed = replace(GARAGE, from_card=(Trait.HEATER,))
    assert '"from_card":["heater_efficiency"]' in learned_text(changed)
