"""What each way of chilling truly takes out of the wort."""

import math

from assistant.schedule.model import ChillMethod

ICE_BATH_C = 3.0
COIL_W_K = 255.0
BATH_W_K = 60.0
STILL_W_K = 30.0
"""What each way of chilling takes per kelvin, a bath from 20 litres; estimates, no source."""


def cooling_w(method: ChillMethod, *, volume_l: float, wort_c: float, tap_c: float) -> float:
    """Watts taken from so much wort at a temperature; a bath works through the kettle's wall."""
    wall = math.pow(max(volume_l, 1.0) / 20, 2 / 3)
    per_k, coolant_c = {
        ChillMethod.COIL: (COIL_W_K, tap_c),
        ChillMethod.ICE_BATH: (wall * BATH_W_K, ICE_BATH_C),
        ChillMethod.TOP_UP: (wall * STILL_W_K, tap_c),
    }[method]
    return per_k * max(wort_c - coolant_c, 0.0)
