"""Additions: when each goes in, and what only some kinds have."""

import re
from dataclasses import dataclass

from assistant.schedule.faults import Place, Report
from assistant.schedule.groups import Values
from assistant.schedule.model import Addition, AdditionKind, HopForm, Moment
from assistant.schedule.readers import Measure, Misfit, did_you_mean, plain
from assistant.schedule.reading import Node
from assistant.schedule.units import UnitError, parse_quantity

WORDS = {
    moment.value: moment
    for moment in (Moment.BOIL_START, Moment.FIRST_WORT, Moment.FLAMEOUT, Moment.WHIRLPOOL)
}
EXTRACT = {AdditionKind.SUGAR: 1.0, AdditionKind.MALT_EXTRACT: 0.96}
"""What brings extract, and the share of it that is extract where none is given: dry."""

ONLY_FOR: dict[str, tuple[AdditionKind, ...]] = {
    "alpha": (AdditionKind.HOPS,),
    "form": (AdditionKind.HOPS,),
    "extract": tuple(EXTRACT),
}
WANTED = f"a time before the end of the boil such as 60 min, {', '.join(WORDS)} or day 4"

_day_pattern = re.compile(r"day ([0-9]{1,3})")
_before_end = Measure(what="a time before the end", unit="min", low=0, high=180, example="60 min")


@dataclass(frozen=True, kw_only=True)
class When:
    """The moment of an addition, with the figure that stands beside some moments."""

    moment: Moment
    minutes_before_end: float | None = None
    day: int | None = None


@dataclass(frozen=True, kw_only=True)
class AdditionMoment:
    """``60 min`` before the end of the boil, a moment in words, or ``day 4`` after pitching."""

    @property
    def wanted(self) -> str:
        """What a moment looks like, for a fault."""
        return WANTED

    def read(self, node: Node, place: Place) -> When:
        """The moment, or Misfit."""
        text = plain(node, WANTED)
        if text in WORDS:
            return When(moment=WORDS[text])
        if day := _day_pattern.fullmatch(text):
            return When(moment=Moment.DAY, day=int(day[1]))
        try:
            minutes = _before_end.checked(parse_quantity(text))
        except UnitError as error:
            raise Misfit(text, WANTED + did_you_mean(text, list(WORDS))) from error
        return When(moment=Moment.BEFORE_END, minutes_before_end=minutes)


def check_additions(
    additions: list[Values | None], boil: Values | None, ferment: Values | None, report: Report
) -> None:
    """Report what each addition has that it cannot have, lacks, or has at an impossible time."""
    for place, addition in enumerate(additions, start=1):
        if addition is not None:
            _check_kind(addition, f"additions {place}", report)
            _check_time(addition, f"additions {place}.at", boil, ferment, report)


def _check_kind(addition: Values, key: str, report: Report) -> None:
    kind = addition.get("kind")
    for name, owners in ONLY_FOR.items():
        if kind is not None and kind not in owners and addition.gives(name):
            wanted = f"{name} for {' and '.join(owner.value for owner in owners)} only"
            report.add(addition.line_of(name), f"{key}.{name}", f"it with {kind.value}", wanted)
    when = addition.get("at")
    boiled = when is not None and when.moment is not Moment.DAY
    if kind is AdditionKind.HOPS and boiled and not addition.gives("alpha"):
        wanted = "the alpha-acid share of the hops, such as alpha: 7.2 %"
        report.add(addition.line, f"{key}.alpha", "nothing", wanted)


def _check_time(
    addition: Values, key: str, boil: Values | None, ferment: Values | None, report: Report
) -> None:
    when = addition.get("at")
    if when is None:
        return
    line, found = addition.line_of("at"), addition.written("at")
    boil_minutes = boil.get("for") if boil else None
    if boil and boil_minutes and (when.minutes_before_end or 0) > boil_minutes + 0.01:
        wanted = f"at most {boil.written('for')}, the length of the boil"
        report.add(line, key, found, wanted)
    days = ferment.get("for") if ferment else None
    if ferment and days and (when.day or 0) > days:
        wanted = f"a day within the {ferment.written('for', f'{days:g} days')} of ferment.for"
        report.add(line, key, found, wanted)


def build_addition(values: Values) -> Addition:
    """The addition of checked values, its defaults filled in."""
    kind, when = values["kind"], values["at"]
    form = values["form"] or HopForm.PELLET
    extract = EXTRACT.get(kind) if values["extract"] is None else values["extract"]
    return Addition(
        name=values["add"],
        kind=kind,
        weight_g=values["weight"],
        moment=when.moment,
        minutes_before_end=when.minutes_before_end,
        day=when.day,
        alpha=values["alpha"],
        form=form if kind is AdditionKind.HOPS else None,
        extract=extract,
    )
