"""Timers of the brewer's own as grammar, from the forms in ``timers``."""

from assistant.day.listening import Listening
from assistant.hearing.grammar.names import in_words
from assistant.hearing.grammar.number_forms import Range, whole_number
from assistant.hearing.grammar.tree import Either, Maybe, Node, any_of, say, then
from assistant.hearing.numbers import spell
from assistant.hearing.spoken import spoken
from assistant.hearing.timers import FORM_WORDS, TIMER_FORMS

NAMES = (
    "yeast",
    "starter",
    "hose",
    "chiller",
    "chiller water",
    "hops",
    "finings",
    "grain",
    "mash",
    "stir",
    "second stir",
    "bag",
    "lid",
    "sample",
    "hydrometer",
    "sanitiser",
    "water",
    "bottles",
    "phone",
    "lunch",
    "dinner",
    "tea",
    "coffee",
    "oven",
)
"""What a brewer's own timer is usually for; any other name can be typed."""

MINUTES = Range(low=1, high=180, likely_low=1, likely_high=90)
SECONDS = Range(low=5, high=120, likely_low=10, likely_high=90)
HOURS = tuple(range(1, 13))

_minutes = Either(((1.0, say("minutes")), (0.7, say("minute"))))


def timer_sentences(context: Listening) -> Node:
    """Every form of asking for a timer, with the usual lengths and names."""
    names = dict.fromkeys(in_words(spoken(name)) for name in (*NAMES, *context.additions))
    name = then(Maybe(say("the"), 0.6), any_of(words for words in names if words))
    return Either(tuple((1.0, _form(form, name)) for form in TIMER_FORMS))


def _form(form: str, name: Node) -> Node:
    parts: list[Node] = []
    for part in form.split(" "):
        key = part.strip("[]")
        node: Node = {"DURATION": DURATION, "NAME": name}.get(key) or any_of(
            spoken(words) for words in FORM_WORDS.get(key, (key,))
        )
        parts.append(Maybe(node, 0.4) if part.startswith("[") else node)
    return then(*parts)


def _durations() -> Node:
    minutes = then(whole_number(MINUTES), _minutes)
    seconds = then(whole_number(SECONDS), Either(((1.0, say("seconds")), (0.7, say("second")))))
    hours = any_of((*spell(count), word) for count in HOURS for word in ("hour", "hours"))
    and_a_half = any_of(
        (*spell(count), "and", "a", "half", word)
        for count in (1, 2, 3, 4, 5, 7)
        for word in ("minutes", "minute", "hours")
    )
    parts = any_of(
        spoken(words)
        for words in (
            "an hour",
            "half an hour",
            "a quarter of an hour",
            "quarter of an hour",
            "three quarters of an hour",
            "an hour and a half",
            "a minute",
            "half a minute",
            "a minute and a half",
        )
    )
    hours_and_minutes = then(
        any_of(
            (
                ("an", "hour"),
                *((*spell(count), "hour" if count == 1 else "hours") for count in HOURS),
            )
        ),
        Maybe(say("and")),
        any_of(spell(count) for count in range(5, 60, 5)),
        say("minutes"),
    )
    return Either(
        (
            (10.0, minutes),
            (2.0, seconds),
            (0.5, hours),
            (1.0, and_a_half),
            (2.0, parts),
            (0.5, hours_and_minutes),
        )
    )


DURATION = _durations()
