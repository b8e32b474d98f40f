"""What a mash does at each temperature."""

from itertools import pairwise

import pytest

from assistant.brewing.errors import OutOfRange
from assistant.brewing.rests import RESTS, mash_rest


@pytest.mark.parametrize(
    ("temperature_c", "name"),
    [
        # J. Palmer, How to Brew, the table of rests, as later quoted.
        (40.0, "gum rest"),
        (50.0, "protein rest"),
        (55.0, "beta-amylase rest"),
        (63.0, "beta-amylase rest"),
        (66.5, "single infusion"),
        (70.0, "alpha-amylase rest"),
        (76.0, "mash-out"),
        (78.0, "mash-out"),
        # The table leaves 72 to 75 °C open; put with the rest below, our own choice.
        (73.0, "alpha-amylase rest"),
    ],
)
def test_the_rest_at_a_temperature(temperature_c: float, name: str) -> None:
    assert mash_rest(temperature_c).name == name


def test_the_rests_follow_one_another_without_a_gap() -> None:
    for before, after in pairwise(RESTS):
        assert before.high_c == after.low_c
    assert all(least <= most for rest in RESTS for least, most in [rest.usual_minutes])


@pytest.mark.parametrize("temperature_c", [34.9, 80.1])
def test_no_mash_is_held_outside_them(temperature_c: float) -> None:
    with pytest.raises(OutOfRange, match=r"^mash temperature \S+ °C is outside 35 to 80 °C$"):
        mash_rest(temperature_c)
