"""Wort as masses of water and extract, in a kettle or a fermenter."""

from dataclasses import dataclass

from assistant.brewing.gravity import extract_kg, gravity_from_plato
from assistant.brewing.water import WATER_KG_L


def gravity_of(water_kg: float, extract: float) -> float:
    """Gravity 20/20 °C of a wort of these masses; 1 where there is none."""
    whole_kg = water_kg + extract
    return gravity_from_plato(100 * extract / whole_kg) if whole_kg > 0 else 1.0


def water_in_kg(extract: float, volume_l: float) -> float:
    """Water in a volume of wort that holds an extract, by halving: own arithmetic."""
    low, high = 1.0, 1.15
    for _ in range(50):
        middle = (low + high) / 2
        if extract_kg(volume_l, middle) < extract:
            low = middle
        else:
            high = middle
    return volume_l * low * WATER_KG_L - extract


@dataclass(kw_only=True)
class Fermenter:
    """What is in the fermenter; ``boiled_l`` is the part that came from the kettle."""

    volume_l: float
    boiled_l: float
    extract_kg: float
    temperature_c: float

    @property
    def gravity(self) -> float:
        """Gravity 20/20 °C."""
        return gravity_of(water_in_kg(self.extract_kg, self.volume_l), self.extract_kg)
