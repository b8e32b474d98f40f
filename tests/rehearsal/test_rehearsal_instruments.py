"""Instruments are read as a person reads them, and said as a person says it."""

import random
import re
import statistics
from dataclasses import replace

import pytest

from assistant.day.quantities import Quantity
from assistant.rehearsal.instruments import Instruments, Noise
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.rehearsal.truths import Truths
from assistant.schedule import Schedule
from assistant.schedule.model import Units


def instruments(beer: Schedule, units: Units, truths: Truths | None = None) -> Instruments:
    kettle = SimulatedKettle.of(beer, truths or Truths(), strike_l=27.3)
    kettle.pour(27.3, 20.0)
    kettle.temperature_c = 66.3
    return Instruments(kettle, replace(beer, units=units), random.Random(3))


SPOKEN = [
    (Units.METRIC, Quantity.WATER_TEMPERATURE, r"water temperature (is )?6[567](\.5)?"),
    (Units.US, Quantity.MASH_TEMPERATURE, r"mash temperature (is )?15[012]"),
    (
        Units.METRIC,
        Quantity.KETTLE_VOLUME,
        r"kettle volume 2[78](\.25|\.5|\.75)? at 6\d(\.5)? deg.*",
    ),
    (Units.US, Quantity.KETTLE_VOLUME, r"kettle volume 7(\.25|\.5)? at 15\d degrees"),
    (Units.METRIC, Quantity.GRAVITY, r"gravity (1\.00[01]|0\.999)"),
    (Units.METRIC, Quantity.BOILING, r"not yet"),
    (Units.METRIC, Quantity.MASH_PH, r"skip"),
]


@pytest.mark.parametrize(
    ("units", "quantity", "words"), SPOKEN, ids=[f"{u.value} {q.value}" for u, q, _ in SPOKEN]
)
def test_a_reading_is_said_in_the_brewers_units(
    amber: Schedule, units: Units, quantity: Quantity, words: str
) -> None:
    assert re.fullmatch(words, instruments(amber, units).sentence(quantity))


def test_a_thermometer_that_reads_high_is_believed(amber: Schedule) -> None:
    high = instruments(amber, Units.METRIC, Truths(thermometer_k=5.0))
    assert high.temperature(66.3).value == pytest.approx(71.3, abs=0.8)


def test_scatter_stays_within_what_a_person_reads(amber: Schedule) -> None:
    read = instruments(amber, Units.METRIC)
    assert {read.temperature(66.5).value for _ in range(200)} <= {66.0, 66.5, 67.0}
    assert {read.volume(24.5).value for _ in range(200)} <= {24.25, 24.5, 24.75}
    assert {read.gravity(1.048).value for _ in range(200)} <= {1.046, 1.047, 1.048, 1.049}


def test_a_dipstick_in_the_mash_shows_the_grain_too(amber: Schedule) -> None:
    read = instruments(amber, Units.METRIC)
    water_l = read.kettle.volume_as_it_stands_l
    read.kettle.grain_in(amber.grain_kg)
    read.kettle.temperature_c = 66.3
    # 0.67 L for each kilogram of grain.
    assert read.kettle.volume_as_it_stands_l - water_l == pytest.approx(0.67 * 4.76, abs=1e-6)


def test_scatter_can_be_a_share_of_a_volume_and_steps_finer_than_a_persons(amber: Schedule) -> None:
    fine = Noise(volume_l=0.0, volume_share=0.01, volume_step=0.1, hydrometer_step=0.0005)
    read = Instruments(instruments(amber, Units.METRIC).kettle, amber, random.Random(4), fine)
    volumes = [read.volume(30.0).value for _ in range(400)]
    assert statistics.pstdev(volumes) == pytest.approx(0.3, rel=0.15)
    assert {round(volume * 10 % 1, 6) for volume in volumes} <= {0.0, 1.0}
    gravities = {read.gravity(1.048).value for _ in range(200)}
    assert {1.0475, 1.048, 1.0485} <= gravities
