#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Leaves each shipped rule out in turn: some worked case must then differ.

drop_rules.py PROGRAM ROOT. Rules that no case notices are listed. The files that name a rule, then those of its
pack, are tried first, and the first case that differs is enough. drop_rules.py PROGRAM ROOT PACK… tries the rules of
these packs alone.
"""
import concurrent.futures
import glob
import json
import os
import re
import subprocess
import sys

def read(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def packs_of(root):
    """Rule → the file of its pack, without its ending."""
    packs = {}
    for path in sorted(glob.glob(os.path.join(root, "rules", "*.yaml"))):
        for name in re.findall(r"^ *-? *rule: *([a-z0-9-]+)", read(path), re.M):
            packs[name] = os.path.basename(path)[:-len(".yaml")]
    return packs


def in_order(files, rule, pack):
    def rank(path):
        return (f"rule: {rule}," not in files[path], os.path.basename(os.path.dirname(path)) != pack, path)
    return sorted(files, key=rank)


def is_noticed(program, root, rule, paths):
    """True where a case differs; a string where something went wrong."""
    done = subprocess.run([program, "trial", "--knowledge", root, "--first", "--without", rule, *paths],
                          cwd=root, capture_output=True, text=True, check=False)
    if done.returncode in (0, 1):
        return done.returncode == 1
    if "[values-conflict]" in done.stderr:  # what it kept apart then comes together
        return True
    return (done.stderr or done.stdout).strip().splitlines()[0]


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    files = {path: read(path) for path in glob.glob(os.path.join(root, "tests/cases/*/*cases.yaml"))}
    packs = packs_of(root)
    shown = subprocess.run([program, "show", "rules", "--knowledge", root, "--format", "json"],
                           capture_output=True, text=True, check=True)
    rules = [line["label"] for line in json.loads(shown.stdout)["lines"]
             if len(sys.argv) < 4 or packs.get(line["label"]) in sys.argv[3:]]
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        found = list(pool.map(lambda rule: is_noticed(program, root, rule,
                                                      in_order(files, rule, packs.get(rule))), rules))
    wrong = 0
    for rule, noticed in zip(rules, found):
        if noticed is not True:
            wrong += 1
            print(f"{rule} ({packs.get(rule)}): {noticed or 'no case differs without it'}")
    print(f"{len(rules) - wrong} passed, {wrong} failed")
    return 0 if wrong == 0 and rules else 1


if __name__ == "__main__":
    sys.exit(main())
