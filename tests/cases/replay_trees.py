#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Computes the trees of random programs again: replay_trees.py RANDOM_TREES FIRST COUNT

Runs random_trees and reads what it writes. Each line holds a program's rules and every row there is with its
reasons, so that the replay also counts, and sees that what is denied is not there. Prints what does not
come out, and `N passed, N failed`.
"""
import json
import subprocess
import sys

import yaml

import replay


def numbered_as_read(answer):
    """Each step once, in the order in which one who goes down each tree comes upon it."""
    steps = {step["id"]: step for step in answer["steps"]}
    order, met = [], set()

    def down(at):
        if at not in met:
            met.add(at)
            order.append(at)
            for below in steps[at]["from"]:
                down(below)

    for row in answer["rows"]:
        down(row["step"])
    return order == list(range(1, len(answer["steps"]) + 1))


def main():
    replay.OWNERS.update({"block": "piece", "peg": "piece", "known": "to"})
    for relation in ("link", "twin", "chart", "near", "far", "pair", "chain", "tie", "step", "rung", "span", "dist",
                     "total", "roll"):
        replay.OWNERS[relation] = "item"
    passed = failed = trees = 0
    with subprocess.Popen(sys.argv[1:], stdout=subprocess.PIPE, text=True) as drawn:
        for line in drawn.stdout:
            program = json.loads(line)
            rules = {rule["rule"]: rule for rule in yaml.safe_load(program["rules"])["rules"]}
            good, bad = replay.replay(program["answer"], rules, True)
            if not numbered_as_read(program["answer"]):
                bad.append("the steps are not numbered as they are read")
            trees += len(program["answer"]["rows"])
            passed += good
            failed += len(bad)
            for words in bad[:5]:
                print(f"seed {program['seed']}: {words}")
    print(f"{trees} trees; {passed} passed, {failed} failed")
    return 0 if failed == 0 and trees > 1000 and drawn.returncode == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
