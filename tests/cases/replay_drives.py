# SPDX-License-Identifier: MIT
"""Functions of threads, shafts, gears and fasteners, for replay.py.

LINEAR: of forms, exactly. LAWS: of numbers in the units that answers show (mm, mm2, deg, N, Nm, MPa); a
ValueError where they say nothing. Written from the standards and handbooks, not from the engine.
"""
import math
from math import cos, pi, radians, sin, sqrt, tan

MM_OF_A_METRE = 1000.0


def scaled(form, by):
    return form * form.exact(by)


def below(share):
    return lambda major, pitch: major - scaled(pitch, share)


def backlash(moved, *angles):
    """2 s tan(pressure angle) sin(cone), of a cone of 90 deg where there is none; angles exactly known."""
    if any(angle.varies() for angle in angles):
        return moved.unknown()
    pressure, cone = ([angle.centre for angle in angles] + [90.0])[:2]
    return scaled(moved, 2 * tan(radians(pressure)) * sin(radians(cone)))


LINEAR = {
    "thread_pitch_diameter": below(3 * sqrt(3) / 8),
    "thread_minor_diameter": below(5 * sqrt(3) / 8),
    "thread_core_diameter": below(17 * sqrt(3) / 24),
    "floating_fastener_tolerance": lambda hole, bolt: hole - bolt,
    "fixed_fastener_tolerance": lambda hole, bolt: scaled(hole - bolt, 0.5),
    "spur_backlash_change": backlash,
    "bevel_backlash_change": backlash,
}


def stress_area(major, pitch):
    d2, d3 = major - 3 * sqrt(3) / 8 * pitch, major - 17 * sqrt(3) / 24 * pitch
    return pi / 4 * ((d2 + d3) / 2) ** 2


def polar(outside, bore):
    """Second polar moment of a round section, mm4."""
    if not 0 <= bore < outside:
        raise ValueError("no wall")
    return pi / 32 * (outside ** 4 - bore ** 4)


def force_at(torque, diameter):
    return torque * MM_OF_A_METRE / (diameter / 2)


def spline_pressure(torque, teeth, major, minor, length, share):
    area = share * teeth * (major - minor) / 2 * length
    if area <= 0:
        raise ValueError("nothing bears")
    return force_at(torque, (major + minor) / 2) / area


LAWS = {
    "thread_stress_area": stress_area,
    "thread_engagement": lambda major, pitch: 2 * stress_area(major, pitch)
    / (pi / 2 * (major - 3 * sqrt(3) / 8 * pitch)),
    "torsion_stress": lambda torque, outside, bore:
        torque * MM_OF_A_METRE * outside / 2 / polar(outside, bore),
    "torsion_torque": lambda stress, outside, bore:
        stress * polar(outside, bore) / (outside / 2) / MM_OF_A_METRE,
    "torsion_twist": lambda torque, length, outside, bore, modulus: math.degrees(
        torque * MM_OF_A_METRE * length / (modulus * polar(outside, bore))),
    "key_pressure": lambda torque, across, deep, length: force_at(torque, across) / (deep * length),
    "key_shear": lambda torque, across, wide, length: force_at(torque, across) / (wide * length),
    "spline_pressure": spline_pressure,
    "gear_centre_distance": lambda module, teeth, other, helix:
        module / cos(radians(helix)) * (teeth + other) / 2,
    "bolt_circle_of_chord": lambda chord, holes: chord / sin(pi / holes),
}
