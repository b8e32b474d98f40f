"""What weighed candidates are worth: act, ask, or leave it."""

from dataclasses import replace

import pytest
from hearing.listening_contexts import BOIL, asking

from assistant.day.commands import Command
from assistant.day.events import CommandGiven, HeardUnsurely, NoteTaken
from assistant.day.listening import Listening
from assistant.day.quantities import Quantity
from assistant.hearing.engine import Candidate, EngineFailed, Evidence, Sound
from assistant.hearing.grammar.tree import Grammar
from assistant.hearing.recogniser import Heard, Recogniser, Verdict
from assistant.hearing.scales import AT_A_GLANCE, BY_PHONES_AND_VOTES, BY_WRITING_TOO
from assistant.hearing.spoken import spoken

MASH = replace(asking(Quantity.MASH_TEMPERATURE), likely={Quantity.MASH_TEMPERATURE: (58.0, 74.0)})
WATER = replace(
    asking(Quantity.WATER_TEMPERATURE), likely={Quantity.WATER_TEMPERATURE: (10.0, 80.0)}
)
DONE = CommandGiven(at=0.0, command=Command.DONE)
PHONES = 10
TWO, THREE, GLANCE = BY_PHONES_AND_VOTES, BY_WRITING_TOO, AT_A_GLANCE


Told = dict[str, tuple[float, int] | tuple[float, int, float]]
"""What each sentence weighs: its strangeness, its votes, and how unwritten it is."""


class Weighing:
    """An engine that was told what each sentence weighs."""

    name = "told"

    def __init__(self, told: Told) -> None:
        self.told = told

    def hear(self, sound: Sound, grammar: Grammar) -> Evidence:
        candidates = tuple(
            Candidate(
                words=spoken(words),
                strangeness=strangeness,
                phones=PHONES,
                votes=votes,
                unwritten=written[0] if written else None,
            )
            for words, (strangeness, votes, *written) in self.told.items()
        )
        return Evidence(engine=self.name, seconds=1.0, candidates=candidates)

    def close(self) -> None:
        pass


def heard(told: Told, context: Listening = BOIL, *, suspect: bool = False) -> Heard:
    return Recogniser(Weighing(told)).recognise(None, context, suspect=suspect)


def test_a_sentence_far_ahead_of_the_others_is_acted_on() -> None:
    found = heard({"sixty five": (4.0, 3), "sixty nine": (14.0, 0)}, MASH)
    assert (found.verdict, found.event.value) == (Verdict.ACT, 65.0)
    assert found.confidence > 0.9


def test_a_figure_with_a_rival_close_behind_is_asked_about() -> None:
    found = heard({"sixty five": (4.0, 1), "sixty nine": (5.0, 1)}, MASH)
    assert found.verdict is Verdict.ASK
    assert isinstance(found.event, HeardUnsurely)
    assert [choice.value for choice in found.choices] == [65.0, 69.0]


def test_a_rival_with_the_votes_goes_before_one_that_is_a_little_less_strange() -> None:
    found = heard({"sixty five": (5.0, 0), "sixty nine": (8.0, 1)}, MASH)
    assert [choice.value for choice in found.choices] == [69.0, 65.0]


@pytest.mark.parametrize(
    "told",
    [
        {"sixty five": (5.0, 2), "sixty nine": (4.0, 0)},
        {"sixty five": (4.0, 0), "sixty nine": (14.0, 0)},
    ],
    ids=["the votes against the phones", "no votes"],
)
def test_a_figure_that_only_one_of_the_models_has_is_asked_about(
    told: Told,
) -> None:
    found = heard(told, MASH)
    assert found.verdict is Verdict.ASK
    assert found.choices[0].value == 65.0


def test_other_words_for_the_same_meaning_are_no_rivals() -> None:
    found = heard({"sixty five": (4.0, 1), "it's sixty five": (4.1, 1)}, MASH)
    assert found.verdict is Verdict.ACT
    assert heard({"done": (2.0, 1), "kettle done": (2.1, 1)}).event == DONE


@pytest.mark.parametrize(
    ("behind", "verdict"),
    [(TWO.sure_of_a_figure + 1, Verdict.ASK), (TWO.sure_of_a_teen + 1, Verdict.ACT)],
)
def test_a_teen_and_its_ty_must_be_farther_apart(behind: float, verdict: Verdict) -> None:
    found = heard({"fifteen": (4.0, 1), "fifty": (4.0 + behind, 1)}, WATER)
    assert found.verdict is verdict


def test_what_is_strange_for_all_that_can_be_said_is_not_for_us() -> None:
    found = heard({"sixty five": ((TWO.oddest + 0.1) * PHONES, 3)}, MASH)
    assert (found.verdict, found.event, found.confidence) == (Verdict.IGNORE, None, 0.0)
    assert found.rejected_because


def test_no_words_are_nothing() -> None:
    assert heard({}).verdict is Verdict.IGNORE


@pytest.mark.parametrize(
    ("behind", "verdict"),
    [(TWO.sure_of_the_unlikely - 1, Verdict.ASK), (TWO.sure_of_the_unlikely + 1, Verdict.ACT)],
)
def test_a_reading_that_is_not_likely_must_be_heard_all_the_better(
    behind: float, verdict: Verdict
) -> None:
    told = {"eight point five": (1.0, 1), "ten": (1.0 + behind, 1)}
    assert heard(told, MASH).verdict is verdict


def test_a_figure_that_is_rather_strange_is_asked_about() -> None:
    strange = {"sixty five": ((TWO.oddest_figure + 0.1) * PHONES, 3)}
    found = heard(strange, MASH)
    assert found.verdict is Verdict.ASK
    assert [choice.value for choice in found.choices] == [65.0]
    assert heard({"done": ((TWO.oddest_figure + 0.1) * PHONES, 3)}).event == DONE


def test_of_two_that_sound_alike_the_likely_one_goes_before() -> None:
    found = heard({"eight point five": (1.0, 0), "sixty eight point five": (1.5, 0)}, MASH)
    assert found.choices[0].value == 68.5


def test_a_query_costs_nothing_and_needs_no_distance() -> None:
    found = heard({"how long": (3.0, 0), "hold on": (3.5, 0)})
    assert found.event == CommandGiven(at=0.0, command=Command.HOW_LONG)


def test_a_command_needs_some_distance() -> None:
    assert (
        heard({"done": (3.0, 0), "skip it": (3.0 + TWO.vote_worth / 2, 0)}).verdict is Verdict.ASK
    )


@pytest.mark.parametrize(("behind", "acts"), [(6.0, False), (10.0, True)])
def test_to_take_back_a_step_takes_more_than_any_other_command(behind: float, acts: bool) -> None:
    told = {"that's wrong": (2.0, 0), "that's done": (2.0 + behind, 0)}
    assert (heard(told).verdict is Verdict.ACT) is acts
    assert heard(told, replace(BOIL, question=True)).verdict is Verdict.ACT


def test_a_figure_from_a_sound_with_a_hole_in_it_is_asked_about() -> None:
    found = heard({"sixty five": (1.0, 3)}, MASH, suspect=True)
    assert found.verdict is Verdict.ASK
    assert heard({"done": (1.0, 3)}, suspect=True).event == DONE


@pytest.mark.parametrize(
    ("told", "verdict"),
    [
        ({"sixty five": (4.0, 2, 1.0), "sixty nine": (14.0, 0, 9.0)}, Verdict.ACT),
        ({"sixty five": (4.0, 0, 1.0), "sixty nine": (14.0, 0, 9.0)}, Verdict.ACT),
        ({"sixty five": (4.0, 2, 3.0), "sixty nine": (14.0, 0, 1.0)}, Verdict.ACT),
        ({"sixty five": (4.0, 0, 1.0), "sixty nine": (9.0, 1, 9.0)}, Verdict.ACT),
        ({"sixty five": (4.0, 0, 9.0), "sixty nine": (14.0, 2, 7.0)}, Verdict.ASK),
        ({"sixty five": (7.0, 2, 1.0), "sixty nine": (4.0, 0, 12.0)}, Verdict.ASK),
        ({"sixty five": (4.0, 1, 1.0), "sixty nine": (6.0, 1, 4.0)}, Verdict.ASK),
    ],
    ids=[
        "all three have it",
        "no votes",
        "another would rather be written",
        "another has a vote",
        "only the phones have it",
        "much stranger by its phones than another",
        "another is close behind",
    ],
)
def test_of_three_models_two_must_have_a_figure(told: Told, verdict: Verdict) -> None:
    found = heard(told, MASH)
    assert found.verdict is verdict
    if verdict is Verdict.ACT:
        assert found.event.value == 65.0


@pytest.mark.parametrize(("votes", "verdict"), [(1, Verdict.ACT), (0, Verdict.ASK)])
def test_an_odd_figure_is_believed_only_where_all_three_models_have_it(
    votes: int, verdict: Verdict
) -> None:
    odd = (THREE.oddest_unless_all + 0.2) * PHONES
    assert heard({"sixty five": (odd, votes, 0.0)}, MASH).verdict is verdict


def test_what_nobody_would_write_so_is_not_for_us() -> None:
    assert heard({"sixty five": (10.0, 2, 0.0)}, MASH).verdict is Verdict.ACT
    unwritten = (THREE.oddest - 1.0) / THREE.unwritten_share + 1.0
    assert heard({"sixty five": (10.0, 2, unwritten)}, MASH).verdict is Verdict.IGNORE


def test_a_part_of_what_else_it_could_be_must_be_farther_apart() -> None:
    apart = THREE.sure_of_a_part - 1.0
    longer = {"sixty five": (4.0, 0, 1.0), "sixty five point five": (4.0 + apart, 0, 1.0)}
    assert heard(longer, MASH).verdict is Verdict.ASK
    other = {"sixty five": (4.0, 0, 1.0), "seventy one point two": (4.0 + apart, 0, 1.0)}
    assert heard(other, MASH).verdict is Verdict.ACT


@pytest.mark.parametrize(
    ("behind", "verdict"),
    [(THREE.sure_of_a_figure - THREE.unwritten_unasked - 1.0, Verdict.ASK), (9.0, Verdict.ACT)],
)
def test_what_was_not_asked_about_is_behind_by_its_phones(behind: float, verdict: Verdict) -> None:
    told = {"sixty five": (4.0, 0, 0.0), "sixty nine": (4.0 + behind, 0)}
    assert heard(told, MASH).verdict is verdict


class Glanced(Weighing):
    """An engine that looks twice, and was told what each look finds."""

    def __init__(self, glanced: Told, told: Told, written: str = "") -> None:
        super().__init__(told)
        self.glanced, self.written, self.looks = Weighing(glanced), written, 0

    def glance(self, sound: Sound, grammar: Grammar) -> Evidence:
        found = self.glanced.hear(sound, grammar)
        return replace(found, at_a_glance=True, written=self.written)

    def hear(self, sound: Sound, grammar: Grammar) -> Evidence:
        self.looks += 1
        return replace(super().hear(sound, grammar), written=self.written)


@pytest.mark.parametrize(
    ("behind", "looks"), [(GLANCE.sure_of_a_figure + 1, 0), (GLANCE.sure_of_a_figure - 1, 1)]
)
def test_a_second_look_is_taken_where_the_first_is_not_sure(behind: float, looks: int) -> None:
    glanced: Told = {"sixty five": (4.0, 0, 0.0), "sixty nine": (4.0 + behind - 1.0, 0, 1.0)}
    engine = Glanced(glanced, {"sixty six": (4.0, 2, 0.0)})
    found = Recogniser(engine).recognise(None, MASH)
    assert engine.looks == looks
    assert found.event.value == (66.0 if looks else 65.0)


def test_an_engine_that_fails_at_a_glance_is_asked_for_a_whole_look() -> None:
    class Failing(Glanced):
        def glance(self, sound: Sound, grammar: Grammar) -> Evidence:
            raise EngineFailed("It stopped.")

    engine = Failing({}, {"sixty six": (4.0, 2, 0.0)})
    assert Recogniser(engine).recognise(None, MASH).event.value == 66.0


NOTES = [
    ("kettle pitched", "Kettle note the bag tore", "the bag tore"),
    ("kettle sixty five", "Cattle, make a note that it was sixty five", "it was sixty five"),
    ("kettle sixty five", "Kettle 65", None),
    ("kettle forty two minute timer", "little note for the postman about the parcel", None),
    ("kettle pitched", "Kettle I took note of it", None),
    ("pitched", "Kettle note the bag tore", None),
]


@pytest.mark.parametrize(("by_phones", "written", "text"), NOTES, ids=[row[1] for row in NOTES])
def test_a_note_is_one_where_both_models_have_the_wake_word_and_then_note(
    by_phones: str, written: str, text: str | None
) -> None:
    engine = Glanced({}, {by_phones: (4.0, 2, 0.0)}, written)
    event = Recogniser(engine).recognise(None, MASH).event
    assert (event.text if isinstance(event, NoteTaken) else None) == text
    torn = Recogniser(engine).recognise(None, MASH, suspect=True).event
    assert not isinstance(torn, NoteTaken)


def test_the_wordings_of_a_meaning_are_written_together() -> None:
    told = {
        "sixty five": (4.0, 0, 3.0),
        "it's sixty five": (4.0, 0, 3.0),
        "sixty nine": (4.0, 0, 2.5),
    }
    assert heard(told, MASH).choices[0].value == 65.0


def test_the_wake_word_alone_is_no_sentence() -> None:
    found = heard({"kettle": (1.0, 3)})
    assert (found.verdict, found.woken, found.event) == (Verdict.IGNORE, True, None)
