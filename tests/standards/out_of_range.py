#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Every function of mechanics by its name: out_of_range.py PROGRAM ROOT.

In its range each gives a number, and beyond each end of it none, but the reason; so must every function do that `show
functions` lists, or its range must be `any`. Ends are those of the printed equation, not of what is sensible.
"""
import json
import os
import shutil
import subprocess
import sys
import tempfile

# name: a call in range, then calls out of it, each beyond another end of what `show functions` has as its range.
CALLS = {
    "bevel_backlash_change": ["0.1 mm, 20 deg, 45 deg", "0.1 mm, 0 deg, 45 deg", "0.1 mm, 45 deg, 45 deg"],
    "bevel_pitch_angle": ["17, 49, 90 deg", "0, 49, 90 deg", "17, 0, 90 deg", "17, 49, 0 deg", "17, 49, 180 deg"],
    "bolt_circle_of_chord": ["50 mm, 6", "50 mm, 1", "50 mm, 2.5"],
    "clearance_lost_to_housing": ["0.02 mm, 62 mm, 54 mm", "0.02 mm, 62 mm, 62 mm", "0.02 mm, 62 mm, 0 mm"],
    "clearance_lost_to_shaft": ["0.02 mm, 30 mm, 38 mm", "0.02 mm, 30 mm, 30 mm", "0.02 mm, 0 mm, 38 mm"],
    "closed_space_pressure": [
        "293 K, 353 K, 900 ml, 200 ml, 700 um/m/K, 23 um/m/K, 1 bar",
        "0 K, 353 K, 900 ml, 200 ml, 700 um/m/K, 23 um/m/K, 1 bar",
        "293 K, 0 K, 900 ml, 200 ml, 700 um/m/K, 23 um/m/K, 1 bar",
        "293 K, 353 K, 900 ml, 900 ml, 700 um/m/K, 23 um/m/K, 1 bar",
        "293 K, 353 K, 900 ml, 890 ml, 700 um/m/K, 0 um/m/K, 1 bar"],
    "combined_uncertainty": ["0.1 mm, 0.2 mm", "-0.1 mm, 0.2 mm", "0.1 mm, -0.2 mm"],
    "equivalent_load": ["3 kN, 1 kN, 15 kN, 13", "3 kN, 50 kN, 5 kN, 13", "3 kN, -1 kN, 15 kN, 13"],
    "fixed_fastener_tolerance": ["9 mm, 8 mm", "0 mm, 8 mm", "9 mm, 0 mm"],
    "floating_fastener_tolerance": ["9 mm, 8 mm", "0 mm, 8 mm", "9 mm, 0 mm"],
    "gear_centre_distance": ["2 mm, 20, 40, 15 deg", "0 mm, 20, 40, 15 deg", "2 mm, 0, 40, 15 deg",
                             "2 mm, 20, 0, 15 deg", "2 mm, 20, 40, 90 deg"],
    "gear_shifted_distance": ["3 mm, 12, 24, 20 deg, 0.96", "3 mm, 12, 24, 0 deg, 0.96", "3 mm, 12, 24, 45 deg, 0.96",
                              "3 mm, 12, 24, 20 deg, -20"],
    "gear_working_angle": ["12, 24, 20 deg, 0.96", "12, 24, 0 deg, 0.96", "12, 24, 45 deg, 0.96", "12, 24, 20 deg, -20",
                           "0, 24, 20 deg, 0.96"],
    "guard_band": ["0.1 mm", "-0.1 mm"],
    "heat_to_drop_on": ["0.03 mm, 0.02 mm, 40 mm, 12.5 um/m/K", "0.03 mm, 0.02 mm, 0 mm, 12.5 um/m/K",
                        "0.03 mm, 0.02 mm, 40 mm, 0 um/m/K"],
    "inner_raceway": ["30 mm, 62 mm", "62 mm, 62 mm"],
    "interference_lost_by_load": ["30 mm, 16 mm, 3 kN", "0 mm, 16 mm, 3 kN", "30 mm, 0 mm, 3 kN", "30 mm, 16 mm, -3 kN"],
    "key_pressure": ["200 Nm, 40 mm, 3 mm, 40 mm", "200 Nm, 0 mm, 3 mm, 40 mm", "200 Nm, 40 mm, 0 mm, 40 mm",
                     "200 Nm, 40 mm, 3 mm, 0 mm"],
    "key_shear": ["200 Nm, 40 mm, 12 mm, 40 mm", "200 Nm, 0 mm, 12 mm, 40 mm", "200 Nm, 40 mm, 0 mm, 40 mm",
                  "200 Nm, 40 mm, 12 mm, 0 mm"],
    "mean_uncertainty": ["0.1 mm, 4", "0.1 mm, 0", "-0.1 mm, 4"],
    "outer_raceway": ["30 mm, 62 mm", "62 mm, 62 mm"],
    "overhung_deflection": ["500 N, 60 mm, 120 mm, 206 GPa, 30 mm", "500 N, 60 mm, 120 mm, 0 GPa, 30 mm",
                            "500 N, 60 mm, 120 mm, 206 GPa, 0 mm"],
    "press_hoop_in_bore": ["30 MPa, 40 mm, 20 mm", "30 MPa, 40 mm, 40 mm", "30 MPa, 40 mm, 0 mm"],
    "press_hoop_inner": ["30 MPa, 40 mm, 20 mm", "30 MPa, 40 mm, 40 mm", "30 MPa, 40 mm, -1 mm"],
    "press_hoop_outer": ["30 MPa, 40 mm, 60 mm", "30 MPa, 40 mm, 40 mm", "30 MPa, -1 mm, 60 mm"],
    "press_pressure": [
        "0.04 mm, 40 mm, 64 mm, 206 GPa, 0.3, 0 mm, 206 GPa, 0.3", "0.04 mm, 40 mm, 40 mm, 206 GPa, 0.3, 0 mm, 206 GPa, 0.3",
        "0.04 mm, 40 mm, 64 mm, 206 GPa, 0.3, 40 mm, 206 GPa, 0.3",
        "0.04 mm, 40 mm, 64 mm, 206 GPa, 0.3, -1 mm, 206 GPa, 0.3"],
    "rating_life": ["30 kN, 5 kN, 3", "30 kN, 0 kN, 3", "30 kN, 31 kN, 3"],
    "rating_life_time": ["30 kN, 5 kN, 3, 1450 rpm", "30 kN, 0 kN, 3, 1450 rpm", "30 kN, 31 kN, 3, 1450 rpm",
                         "30 kN, 5 kN, 3, 0 rpm"],
    "rating_needed": ["5 kN, 1450 rpm, 3000 h, 3", "5 kN, 0 rpm, 3000 h, 3", "5 kN, 1450 rpm, 0 h, 3"],
    "rectangular_uncertainty": ["0.1 mm", "-0.1 mm"],
    "resolution_uncertainty": ["0.1 mm", "-0.1 mm"],
    "ring_fill": ["40 mm, 3.5 mm, 41 mm, 46.6 mm, 4.8 mm", "-1 mm, 3.5 mm, 41 mm, 46.6 mm, 4.8 mm",
                  "40 mm, 0 mm, 41 mm, 46.6 mm, 4.8 mm", "40 mm, 3.5 mm, 46.6 mm, 46.6 mm, 4.8 mm",
                  "40 mm, 3.5 mm, 41 mm, 46.6 mm, 0 mm"],
    "ring_squeeze": ["3.5 mm, 2.9 mm", "0 mm, 2.9 mm"],
    "ring_stretch": ["41 mm, 40 mm", "41 mm, 0 mm"],
    "ring_thinning": ["0.04", "-0.01", "0.26"],
    "ring_thinning_by_volume": ["0.04", "-1"],
    "spline_pressure": ["200 Nm, 16, 38 mm, 32 mm, 30 mm, 0.75", "200 Nm, 16, 38 mm, 38 mm, 30 mm, 0.75",
                        "200 Nm, 16, 38 mm, 32 mm, 30 mm, 0", "200 Nm, 16, 38 mm, 32 mm, 30 mm, 1.1",
                        "200 Nm, 16, 38 mm, -1 mm, 30 mm, 0.75"],
    "spur_backlash": ["2 mm, 20, 40, 20 deg, 60.1 mm", "2 mm, 20, 40, 20 deg, 40 mm", "2 mm, 0, 40, 20 deg, 60.1 mm"],
    "spur_backlash_change": ["0.1 mm, 20 deg", "0.1 mm, 0 deg", "0.1 mm, 45 deg"],
    "standard_uncertainty": ["0.1 mm, 2", "0.1 mm, 0"],
    "support_reaction": ["500 N, 150 mm, 0 mm, 100 mm", "500 N, 150 mm, 100 mm, 100 mm"],
    "thread_bolt_strip_area": ["16 mm, 1.75 mm, 10.863 mm, 10.106 mm", "16 mm, 1.75 mm, 8 mm, 10.106 mm",
                               "16 mm, 0 mm, 10.863 mm, 10.106 mm"],
    "thread_core_diameter": ["12 mm, 1.75 mm", "12 mm, 10 mm", "12 mm, 0 mm"],
    "thread_engagement": ["12 mm, 1.75 mm", "12 mm, 10 mm", "12 mm, 0 mm"],
    "thread_minor_diameter": ["12 mm, 1.75 mm", "12 mm, 12 mm", "12 mm, 0 mm"],
    "thread_nut_strip_area": ["16 mm, 1.75 mm, 12 mm, 10.863 mm", "16 mm, 1.75 mm, 8 mm, 10.863 mm",
                              "16 mm, 0 mm, 12 mm, 10.863 mm"],
    "thread_pitch_diameter": ["12 mm, 1.75 mm", "12 mm, 19 mm", "12 mm, 0 mm"],
    "thread_stress_area": ["12 mm, 1.75 mm", "12 mm, 13 mm", "12 mm, 0 mm"],
    "torsion_stress": ["200 Nm, 40 mm, 10 mm", "200 Nm, 40 mm, 40 mm", "200 Nm, 40 mm, -1 mm"],
    "torsion_torque": ["80 MPa, 40 mm, 10 mm", "80 MPa, 40 mm, 40 mm", "80 MPa, 40 mm, -1 mm"],
    "torsion_twist": ["200 Nm, 500 mm, 40 mm, 10 mm, 80 GPa", "200 Nm, 500 mm, 40 mm, 40 mm, 80 GPa",
                      "200 Nm, 500 mm, 40 mm, -1 mm, 80 GPa"],
    "triangular_uncertainty": ["0.1 mm", "-0.1 mm"],
    # any numbers at all
    "clock_apart": ["350 deg, 20 deg"],
    "equivalent_load_tapered": ["3 kN, 1 kN, 1.5"],
    "press_force": ["30 MPa, 40 mm, 25 mm, 0.12"],
    "press_torque": ["30 MPa, 40 mm, 25 mm, 0.12"],
    "static_equivalent_load": ["3 kN, 1 kN"],
    "surface_speed": ["40 mm, 3000 rpm"],
    "thermal_growth": ["40 mm, 12.5 um/m/K, 60 K"],
}
OF_A_UNIT = {"covered", "run_under"}  # they ask for the rows of a unit: tests/cases/static-seals


def reckon(program, base, call):
    done = subprocess.run([program, "reckon", call, "--prepared", base, "--format", "json"], capture_output=True,
                          text=True, check=False)
    return done.returncode, json.loads(done.stdout or done.stderr or "{}")


def fault_of(program, base, name, number, call):
    """What is not as it should be; None: all is."""
    status, answer = reckon(program, base, f"{name}({call})")
    has_number = status == 0 and answer.get("nominal") is not None
    if number == 0:
        return None if has_number else f"in its range: {answer}"
    if has_number:
        return f"out of its range, and a number: {answer['nominal']} {answer['unit']}"
    return None if answer.get("undefined") or answer.get("error") else f"no reason: {status} {answer}"


def main():
    program, root = sys.argv[1:3]
    shown = subprocess.run([program, "show", "functions", "--knowledge", root, "--format", "json"],
                           capture_output=True, text=True, check=True)
    ranges = {one["name"]: one["range"] for one in json.loads(shown.stdout)["functions"]}
    base = os.path.join(tempfile.mkdtemp(), "base")
    subprocess.run([program, "prepare", "--knowledge", root, "--out", base], check=True)
    passed, faults = 0, [f"{name}: no such function" for name in CALLS if name not in ranges]
    for name, text in ranges.items():
        calls = CALLS.get(name, [])
        if name not in OF_A_UNIT and (not calls or (len(calls) == 1) != (text == "any")):
            faults.append(f"{name}: its range is \"{text}\", and {len(calls)} calls are known")
        for number, call in enumerate(calls):
            fault = fault_of(program, base, name, number, call)
            passed += fault is None
            faults += [f"{name}({call}): {fault}"] if fault else []
    shutil.rmtree(os.path.dirname(base))
    print("\n".join(faults) + ("\n" if faults else "") + f"{passed} passed, {len(faults)} failed")
    return 1 if faults or passed < 150 else 0


if __name__ == "__main__":
    sys.exit(main())
