"""Any words at any moment of a day: the first byte chooses the moment, the rest are the words."""

from fuzz_days import moments

from assistant.day.advance import advance
from assistant.day.listening import listening
from assistant.hearing.words import NotUnderstood, understand
from assistant.record.codec import event_from, event_text


def one(data: bytes) -> None:
    """Understand the words and let what they mean happen; any exception is a fault."""
    if not data:
        return
    state = moments()[data[0] % len(moments())]
    words = data[1:].decode("utf-8", "surrogateescape")
    try:
        event = understand(words, listening(state), state.now_s)
    except NotUnderstood as error:
        assert str(error).isprintable(), "an answer that a terminal would act on"
        assert len(str(error)) < 1000
        return
    assert event_from(*event_text(event), "row 1") == event
    _, effects = advance(state, event)
    texts = [effect.text for effect in effects if hasattr(effect, "text")]
    assert all(text.isprintable() for text in texts), "words that a terminal would act on"
