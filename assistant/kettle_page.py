"""A kettle over its brews, for a person to read and for programs."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.advice import figures
from assistant.advice.card_changes import ON_CARD
from assistant.advice.card_lines import CardLine, card_lines
from assistant.advice.card_units import figure_text, with_unit
from assistant.advice.kettle_history import BrewedIn, History, Trend, histories
from assistant.record.errors import RecordError
from assistant.record.lessons import Lesson
from assistant.record.page import Clock, columns, paragraph
from assistant.record.replay import before_the_day
from assistant.record.reporting.quantities import NONE, TRAIT_NAMES
from assistant.schedule.faults import harmless
from assistant.schedule.model import Units

TOLD = (Trend.RISING, Trend.FALLING, Trend.STEADY)

MOST_COLUMNS = 6
"""How many brews stand side by side in a terminal."""

BARS = "▁▂▃▄▅▆▇█"

KEPT = (
    "Put into the kettle's file in the place of its own, these lines have it say what the kettle "
    "is like, for whoever reads it and under another name. Nothing that was learned is lost: a "
    "figure in the range of the next brew changes nothing. One out of its range counts from the "
    "file."
)


@dataclass(frozen=True, kw_only=True)
class KettleView:
    """A kettle as its brews have taught it; one lesson or more, the oldest first."""

    name: str
    lessons: tuple[Lesson, ...]
    histories: tuple[History, ...]
    lines: tuple[CardLine, ...]
    units: Units

    @property
    def brews(self) -> int:
        """How many brews its figures are from."""
        return self.lessons[-1].learned.brews


def kettle_view(name: str, lessons: tuple[Lesson, ...], units: Units | None) -> KettleView:
    """A kettle by its lessons, in these units or else in those it was brewed in last."""
    last = lessons[-1]
    shown = last.schedule.units if units is None else units
    brews = [
        BrewedIn(
            day=lesson.day,
            schedule=lesson.schedule,
            known=lesson.began is not None and _plannable(lesson),
            before=None if lesson.began is None else lesson.began.learned,
            after=lesson.learned,
        )
        for lesson in lessons
    ]
    return KettleView(
        name=name,
        lessons=lessons,
        histories=histories(brews),
        lines=card_lines(last.schedule.kettle, last.learned, shown),
        units=shown,
    )


def _plannable(lesson: Lesson) -> bool:
    """Whether the day can be begun again: figures may have come from a file that was changed."""
    try:
        before_the_day(lesson.schedule)
    except RecordError:
        return False
    return True


def kettle_text(view: KettleView, *, bars: bool) -> str:
    """The kettle as a page of text; ``bars`` draws each figure's course, too, in block signs."""
    last = Clock(wall_s=view.lessons[-1].began_wall, at_s=0.0).moment(0.0)
    brews = figures.counted(str(view.brews), "brew")
    lines = [f"{harmless(view.name)}: {brews}, the last on {last:%Y-%m-%d}", ""]
    lines += columns(_now(view))
    lines += ["", *columns(_course(view, bars=bars))]
    lines += ["", *_for_the_file(view)]
    return "\n".join(lines)


def _now(view: KettleView) -> Iterator[tuple[str, ...]]:
    yield "figure", "card", "now", "8 of 10 brews", "over the brews"
    for history in view.histories:
        trait, units = history.trait, view.units
        low, high = (figure_text(trait, end, units) for end in (history.low, history.high))
        card = figure_text(trait, history.now.card, units)
        yield (
            TRAIT_NAMES[trait],
            with_unit(trait, card, units) if trait in ON_CARD else NONE,
            with_unit(trait, figure_text(trait, history.now.value, units), units),
            f"{low} to {high}",
            _trend(history, units),
        )


def _trend(history: History, units: Units) -> str:
    slope, trait = history.slope, history.trait
    if slope is None or history.trend not in (Trend.RISING, Trend.FALLING):
        return history.trend.value
    change = with_unit(trait, figure_text(trait, abs(slope.change), units), units)
    return f"{history.trend.value}, {change} in {slope.brews} brews"


def _course(view: KettleView, *, bars: bool) -> Iterator[tuple[str, ...]]:
    days = [lesson.day for lesson in view.lessons][-MOST_COLUMNS:]
    yield "after each brew", *(f"day {day}" for day in days), ""
    for history in view.histories:
        after = {brew.day: brew.figure.value for brew in history.brews}
        texts = [
            figure_text(history.trait, after[day], view.units) if day in after else NONE
            for day in days
        ]
        yield TRAIT_NAMES[history.trait], *texts, course_bars(history) if bars else ""


def course_bars(history: History) -> str:
    """A figure after each of its brews as bars, from the lowest to the highest.

    What lies in the range of the next brew is never drawn higher than half: a figure that hardly
    moves looks as if it did not.
    """
    values = [brew.figure.value for brew in history.brews]
    low, high = min(values), max(values)
    whole = max(high - low, 2 * (history.high - history.low))
    bottom = (low + high - whole) / 2
    top = len(BARS) - 1
    return "".join(BARS[round(top * (value - bottom) / whole)] for value in values)


def _for_the_file(view: KettleView) -> Iterator[str]:
    if not view.lines:
        yield "Nothing is clearly away from the card."
        return
    yield "Clearly away from the card; for the kettle's file:"
    yield ""
    texts = [line for line in view.lines if line.text is not None]
    width = max((len(line.text or "") for line in texts), default=0)
    for line in texts:
        yield f"{line.text:<{width}}   # {TRAIT_NAMES[line.trait]}; card: {line.card}"
    for line in view.lines:
        if line.text is None:
            yield (
                f"# {TRAIT_NAMES[line.trait]}: past what a card may say, {line.lowest} to "
                f"{line.highest}; look at the power or the weights it is reckoned from"
            )
    yield ""
    yield from (text.strip() for text in paragraph("", KEPT))


def kettles_json(views: Sequence[KettleView]) -> str:
    """The kettles as one JSON object: plain figures, each in the unit that its key names."""
    return json.dumps({"kettles": [_plain(view) for view in views]}, indent=2)


def _plain(view: KettleView) -> dict[str, Any]:
    return {
        "kettle": view.name,
        "brews": view.brews,
        "days": [{"day": lesson.day, "began_unix_s": lesson.began_wall} for lesson in view.lessons],
        "figures": {history.trait.value: _figure(history) for history in view.histories},
        "card_lines": [line.text for line in view.lines if line.text is not None],
    }


def _figure(history: History) -> dict[str, Any]:
    slope = history.slope
    return {
        "card": history.now.card if history.trait in ON_CARD else None,
        "value": history.now.value,
        "spread": history.now.spread,
        "low": history.low,
        "high": history.high,
        "trend": history.trend.value if history.trend in TOLD else None,
        "change_a_brew": None if slope is None else slope.a_brew,
        "change_a_brew_spread": None if slope is None else slope.spread,
        "after": [
            {
                "day": brew.day,
                "value": brew.figure.value,
                "spread": brew.figure.spread,
                "said": None if brew.said is None else brew.said.value,
                "said_spread": None if brew.said is None else brew.said.spread,
                "from_card": brew.afresh,
            }
            for brew in history.brews
        ],
    }
