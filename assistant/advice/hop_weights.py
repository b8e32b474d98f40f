"""Hops still to be weighed, weighed anew so that the beer's bitterness stays what was planned.

Bitterness goes with the weight, so one common factor does it. It falls first on the hops with a
long boil still to come, which give bitterness and little else; flavour and whirlpool hops take
only what is left over. Neither is stretched far, and for a small gain no weight is touched.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from assistant.advice.bitterness import Dose
from assistant.advice.ending import Outcome
from assistant.advice.forecast import finished_ibu
from assistant.schedule.model import Units
from assistant.schedule.units import convert

BITTERING_MIN = 20.0
"""Hops that boil at least this long are for bitterness; common practice, no source."""

LEAST_FACTOR = 0.6
MOST_FACTOR = 1.6
"""No hops go in at less or more than this share of the weight planned; common practice, no
source."""

HARDLY_TASTED = 1.25
"""Up to this factor more flavour hops are hardly tasted; common practice, no source."""

MOST_IN_ALL = 1.5
"""Nor are the kettle's hops raised to more than this share of all that was planned; common
practice, no source."""

WORTH_TELLING = 0.015
WORTH_TELLING_IBU = 0.4
"""A change that corrects less than this share of the bitterness, or this much, is left alone."""

ALIKE_G = 1e-6
"""Weights closer than this are the same."""

SCALES: Mapping[Units, tuple[str, tuple[tuple[float, tuple[float, ...]], ...]]] = {
    Units.METRIC: ("g", ((20.0, (0.5,)), (1000.0, (1.0,)), (math.inf, (10.0,)))),
    Units.US: ("oz", ((1.0, (0.05,)), (15.95, (0.1, 0.25)), (math.inf, (1.6,)))),
}
"""The unit hops are weighed in and, up to which weight, the steps it is read in: those it is
spoken in too, so that what is said is what is reckoned with."""


@dataclass(frozen=True, kw_only=True)
class ToWeigh:
    """Hops not weighed out yet: ``dose`` at the weight last told, and the weight planned, in g."""

    dose: Dose
    planned_g: float


@dataclass(frozen=True, kw_only=True)
class Reweighed:
    """Weights in g, in the order the hops were given in, and what they make of the bitterness.

    ``before_ibu`` is what the weights last told would have made.
    """

    weights_g: tuple[float, ...]
    before_ibu: float
    ibu: float


@dataclass(frozen=True, kw_only=True)
class _Hops:
    """Hops to weigh with what a gram of them brings to the beer."""

    planned_g: float
    told_g: float
    ibu_per_g: float
    bittering: bool

    @property
    def planned_ibu(self) -> float:
        return self.ibu_per_g * self.planned_g


def reweighed(
    end: Outcome,
    boiling_c: float,
    *,
    settled: Sequence[Dose],
    to_weigh: Sequence[ToWeigh],
    wanted_ibu: float,
    planned_in_all_g: float,
    units: Units,
    most_flavour: float = MOST_FACTOR,
) -> Reweighed:
    """The weights that bring the finished beer nearest to ``wanted_ibu`` within the limits.

    ``end`` is where the batch is heading and ``boiling_c`` where it boils; ``settled`` are the
    hops whose weight can't be changed any more. ``planned_in_all_g`` is what was planned of hops
    for the kettle, and ``most_flavour`` limits how far hops of a short boil are stretched. Where
    the change would correct too little to be worth telling, the weights are those last told.
    Raises :class:`~assistant.brewing.errors.OutOfRange` as ``dose_share`` does.
    """
    fixed_ibu = finished_ibu(end, settled, boiling_c)
    hops = [
        _Hops(
            planned_g=each.planned_g,
            told_g=each.dose.weight_g,
            ibu_per_g=finished_ibu(end, [replace(each.dose, weight_g=1.0)], boiling_c),
            bittering=(each.dose.minutes or 0.0) >= BITTERING_MIN,
        )
        for each in to_weigh
    ]
    told_g = tuple(each.told_g for each in hops)
    before_ibu = fixed_ibu + _brought_ibu(hops, told_g)
    worth_ibu = max(WORTH_TELLING * wanted_ibu, WORTH_TELLING_IBU)
    planned_g = [each.planned_g for each in hops]
    found_g = _held(
        hops,
        wanted_ibu - fixed_ibu - _brought_ibu(hops, planned_g),
        worth_ibu=worth_ibu,
        room_g=MOST_IN_ALL * planned_in_all_g
        - sum(dose.weight_g for dose in settled)
        - sum(planned_g),
        most_flavour=most_flavour,
        units=units,
    )
    ibu = fixed_ibu + _brought_ibu(hops, found_g)
    corrected_ibu = abs(before_ibu - wanted_ibu) - abs(ibu - wanted_ibu)
    if corrected_ibu < worth_ibu:
        return Reweighed(weights_g=told_g, before_ibu=before_ibu, ibu=before_ibu)
    return Reweighed(weights_g=found_g, before_ibu=before_ibu, ibu=ibu)


def weighed_out(weight_g: float, units: Units) -> tuple[float, ...]:
    """The weights that a scale shows next below and above, in g."""
    unit, rows = SCALES[units]
    shown = convert(weight_g, "g", unit)
    steps = next(steps for most, steps in rows if shown < most)
    return tuple(
        convert(step * (shown // step + up), unit, "g") for step in steps for up in (0.0, 1.0)
    )


def _held(
    hops: Sequence[_Hops],
    missing_ibu: float,
    *,
    worth_ibu: float,
    room_g: float,
    most_flavour: float,
    units: Units,
) -> tuple[float, ...]:
    """Weights that bring ``missing_ibu`` more than planned: bittering hops first, then the others.

    ``room_g`` is what may come on top of the weights planned. The others take what the limits of
    the first leave over, not what their scale does.
    """
    weights_g = [each.planned_g for each in hops]
    for bittering, most in ((True, MOST_FACTOR), (False, most_flavour)):
        turned = [
            index
            for index, each in enumerate(hops)
            if each.bittering is bittering and each.planned_ibu >= WORTH_TELLING_IBU
        ]
        if not turned or abs(missing_ibu) < worth_ibu:
            continue
        planned_g = sum(hops[index].planned_g for index in turned)
        planned_ibu = sum(hops[index].planned_ibu for index in turned)
        most = min(most, 1 + max(room_g, 0.0) / planned_g)
        factor = min(max(1 + missing_ibu / planned_ibu, LEAST_FACTOR), most)
        for index in turned:
            weights_g[index] = _rounded(hops[index].planned_g, factor, most, units)
        missing_ibu -= (factor - 1) * planned_ibu
        room_g -= sum(weights_g[index] for index in turned) - planned_g
    return tuple(weights_g)


def _rounded(planned_g: float, factor: float, most: float, units: Units) -> float:
    """What a scale shows within the limits, or the weight planned where that is nearer."""
    low_g, high_g = LEAST_FACTOR * planned_g - ALIKE_G, most * planned_g + ALIKE_G
    marks_g = [mark for mark in weighed_out(factor * planned_g, units) if low_g <= mark <= high_g]
    return min([planned_g, *marks_g], key=lambda mark_g: abs(mark_g - factor * planned_g))


def _brought_ibu(hops: Sequence[_Hops], weights_g: Sequence[float]) -> float:
    return sum(each.ibu_per_g * weight_g for each, weight_g in zip(hops, weights_g, strict=True))
