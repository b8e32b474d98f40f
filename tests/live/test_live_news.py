"""What the day is told of the troubles of its ear."""

import pytest

from assistant.day import events
from assistant.hearing.ear.trouble import Trouble
from assistant.voice_news import EarNews

GONE, BACK = events.Trouble.MICROPHONE_GONE, events.Trouble.MICROPHONE_BACK


@pytest.mark.parametrize(
    ("troubles", "told"),
    [
        ([Trouble.MICROPHONE_GONE, Trouble.MICROPHONE_BACK], [GONE, BACK]),
        (
            [Trouble.MICROPHONE_GONE, Trouble.MICROPHONE_STUCK, Trouble.MICROPHONE_BACK],
            [GONE, BACK],
        ),
        ([Trouble.EAR_FAILED, Trouble.EAR_BACK], [GONE, BACK]),
        (
            [Trouble.EAR_FAILED, Trouble.MICROPHONE_GONE, Trouble.MICROPHONE_BACK],
            [GONE],
        ),
        (
            [
                Trouble.EAR_FAILED,
                Trouble.MICROPHONE_GONE,
                Trouble.MICROPHONE_BACK,
                Trouble.EAR_BACK,
                Trouble.MICROPHONE_GONE,
            ],
            [GONE, BACK, GONE],
        ),
        ([Trouble.OVERFLOW, Trouble.MICROPHONE_MUTED], []),
        (
            [Trouble.TOO_LOUD, Trouble.QUIET_AGAIN],
            [events.Trouble.TOO_LOUD, events.Trouble.QUIET_AGAIN],
        ),
    ],
    ids=lambda each: " ".join(trouble.name.lower() for trouble in each),
)
def test_nobody_is_heard_from_the_first_loss_until_none_is_left(
    troubles: list[Trouble], told: list[events.Trouble]
) -> None:
    news = EarNews()
    found = [news.of(trouble, 1.0, ever_worked=True).event for trouble in troubles]
    assert [event.trouble for event in found if event is not None] == told


def test_a_microphone_that_was_never_there_is_no_loss() -> None:
    news = EarNews().of(Trouble.NO_MICROPHONE, 1.0, ever_worked=False)
    assert (news.event, news.line) == (None, Trouble.NO_MICROPHONE.line)
