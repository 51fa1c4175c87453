#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Which rules of rules/listing-shows.yaml no labelled listing would miss: drop_rules.py PROGRAM ROOT. Not a test."""
import json
import os
import re
import subprocess
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import listings  # noqa: E402


def answers(program, root, without):
    rows = []
    for name in listings.FILES:
        command = [program, "listing", os.path.join(root, "tests/listing", name), "--rows", "json", "--columns", "text"]
        for folder in ("demo/mower", "demo/pump", "demo/trailer", "demo/listings", "tests/listing/hands.yaml"):
            command += ["--with", os.path.join(root, folder)]
        done = subprocess.run(command + without, capture_output=True, check=True).stdout.decode()
        rows += [[claim["judgement"] for claim in json.loads(line)["claims"]] for line in done.splitlines()]
    return rows


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    with open(os.path.join(root, "rules/listing-shows.yaml"), encoding="utf-8") as file:
        rules = re.findall(r"- rule: (\S+)", file.read())
    whole = answers(program, root, [])
    missed = [rule for rule in rules if answers(program, root, ["--without", rule]) == whole]
    print(f"{len(rules)} rules, {len(missed)} that no listing would miss:", *missed)
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
