#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Holds functions of mechanics against bc, which reckons their textbook equations to 30 places.

cross_check.py PROGRAM ROOT. Every function is called with drawn arguments (WHYFIT_SEED, WHYFIT_DRAWS); the equation of
each is written here from its source, in metres, newtons, kelvins and radians. A function that formulas can call and
that is in neither EQUATIONS nor ELSEWHERE fails.
"""
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile

PI = "(4*a(1))"
# What bc lacks, in terms of its own: sine s, cosine c, arc tangent a, exponential e and logarithm l.
BC = """scale=30
define t(x) { return s(x)/c(x) }
define p(x,y) { if (x == 0) return 0; return e(y*l(x)) }
define k(x) { return a(sqrt(1-x*x)/x) }
define v(x) { return t(x)-x }
define m(x,y) { if (x > y) return x; return y }
"""

# A unit, and what one of it is in metres, newtons, kelvins, seconds and radians, for bc.
LENGTH = ("mm", "10^-3")
DEGREES = ("deg", f"({PI}/180)")
FORCE = ("N", "1")
STRESS = ("MPa", "10^6")
TORQUE = ("Nm", "1")
VOLUME = ("ml", "10^-6")
PLAIN = ("", "1")
KELVIN = ("K", "1")
GROWTH = ("um/m/K", "10^-6")
SPEED = ("rpm", "(1/60)")
HOURS = ("h", "3600")
RESULTS = {"mm": "10^-3", "deg": f"({PI}/180)", "N": "1", "MPa": "10^6", "Nm": "1", "K": "1", "m/s": "1", "mm2": "10^-6",
           "s": "1", "um": "10^-6", "h": "3600", "kN": "1000", "GPa": "10^9", "bar": "10^5", "1": "1"}

# Functions of tables, of the unit, or of an inverse that bc has not.
ELSEWHERE = {
    "clock_apart": "tests/cases/identity", "covered": "tests/cases/static-seals",
    "equivalent_load": "standard_rolling_bearings.c, the table of ISO 281",
    "gear_shifted_distance": "standard_drives.c, worked examples", "gear_working_angle": "standard_drives.c",
    "ring_thinning": "standard_seals.c, the fitted curve", "run_under": "tests/cases/static-seals",
}

# name: (arguments as (unit, least, most), equation of bc in x0, x1, …). Sources: see `whyfit show functions`.
EQUATIONS = {
    "bevel_backlash_change": ([(LENGTH, 0.01, 0.5), (DEGREES, 14, 25), (DEGREES, 10, 80)], "2*x0*t(x1)*s(x2)"),
    "bevel_pitch_angle": ([(PLAIN, 9, 20), (PLAIN, 21, 60), (DEGREES, 60, 90)], "a(s(x2)/(x1/x0+c(x2)))"),
    "bolt_circle_of_chord": ([(LENGTH, 20, 90), (PLAIN, 3, 12)], f"x0/s({PI}/x1)"),
    "clearance_lost_to_housing": ([(LENGTH, 0.01, 0.05), (LENGTH, 60, 90), (LENGTH, 50, 58)], "x0*x2/x1"),
    "clearance_lost_to_shaft": ([(LENGTH, 0.01, 0.05), (LENGTH, 30, 40), (LENGTH, 45, 50)], "x0*x1/x2"),
    "closed_space_pressure": ([(KELVIN, 280, 295), (KELVIN, 320, 360), (VOLUME, 500, 900), (VOLUME, 100, 300),
                               (GROWTH, 600, 800), (GROWTH, 10, 25), (STRESS, 0.09, 0.11)],
                              "x6*(x1/x0*(x2-x3)/(x2*(1+3*x5*(x1-x0))-x3*(1+x4*(x1-x0)))-1)"),
    "combined_uncertainty": ([(LENGTH, 0.01, 0.1), (LENGTH, 0.01, 0.1)], "sqrt(x0^2+x1^2)"),
    "equivalent_load_tapered": ([(FORCE, 500, 900), (FORCE, 900, 2000), (PLAIN, 1.1, 2)], "m(x0,0.4*x0+x2*x1)"),
    "fixed_fastener_tolerance": ([(LENGTH, 8.4, 9), (LENGTH, 7.8, 8)], "(x0-x1)/2"),
    "floating_fastener_tolerance": ([(LENGTH, 8.4, 9), (LENGTH, 7.8, 8)], "x0-x1"),
    "gear_centre_distance": ([(LENGTH, 1, 6), (PLAIN, 12, 30), (PLAIN, 20, 80), (DEGREES, 5, 30)],
                             "x0*(x1+x2)/(2*c(x3))"),
    "guard_band": ([(LENGTH, 0.01, 0.1)], "1.65*x0"),
    "heat_to_drop_on": ([(LENGTH, 0.01, 0.05), (LENGTH, 0.01, 0.05), (LENGTH, 30, 90), (GROWTH, 10, 13)],
                        "(x0+x1)/(x2*x3)"),
    "inner_raceway": ([(LENGTH, 20, 40), (LENGTH, 50, 90)], "x0+(x1-x0)/5"),
    "interference_lost_by_load": ([(LENGTH, 20, 60), (LENGTH, 10, 20), (FORCE, 500, 4000)], "0.08*10^-6*sqrt(x0/x1*x2)"),
    "key_pressure": ([(TORQUE, 50, 400), (LENGTH, 25, 60), (LENGTH, 2, 5), (LENGTH, 20, 60)], "2*x0/(x1*x2*x3)"),
    "key_shear": ([(TORQUE, 50, 400), (LENGTH, 25, 60), (LENGTH, 6, 14), (LENGTH, 20, 60)], "2*x0/(x1*x2*x3)"),
    "mean_uncertainty": ([(LENGTH, 0.01, 0.1), (PLAIN, 2, 12)], "x0/sqrt(x1)"),
    "outer_raceway": ([(LENGTH, 20, 40), (LENGTH, 50, 90)], "x1-(x1-x0)/5"),
    "overhung_deflection": ([(FORCE, 100, 900), (LENGTH, 30, 80), (LENGTH, 60, 200), (STRESS, 190000, 210000),
                             (LENGTH, 20, 50)], f"x0*x1^2*(x2+x1)/(3*x3*{PI}*x4^4/64)"),
    "press_force": ([(STRESS, 5, 60), (LENGTH, 20, 60), (LENGTH, 10, 40), (PLAIN, 0.08, 0.2)], f"x3*x0*{PI}*x1*x2"),
    "press_hoop_in_bore": ([(STRESS, 5, 60), (LENGTH, 40, 60), (LENGTH, 10, 30)], "-2*x0*x1^2/(x1^2-x2^2)"),
    "press_hoop_inner": ([(STRESS, 5, 60), (LENGTH, 40, 60), (LENGTH, 10, 30)],
                         "-1*x0*(x1^2+x2^2)/(x1^2-x2^2)"),
    "press_hoop_outer": ([(STRESS, 5, 60), (LENGTH, 40, 60), (LENGTH, 70, 120)], "x0*(x2^2+x1^2)/(x2^2-x1^2)"),
    "press_pressure": ([(LENGTH, 0.01, 0.08), (LENGTH, 40, 60), (LENGTH, 70, 120), (STRESS, 69000, 210000),
                        (PLAIN, 0.27, 0.34), (LENGTH, 10, 30), (STRESS, 190000, 210000), (PLAIN, 0.27, 0.3)],
                       "x0/(x1*(((x2^2+x1^2)/(x2^2-x1^2)+x4)/x3+((x1^2+x5^2)/(x1^2-x5^2)-x7)/x6))"),
    "press_torque": ([(STRESS, 5, 60), (LENGTH, 20, 60), (LENGTH, 10, 40), (PLAIN, 0.08, 0.2)],
                     f"x3*x0*{PI}*x1^2*x2/2"),
    "rating_life": ([(FORCE, 20000, 40000), (FORCE, 1000, 9000), (PLAIN, 3, 3)], "p(x0/x1,x2)"),
    "rating_life_time": ([(FORCE, 20000, 40000), (FORCE, 1000, 9000), (PLAIN, 3, 3), (SPEED, 300, 3000)],
                         "10^6*p(x0/x1,x2)/x3"),
    "rating_needed": ([(FORCE, 1000, 9000), (SPEED, 300, 3000), (HOURS, 500, 20000), (PLAIN, 3, 3)],
                      "x0*p(x1*x2/10^6,1/x3)"),
    "rectangular_uncertainty": ([(LENGTH, 0.01, 0.1)], "x0/sqrt(3)"),
    "resolution_uncertainty": ([(LENGTH, 0.01, 0.1)], "x0/sqrt(12)"),
    "ring_fill": ([(LENGTH, 20, 60), (LENGTH, 2, 5), (LENGTH, 20, 60), (LENGTH, 66, 80), (LENGTH, 3, 7)],
                  f"({PI}^2*x1^2*(x0+x1)/4)/({PI}*(x3^2-x2^2)/4*x4)"),
    "ring_squeeze": ([(LENGTH, 2, 5), (LENGTH, 1.5, 1.9)], "(x0-x1)/x0"),
    "ring_stretch": ([(LENGTH, 40, 50), (LENGTH, 38, 40)], "(x0-x1)/x1"),
    "ring_thinning_by_volume": ([(PLAIN, 0, 0.2)], "1-1/sqrt(1+x0)"),
    "spline_pressure": ([(TORQUE, 50, 400), (PLAIN, 12, 30), (LENGTH, 36, 40), (LENGTH, 30, 34), (LENGTH, 20, 50),
                         (PLAIN, 0.5, 1)], "2*x0/(x5*x1*((x2-x3)/2)*((x2+x3)/2)*x4)"),
    "spur_backlash": ([(LENGTH, 2, 2), (PLAIN, 15, 30), (PLAIN, 31, 60), (DEGREES, 20, 20), (LENGTH, 92, 95)],
                      "2*x4*(v(k(x0*(x1+x2)/2*c(x3)/x4))-v(x3))"),
    "spur_backlash_change": ([(LENGTH, 0.01, 0.3), (DEGREES, 14, 25)], "2*x0*t(x1)"),
    "standard_uncertainty": ([(LENGTH, 0.01, 0.1), (PLAIN, 2, 3)], "x0/x1"),
    "static_equivalent_load": ([(FORCE, 500, 900), (FORCE, 900, 2000)], "m(x0,0.6*x0+0.5*x1)"),
    "support_reaction": ([(FORCE, 100, 900), (LENGTH, 150, 190), (LENGTH, 0, 20), (LENGTH, 60, 120)],
                         "x0*(x3-x1)/(x3-x2)"),
    "surface_speed": ([(LENGTH, 20, 80), (SPEED, 300, 6000)], f"{PI}*x0*x1"),
    "thermal_growth": ([(LENGTH, 20, 800), (GROWTH, 10, 25), (KELVIN, 5, 90)], "x0*x1*x2"),
    "thread_bolt_strip_area": ([(LENGTH, 8, 30), (LENGTH, 1, 2), (LENGTH, 11, 12), (LENGTH, 10, 10.8)],
                               f"{PI}*x0/x1*x3*(x1/2+(x2-x3)/sqrt(3))"),
    "thread_core_diameter": ([(LENGTH, 8, 24), (LENGTH, 1, 2)], "x0-17/24*sqrt(3)*x1"),
    "thread_engagement": ([(LENGTH, 8, 24), (LENGTH, 1, 2)],
                          "2*((x0-3/8*sqrt(3)*x1+x0-17/24*sqrt(3)*x1)/2)^2/(2*(x0-3/8*sqrt(3)*x1))"),
    "thread_minor_diameter": ([(LENGTH, 8, 24), (LENGTH, 1, 2)], "x0-5/8*sqrt(3)*x1"),
    "thread_nut_strip_area": ([(LENGTH, 8, 30), (LENGTH, 1, 2), (LENGTH, 12, 12.5), (LENGTH, 11, 11.5)],
                              f"{PI}*x0/x1*x2*(x1/2+(x2-x3)/sqrt(3))"),
    "thread_pitch_diameter": ([(LENGTH, 8, 24), (LENGTH, 1, 2)], "x0-3/8*sqrt(3)*x1"),
    "thread_stress_area": ([(LENGTH, 8, 24), (LENGTH, 1, 2)],
                           f"{PI}/4*((x0-3/8*sqrt(3)*x1+x0-17/24*sqrt(3)*x1)/2)^2"),
    "torsion_stress": ([(TORQUE, 50, 400), (LENGTH, 30, 60), (LENGTH, 5, 20)], f"16*x0*x1/({PI}*(x1^4-x2^4))"),
    "torsion_torque": ([(STRESS, 20, 200), (LENGTH, 30, 60), (LENGTH, 5, 20)], f"x0*{PI}*(x1^4-x2^4)/(16*x1)"),
    "torsion_twist": ([(TORQUE, 50, 400), (LENGTH, 100, 800), (LENGTH, 30, 60), (LENGTH, 5, 20),
                       (STRESS, 78000, 82000)], f"32*x0*x1/({PI}*x4*(x2^4-x3^4))"),
    "triangular_uncertainty": ([(LENGTH, 0.01, 0.1)], "x0/sqrt(6)"),
}


def drawn(dice, least, most):
    """A number that is written the same for both, and whole where its limits are counts."""
    if isinstance(least, int) and isinstance(most, int) and most < 100:
        return str(dice.randint(least, most))
    return f"{dice.uniform(least, most):.6g}"


def reckoned_by_bc(lines):
    done = subprocess.run(["bc", "-l"], input=BC + "\n".join(lines) + "\nquit\n", capture_output=True, text=True,
                          check=True, env={**os.environ, "BC_LINE_LENGTH": "0"})
    values = done.stdout.split()
    if done.stderr or len(values) != len(lines):
        sys.exit(f"bc did not understand: {done.stderr or values}")
    return [float(value) for value in values]


def run(program, base, *words):
    done = subprocess.run([program, *words, *base, "--format", "json"], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(f"whyfit {' '.join(words)}: {done.stdout}{done.stderr}")
    return json.loads(done.stdout)


def calls_of(draws, dice):
    """Each drawn call as (function, text for whyfit, line for bc)."""
    for name, (arguments, equation) in EQUATIONS.items():
        for _ in range(draws):
            values = [drawn(dice, least, most) for _, least, most in arguments]
            given = ", ".join(f"{value} {unit[0]}".strip() for value, (unit, _, _) in zip(values, arguments))
            line = "; ".join(f"x{i}={value}*{unit[1]}" for i, (value, (unit, _, _)) in enumerate(zip(values, arguments)))
            yield name, f"{name}({given})", f"{line}; {equation}"


def unheld(functions):
    """What calls a number and that nothing here holds."""
    for function in functions:
        if function["arguments"] and function["result"].get("dimension"):
            if function["name"] not in EQUATIONS and function["name"] not in ELSEWHERE:
                yield f"{function['name']}: nothing holds it"


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    dice = random.Random(int(os.environ.get("WHYFIT_SEED", "1")))
    if shutil.which("bc") is None:
        print("bc is not there: skipped")
        return 77
    with tempfile.TemporaryDirectory() as folder:
        base = ["--prepared", os.path.join(folder, "base")]
        made = subprocess.run([program, "prepare", "--knowledge", root, "--out", base[1]], check=False,
                              capture_output=True)
        base = base if made.returncode == 0 else ["--knowledge", root]
        faults = list(unheld(run(program, base, "show", "functions")["functions"]))
        calls = list(calls_of(int(os.environ.get("WHYFIT_DRAWS", "1")), dice))
        got = [run(program, base, "reckon", text) for _, text, _ in calls]
    expected = reckoned_by_bc([line for _, _, line in calls])
    scales = reckoned_by_bc([RESULTS[one["unit"]] for one in got])
    for (_, text, _), want, one, scale in zip(calls, expected, got, scales):
        if abs(one["nominal"] - want / scale) > max(1e-9 * abs(want / scale), 1e-6):  # written to six places
            faults.append(f"{text}: {one['nominal']} {one['unit']}, by bc {want / scale}")
    print("\n".join(faults + [f"{len(calls)} calls of {len(EQUATIONS)} functions, {len(faults)} faults"]))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
