"""Two bodies that pass heat to each other: the metal of a kettle and what is in it."""

import math


def exchanged(
    one: tuple[float, float, float],
    other: tuple[float, float, float],
    passes_w_k: float,
    step_s: float,
) -> tuple[float, float]:
    """Temperatures of both after a step, each given as (heat capacity J/K, temperature °C, gain W).

    ``passes_w_k`` goes from one to the other for each kelvin between them. What is gained stays
    constant over the step; the heat of both together grows by just that, however long it is.
    Source: two first-order equations, solved for the difference and for the sum.
    """
    (one_j_k, one_c, one_w), (other_j_k, other_c, other_w) = one, other
    rate = passes_w_k * (1 / one_j_k + 1 / other_j_k)
    settles_k = (one_w / one_j_k - other_w / other_j_k) / rate
    apart_k = settles_k + (one_c - other_c - settles_k) * math.exp(-rate * step_s)
    heat_j = one_j_k * one_c + other_j_k * other_c + (one_w + other_w) * step_s
    after_c = (heat_j - one_j_k * apart_k) / (one_j_k + other_j_k)
    return after_c + apart_k, after_c
