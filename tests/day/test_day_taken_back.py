"""What was taken back is told with its figure as brewers say it."""

import pytest

from assistant.day.events import NumberSaid, ReadingTaken
from assistant.day.quantities import Quantity
from assistant.day.undo import described
from assistant.schedule.model import Units


@pytest.mark.parametrize(
    ("event", "told"),
    [
        (ReadingTaken(at=0, quantity=Quantity.GRAVITY, value=1.02, unit="SG"), "gravity 1.020"),
        (ReadingTaken(at=0, quantity=Quantity.GRAVITY, value=5.5, unit="degP"), "gravity 5.5"),
        (
            ReadingTaken(at=0, quantity=Quantity.FERMENTER_VOLUME, value=1.1, unit="gal"),
            "fermenter volume 1.1",
        ),
        (NumberSaid(at=0, value=1.05, unit=None), "1.050"),
        (NumberSaid(at=0, value=1.1, unit="gal"), "1.1"),
        (NumberSaid(at=0, value=66.0, unit=None), "66"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_gravity_keeps_its_three_places(event: object, told: str) -> None:
    assert described(event, (), Units.METRIC) == told
