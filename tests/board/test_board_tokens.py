"""The secret in a shared board's address."""

import os
import sys
from datetime import datetime
from pathlib import Path

import pytest

from assistant.board.tokens import LETTERS, SECRET_FILE, Tokens, kept_secret

SECRET = bytes(range(32))
EVENING = datetime(2026, 5, 2, 20, 0)


def test_each_date_has_a_token_of_its_own() -> None:
    tokens = Tokens(SECRET)
    dates = [datetime(2026, month, day) for month in range(1, 13) for day in range(1, 29)]
    assert len({tokens.token(date) for date in dates}) == len(dates)


def test_a_token_holds_130_bits_in_letters_that_can_be_told_apart() -> None:
    token = Tokens(SECRET).token(EVENING)
    assert len(set(LETTERS)) == 32
    assert not set("lo01") & set(LETTERS)
    assert len(token) == 26
    assert set(token) <= set(LETTERS)
    tokens = (Tokens(SECRET).token(datetime(2026, 5, day)) for day in range(1, 32))
    assert set("".join(tokens)) == set(LETTERS)


def test_a_restart_on_the_same_date_keeps_the_address(tmp_path: Path) -> None:
    before = Tokens(kept_secret(tmp_path)).token(EVENING)
    assert Tokens(kept_secret(tmp_path)).token(EVENING.replace(hour=23)) == before


def test_another_folder_has_other_tokens(tmp_path: Path) -> None:
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
    one, other = (kept_secret(tmp_path / name) for name in ("one", "other"))
    assert Tokens(one).token(EVENING) != Tokens(other).token(EVENING)


@pytest.mark.parametrize(
    ("now", "good"),
    [
        pytest.param(datetime(2026, 5, 2, 0, 0), True, id="its own date's first minute"),
        pytest.param(datetime(2026, 5, 2, 23, 59), True, id="its last"),
        pytest.param(datetime(2026, 5, 3, 0, 1), True, id="a day that runs past midnight"),
        pytest.param(datetime(2026, 5, 3, 5, 59), True, id="the small hours"),
        pytest.param(datetime(2026, 5, 3, 6, 0), False, id="the next morning"),
        pytest.param(datetime(2026, 5, 1, 23, 59), False, id="the evening before"),
    ],
)
def test_a_token_is_good_on_its_date_and_until_six_the_next_morning(
    now: datetime, good: bool
) -> None:
    tokens = Tokens(SECRET)
    assert tokens.is_good(tokens.token(EVENING), now) is good


@pytest.mark.parametrize("token", ["", "a", "\u00fc" * 26, "x" * 10_000])
def test_what_is_no_token_is_never_good(token: str) -> None:
    assert not Tokens(SECRET).is_good(token, EVENING)


@pytest.mark.skipif(sys.platform == "win32", reason="no such rights on Windows")
def test_nobody_else_on_the_machine_can_read_the_secret(tmp_path: Path) -> None:
    mask = os.umask(0)
    try:
        kept_secret(tmp_path)
    finally:
        os.umask(mask)
    assert (tmp_path / SECRET_FILE).stat().st_mode & 0o077 == 0


def test_a_secret_that_was_cut_short_is_made_anew(tmp_path: Path) -> None:
    (tmp_path / SECRET_FILE).write_bytes(b"short")
    made = kept_secret(tmp_path)
    assert len(made) == 32
    assert kept_secret(tmp_path) == made


def test_without_a_folder_there_is_still_a_secret(tmp_path: Path) -> None:
    nowhere = tmp_path / "missing"
    assert len(kept_secret(nowhere)) == 32
    assert kept_secret(nowhere) != kept_secret(nowhere)
