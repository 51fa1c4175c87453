# SPDX-License-Identifier: MIT
"""The equations that formulas may call, from their sources and not from the engine. Lengths in mm,
forces in N, pressures in MPa, torques in Nm, temperatures in K, expansion in um/m/K, speeds in rpm,
times in s. A domain error is a ValueError."""
from math import pi, sqrt


def thick(bore, outside):
    """Lamé: hoop stress at the pressed side of a ring over the pressure."""
    if not 0 <= bore < outside:
        raise ValueError("no wall")
    return (outside ** 2 + bore ** 2) / (outside ** 2 - bore ** 2)


def press_pressure(interference, d, hub, e_hub, nu_hub, bore, e_shaft, nu_shaft):
    strain = max(interference, 0.0) / d
    return strain / ((thick(d, hub) + nu_hub) / e_hub + (thick(bore, d) - nu_shaft) / e_shaft)


def press_torque(pressure, d, length, friction):
    return friction * pressure * pi * d * length * (d / 2) / 1000


# ISO 281:2007 table 3: f0 Fa / C0, Y
TABLE = [(0.172, 2.30), (0.345, 1.99), (0.689, 1.71), (1.03, 1.55), (1.38, 1.45), (2.07, 1.31),
         (3.45, 1.15), (5.17, 1.04), (6.89, 1.00)]


def thrust_factor(ratio):
    if not 0 <= ratio <= TABLE[-1][0] + 1e-9:
        raise ValueError("beyond the table")
    pairs = list(zip(TABLE, TABLE[1:]))
    (a, ya), (b, yb) = next((pair for pair in pairs if ratio <= pair[1][0]), pairs[-1])
    return ya + (yb - ya) * (ratio - a) / (b - a)


def equivalent_load(radial, thrust, rating, f0):
    return max(radial, 0.56 * radial + thrust_factor(f0 * thrust / rating) * thrust)


def rating_life(rating, load, exponent):
    if not 0 < load <= rating:
        raise ValueError("beyond the rating")
    return (rating / load) ** exponent


PLAIN_LAWS = {
    "press_pressure": press_pressure,
    "press_hoop_outer": lambda p, d, hub: p * thick(d, hub),
    "press_hoop_inner": lambda p, d, bore: -p * thick(bore, d),
    "press_hoop_in_bore": lambda p, d, bore: -p * (thick(bore, d) + 1),
    "press_force": lambda p, d, length, friction: friction * p * pi * d * length,
    "press_torque": press_torque,
    "heat_to_drop_on": lambda i, room, d, alpha: (max(i, 0.0) + room) / (alpha * 1e-6 * d),
    "thermal_growth": lambda length, alpha, rise: length * alpha * 1e-6 * rise,
    "inner_raceway": lambda d, big: d + (big - d) / 5,
    "outer_raceway": lambda d, big: big - (big - d) / 5,
    "clearance_lost_to_shaft": lambda i, d, raceway: max(i, 0.0) * d / raceway,
    "clearance_lost_to_housing": lambda i, big, raceway: max(i, 0.0) * raceway / big,
    "interference_lost_by_load": lambda d, width, load: 0.08e-3 * sqrt(d / width * load),
    "support_reaction": lambda load, at, here, there: load * (at - there) / (here - there),
    "overhung_deflection": lambda load, a, span, e, d:
        load * a ** 2 * (span + a) / (3 * e * pi * d ** 4 / 64),
    "equivalent_load": equivalent_load,
    "equivalent_load_tapered": lambda radial, thrust, y: max(radial, 0.4 * radial + y * thrust),
    "static_equivalent_load": lambda radial, thrust: max(radial, 0.6 * radial + 0.5 * thrust),
    "rating_life": rating_life,
    "rating_life_time": lambda c, p, exponent, speed: rating_life(c, p, exponent) * 1e6 * 60 / speed,
    "rating_needed": lambda p, speed, time, exponent: p * (speed / 60 * time / 1e6) ** (1 / exponent),
}
