"""The screen of a visit fits whatever terminal the brewer has, and shows the beer."""

from collections.abc import Sequence
from io import StringIO

import pytest
from beers import Tended, beer, schedule_with, tended
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.console import Console

from assistant.cellar.events import Errand
from assistant.cellar.state import CellarState
from assistant.day.commands import Command
from assistant.day.effects import Say, Why
from assistant.day.events import RecordTrouble, RecordTroubled
from assistant.visit_screen import draw_visit

HOPS = "  - {add: Bramling, kind: hops, weight: 30 g, alpha: 6 %, at: day 4}\n"
SIZES = pytest.mark.parametrize(
    ("width", "height"),
    [(80, 24), (120, 40), (50, 20), (40, 12), (20, 8), (200, 60), (9, 3), (1, 1)],
    ids=lambda size: str(size),
)


def hopped() -> Tended:
    return tended(schedule_with(additions=HOPS), beer(1.050, 1.012))


def packed() -> Tended:
    found = hopped().gravity(8, 1.012).gravity(11, 1.012).visit(14, Errand.PACKAGE)
    return found.gravity(14, 1.012).warm(14, 20).volume(19)


BEERS = {
    "unread": hopped(),
    "hops due": hopped().warm(2, 25).gravity(4.2, 1.020),
    "asked": hopped().gravity(4.2, 1.130),
    "stuck": hopped().gravity(5, 1.030).gravity(8, 1.030),
    "record in trouble": hopped().happen(
        RecordTroubled(at=hopped().state.now_s, trouble=RecordTrouble.FULL)
    ),
    "primed": packed(),
    "packaged": packed().say(Command.PACKAGED),
}


def rendered(
    state: CellarState,
    width: int,
    height: int,
    *,
    typed: str = "",
    heard: Sequence[str] = (),
    said: Sequence[Say] = (),
    ear: Sequence[str] = (),
) -> list[str]:
    """What a terminal of this size shows, line by line, as the program draws it."""
    console = Console(file=StringIO(), width=width, height=height, force_terminal=True)
    drawn = draw_visit(
        state,
        typed=typed,
        heard=heard,
        said=said,
        ear=ear,
        clock="Sun 09:00",
        width=width,
        height=height,
    )
    with console.capture() as capture:
        console.print(drawn)
    from rich.text import Text

    return [Text.from_ansi(line).plain for line in capture.get().rstrip("\n").split("\n")]


def fits(lines: list[str], width: int, height: int) -> None:
    assert len(lines) == height
    assert max(cell_len(line) for line in lines) <= width


@pytest.mark.parametrize("name", BEERS)
@SIZES
def test_no_line_is_too_wide_and_there_are_as_many_as_the_terminal_has(
    name: str, width: int, height: int
) -> None:
    said = [effect for effect in BEERS[name].effects if isinstance(effect, Say)]
    lines = rendered(
        BEERS[name].state, width, height, typed="gravity", heard=("done",) * 5, said=said
    )
    fits(lines, width, height)


@given(
    name=st.sampled_from(sorted(BEERS)),
    width=st.integers(1, 140),
    height=st.integers(1, 60),
    text=st.text(st.characters(exclude_categories=["Cs"]), max_size=120),
)
def test_any_words_fit_any_terminal(name: str, width: int, height: int, text: str) -> None:
    lines = rendered(
        BEERS[name].state,
        width,
        height,
        typed=text,
        heard=(text,),
        said=(Say(text=text, why=Why.WARNING),),
        ear=(text,),
    )
    fits(lines, width, height)


def shown(name: str, width: int = 80, height: int = 24) -> str:
    return " ".join(" ".join(rendered(BEERS[name].state, width, height)).split())


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("unread", "Slipway Bitter | Sun 09:00 Day 0 of fermentation"),
        ("unread", "Forecast finished in about "),
        ("unread", "In about 4 days: add 30 grams of Bramling"),
        ("hops due", "Due Add 30 grams of Bramling"),
        ("hops due", "Gravity 1.020 just now"),
        ("hops due", "59 percent fermented, 4 percent alcohol"),
        ("hops due", "18 to 20 degrees wanted"),
        ("asked", "Asked 1.130? That is unusual. Yes or no?"),
        ("stuck", "Steady 3 days by the hydrometer"),
        ("primed", "Due Add 112 grams of sucrose"),
        ("packaged", "in bottles for 0 days"),
        ("packaged", "Wanted slurry"),
        ("packaged", "In about 14 days: ready to drink"),
    ],
)
def test_what_is_known_of_the_beer_is_shown(name: str, words: str) -> None:
    assert words in shown(name)


def test_what_is_typed_stands_on_the_last_line_of_the_lowest_terminal() -> None:
    lines = rendered(BEERS["hops due"].state, 40, 2, typed="gravity 1.0")
    assert lines[-1].rstrip() == " > gravity 1.0_"


def test_the_end_of_a_long_line_that_is_typed_is_seen() -> None:
    line = "note " + "the krausen climbed out of the airlock " * 4 + "at noon"
    assert rendered(BEERS["unread"].state, 60, 24, typed=line)[-1].rstrip().endswith("at noon_")


def test_what_steers_a_terminal_never_reaches_it() -> None:
    lines = rendered(BEERS["unread"].state, 80, 24, typed="\x1b[2Jgone", heard=("\x1b]0;x\x07",))
    assert not any("\x1b" in line for line in lines)
