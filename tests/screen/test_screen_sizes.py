"""The screen fits whatever terminal the brewer has."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from screen_days import DAYS, brewed, lines_of, named, rendered

from assistant.big_figures import GLYPHS, ROWS, big
from assistant.day.effects import Say, Why
from assistant.text_lines import packed, wrapped

BREWED = {name: brewed(events) for name, events in DAYS.items()}
words = st.text(st.characters(exclude_categories=["Cs"]), max_size=120)


@pytest.mark.parametrize("day", DAYS)
@pytest.mark.parametrize(
    ("width", "height"),
    [(80, 24), (120, 40), (50, 20), (40, 12), (200, 60), (74, 15), (20, 8)],
    ids=lambda size: str(size),
)
def test_no_line_is_too_wide_and_there_are_as_many_as_the_terminal_has(
    day: str, width: int, height: int
) -> None:
    lines = rendered(*BREWED[day], width, height, typed="gravity", heard=("done",) * 12)
    assert len(lines) == height
    assert max(cell_len(line) for line in lines) <= width


@given(
    day=st.sampled_from(sorted(DAYS)),
    width=st.integers(1, 140),
    height=st.integers(1, 60),
    text=words,
)
def test_any_words_fit_any_terminal(day: str, width: int, height: int, text: str) -> None:
    state, said = BREWED[day]
    spoken = (*said, Say(text=text, why=Why.WARNING))
    lines = rendered(state, spoken, width, height, typed=text, heard=(text,))
    assert len(lines) == height
    assert max(cell_len(line) for line in lines) <= width


@pytest.mark.parametrize(("width", "height"), [(80, 24), (50, 20), (40, 12), (30, 8)])
def test_the_next_thing_and_the_advice_are_there_on_small_terminals(
    width: int, height: int
) -> None:
    shown = " ".join(" ".join(lines_of(DAYS["cold mash"], width, height)).split())
    assert "Beta rest: time left" in shown
    assert "3 degrees cold." in shown


def test_a_low_terminal_has_its_countdown_on_one_line() -> None:
    lines = lines_of(DAYS["cold mash"], 80, 12)
    assert "36:40 Beta rest: time left" in "\n".join(lines)
    assert not any("█" in line for line in lines)


def test_what_is_cut_is_marked_at_its_label() -> None:
    low = lines_of(DAYS["cold mash"], 80, 12)
    high = lines_of(DAYS["cold mash"], 80, 40)
    assert any(line.startswith((" say +", " said +")) for line in low)
    assert not any(" + " in line[:12] for line in high)


def test_the_stage_goes_before_a_long_name_of_a_beer() -> None:
    beer = named("The Ninth Attempt at a Stout for a Very Long Winter by the Sea")
    for width, name in [(80, "The Ninth Attempt"), (45, "The Nin")]:
        top = lines_of(DAYS["cold mash"], width, 24, schedule=beer)[0]
        assert "the mash, beta at 64 degrees" in top
        assert (name in top) is (width == 80)


@pytest.mark.parametrize("text", ["12:34", "1:23:45", "NOW", "23:59:59", "0:00"])
@given(width=st.integers(0, 150), height=st.integers(0, 30))
def test_large_figures_keep_to_the_room_they_get(text: str, width: int, height: int) -> None:
    rows = big(text, width=width, height=height)
    assert len(rows) in (0, ROWS, 2 * ROWS)
    assert len(rows) <= height
    assert {len(row) for row in rows} <= set(range(width + 1))


def test_no_two_figures_look_alike() -> None:
    digits = [GLYPHS[character] for character in "0123456789:"]
    assert len(set(digits)) == len(digits)
    for rows in GLYPHS.values():
        assert len(rows) == ROWS
        assert len({len(row) for row in rows}) == 1


@given(text=words, width=st.integers(2, 60))
def test_wrapping_loses_no_word_and_keeps_to_the_width(text: str, width: int) -> None:
    lines = wrapped(text, width)
    assert all(cell_len(line.plain) <= width for line in lines)
    kept = "".join(c for line in lines for c in line.plain if not c.isspace())
    assert kept == "".join(c for c in text if c.isprintable() and not c.isspace())


def test_phrases_are_not_broken_in_the_middle() -> None:
    lines = [line.plain for line in packed(["bag is out", "how long", "what's next"], 22)]
    assert lines == ["bag is out / how long", "what's next"]
