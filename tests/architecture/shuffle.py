#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Order must not show: shuffle.py PROGRAM ROOT FOLDER.

Writes the shipped rules and facts and the demo again with every map, every list that has no order of
its own, and every file name shuffled, and asks the demo's questions of both. Answers must be the same
to the byte, but for the digest and the places of facts.
"""
import json
import os
import random
import re
import shutil
import subprocess
import sys

import yaml

# Lists in which order means something: choices are shown in it, `between` is from and to.
ORDERED = {"between", "choice", "main-steps", "sub-steps", "lengths", "angles", "not-looked-at"}


# The rows of a chain's step are listed in the order of its rule's conditions, so JSON is compared with
# that order kept; the words of an answer do not depend on it either.
KEEP_GIVEN = True


def shuffled(node, key, dice):
    if isinstance(node, dict):
        entries = list(node.items())
        if key not in ("let", "count", "key"):  # a relation's first key column is its owner
            dice.shuffle(entries)
        return {k: shuffled(v, k, dice) for k, v in entries}
    if isinstance(node, list):
        items = [shuffled(item, key, dice) for item in node]
        rows_of_numbers = all(re.fullmatch(r"[-\d.]+", str(i)) for i in items)
        if key not in ORDERED and not rows_of_numbers and not (key == "given" and KEEP_GIVEN):
            dice.shuffle(items)
        return items
    return node


class Words(yaml.SafeLoader):
    """Every scalar stays the text it is."""


Words.yaml_implicit_resolvers = {}


class Plain(yaml.SafeDumper):
    """Quotes only what has to be: `$variables` must stay plain to be read as variables."""

    def ignore_aliases(self, data):
        return True


Plain.yaml_implicit_resolvers = {}


def write_shuffled(source, target, dice):
    os.makedirs(target, exist_ok=True)
    names = sorted(n for n in os.listdir(source) if n.endswith(".yaml"))
    for i, name in enumerate(dice.sample(names, len(names))):
        with open(os.path.join(source, name), encoding="utf-8") as file:
            document = yaml.load(file, Words)
        with open(os.path.join(target, f"{i:02}-renamed.yaml"), "w", encoding="utf-8") as file:
            yaml.dump(shuffled(document, None, dice), file, Plain, allow_unicode=True,
                      sort_keys=False, width=100000)


def answer(program, knowledge, demo, question):
    words = [f"{place}={part}" for place, part in question["changes"].items()]
    said = []
    for form in ("text", "json"):
        done = subprocess.run([program, "swap", question["unit"], *words, "--knowledge", knowledge,
                               "--with", demo, "--format", form], capture_output=True, text=True,
                              check=False)
        said.append(done.stdout if form == "text" else places_removed(done.stdout))
        said.append(done.stderr)
    return said


def places_removed(line):
    found = json.loads(line)
    del found["knowledge"]
    for step in found["steps"]:
        step.pop("fact", None)
    return json.dumps(found)


def main():
    global KEEP_GIVEN
    program, root, folder = (os.path.abspath(word) for word in sys.argv[1:4])
    with open(os.path.join(root, "demo/questions.jsonl"), encoding="utf-8") as file:
        questions = [json.loads(line) for line in file]
    plain = [answer(program, root, os.path.join(root, "demo/mower"), q) for q in questions]
    passed = failed = 0
    for seed in range(4):
        KEEP_GIVEN = seed < 2
        dice = random.Random(seed)
        shutil.rmtree(folder, ignore_errors=True)
        for part in ("rules", "facts"):
            write_shuffled(os.path.join(root, part), os.path.join(folder, part), dice)
        write_shuffled(os.path.join(root, "demo/mower"), os.path.join(folder, "mower"), dice)
        for question, wanted in zip(questions, plain):
            got = answer(program, folder, os.path.join(folder, "mower"), question)
            compared = len(wanted) if KEEP_GIVEN else 2
            same = got[:compared] == wanted[:compared] and wanted[0] != ""
            passed += same
            failed += not same
            if not same:
                print(f"FAILED seed {seed}: {question}")
                for a, b in zip(wanted, got):
                    for x, y in zip(a.splitlines(), b.splitlines()):
                        if x != y:
                            at = next((i for i, (p, q) in enumerate(zip(x, y)) if p != q), 0)
                            print(f"  was {x[max(0, at - 80):at + 80]}\n  now {y[max(0, at - 80):at + 80]}")
                            break
                print("\n".join(got[1].splitlines()[:6]))
    shutil.rmtree(folder, ignore_errors=True)
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 and passed > 0 else 1


if __name__ == "__main__":
    sys.exit(main())
