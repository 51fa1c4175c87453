#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Order must not show: shuffle.py PROGRAM ROOT FOLDER CASES.yaml…

Writes the shipped rules and facts and the knowledge of worked cases again, with every map, every list that has no
order of its own, and every file name shuffled, and asks the questions of the cases of both. Answers must be the
same to the byte, but for the digest and the places of facts. Then a pack of rules and facts that has to do with
nothing lies beside, and nothing may change at all but the digest.

Each run takes the demo and a few of the files of cases, others on another day's seed: WHYFIT_SHUFFLE=N is the
seed, WHYFIT_SHUFFLE=all takes all files.
"""
import json
import os
import random
import re
import shutil
import subprocess
import sys

import yaml

from prepared_cases import knowledge_of, questions_of

# Lists and maps in which order means something: choices are shown in it, `between` is from and to, mends are tried in
# it, and so are the patterns of claims.
ORDERED = {"between", "mend", "choice", "main-steps", "sub-steps", "lengths", "angles", "edges", "not-looked-at", "patterns", "each"}
# What a chain lists as its rule does.
CONDITIONS = {"given", "unless", "every", "sum", "least", "greatest"}
SAMPLE = 3

UNRELATED = {"vocabulary.yaml": """
relations:
  teapot-lid: {says: How wide a lid of a teapot is., filled-by: facts, listed-as: teapot-lids,
               key: {piece: name, lid: name}, values: {width: {quantity: length}}}
  drips: {says: A teapot that drips., filled-by: rules, key: {piece: name}}
kinds:
  teapot: {says: For tea.}
""", "rules.yaml": """
pack: teapots
says: Of teapots.
rules:
  - rule: a-narrow-lid-drips
    says: A teapot with a narrow lid drips.
    source: invented
    given:
      - teapot-lid: {piece: $piece, lid: $lid, width: $width}
    where: [$width < 80 mm]
    conclude:
      - drips: {piece: $piece}
""", "facts.yaml": """
part: unrelated-teapot
kind: teapot
title: A teapot
source: invented
teapot-lids: {top: {width: 60 ±1 mm}}
"""}


class Words(yaml.CSafeLoader):
    """Every scalar stays the text it is."""


class Plain(yaml.CSafeDumper):
    """Quotes only what has to be: `$variables` must stay plain to be read as variables."""

    def ignore_aliases(self, data):
        return True


Words.yaml_implicit_resolvers = Plain.yaml_implicit_resolvers = {}
Plain.add_representer(str, lambda dumper, word: dumper.represent_scalar(
    "tag:yaml.org,2002:str", word, style=None if word else "'"))


class Shuffler:
    """Writes knowledge in another order. A chain's step lists its rows in the order of its rule's conditions:
    where these are shuffled too (odd seeds), steps are compared as what they say, without their numbers."""

    def __init__(self, seed):
        self.dice = random.Random(seed)
        self.conditions_too = seed % 2 == 1

    def shuffled(self, node, key):
        if isinstance(node, dict):
            entries = list(node.items())
            # A relation's first key column is its owner.
            if key not in ("let", "count", "key", "each") and (key not in CONDITIONS or self.conditions_too):
                self.dice.shuffle(entries)
            return {k: self.shuffled(v, k) for k, v in entries}
        if isinstance(node, list):
            items = [self.shuffled(item, key) for item in node]
            rows_of_numbers = all(re.fullmatch(r"[-\d.]+", str(i)) for i in items)
            is_free = key not in ORDERED and (key not in CONDITIONS or self.conditions_too)
            if is_free and not rows_of_numbers:
                self.dice.shuffle(items)
            return items
        return node

    def write(self, source, target):
        """A file or folder of knowledge, shuffled, as the folder `target`."""
        os.makedirs(target, exist_ok=True)
        folder = source if os.path.isdir(source) else os.path.dirname(source)
        names = sorted(n for n in os.listdir(source) if n.endswith(".yaml")) if folder == source else \
            [os.path.basename(source)]
        for i, name in enumerate(self.dice.sample(names, len(names))):
            with open(os.path.join(folder, name), encoding="utf-8") as file:
                document = yaml.load(file, Words)
            with open(os.path.join(target, f"{i:02}-renamed.yaml"), "w", encoding="utf-8") as file:
                yaml.dump(self.shuffled(document, None), file, Plain, allow_unicode=True,
                          sort_keys=False, width=100000)
        return target


def numbers_removed(found):
    """An answer whose steps are named by their rows instead of by numbers, each with what it rests on sorted."""
    rows = {step["id"]: json.dumps(step["row"]) for step in found["steps"]}
    for step in found["steps"]:
        step["from"] = sorted(rows[one] for one in step["from"])
        step["denied"] = sorted(map(json.dumps, step["denied"]))
        del step["id"]
    found["steps"] = sorted(map(json.dumps, found["steps"]))
    for finding in found["findings"] + found["host_findings"]:
        finding["chain"] = rows.get(finding.get("chain"))
    return found


def answers(program, words, lines, conditions_too):
    """What a batch says, without what it read and where it read it."""
    done = subprocess.run([program, "swap", "--batch", "-", "--threads", "1", *words], input=lines,
                          capture_output=True, text=True, check=False)
    said = []
    for line in done.stdout.splitlines():
        found = json.loads(line)
        found.pop("knowledge", None)
        for fault in found.get("error", []):
            for place in ("file", "line", "column"):
                fault.pop(place, None)
        if "verdict" in found:
            for step in found["steps"]:
                step.pop("fact", None)
            found = numbers_removed(found) if conditions_too else found
        said.append(json.dumps(found))
    return said


def words_of(program, words, questions):
    """The words of answers, which no order of conditions changes."""
    said = []
    for question in questions:
        changes = [f"{place}={part}" for place, part in question["changes"].items()]
        done = subprocess.run([program, "swap", question["unit"], *changes, *words], capture_output=True,
                              text=True, check=False)
        said.append(done.stdout)
    return said


class Check:
    def __init__(self, program, root, folder):
        self.program, self.root, self.folder = program, root, folder
        self.passed = self.failed = 0

    def same(self, what, wanted, got):
        bad = [(a, b) for a, b in zip(wanted, got) if a != b or a == ""]
        self.passed += len(wanted) - len(bad)
        self.failed += len(bad) + (len(wanted) != len(got))
        if bad or len(wanted) != len(got):
            print(f"FAILED {what}: {len(bad)} of {len(wanted)}, {len(got)} answers")
        for a, b in bad[:2]:
            at = next((i for i, (x, y) in enumerate(zip(a, b)) if x != y), 0)
            print(f"  was {a[max(0, at - 200):at + 200]}\n  now {b[max(0, at - 200):at + 200]}")

    def ask(self, what, knowledge, lines, shuffler):
        """The questions of some knowledge, in order, shuffled, and with something beside it."""
        plain = ["--knowledge", self.root] + [word for one in knowledge for word in ("--with", one)]
        mixed = ["--knowledge", self.folder]
        for i, one in enumerate(knowledge):
            mixed += ["--with", shuffler.write(one, os.path.join(self.folder, f"{what}-{i}"))]
        wanted = answers(self.program, plain, lines, shuffler.conditions_too)
        self.same(what, wanted, answers(self.program, mixed, lines, shuffler.conditions_too))
        if not shuffler.conditions_too:
            beside = plain + ["--with", os.path.join(self.folder, "unrelated")]
            self.same(f"{what} beside what is unrelated", wanted, answers(self.program, beside, lines, False))
        return plain, mixed

    def demo(self, shuffler):
        with open(os.path.join(self.root, "demo/questions.jsonl"), encoding="utf-8") as file:
            lines = file.read()
        plain, mixed = self.ask("mower", [os.path.join(self.root, "demo/mower")], lines, shuffler)
        asked = [json.loads(line) for line in lines.splitlines()[:3]]
        self.same("words", words_of(self.program, plain, asked), words_of(self.program, mixed, asked))

    def cases(self, path, shuffler):
        with open(path, encoding="utf-8") as file:
            document = yaml.load(file, Loader=yaml.BaseLoader)
        lines = "\n".join(questions_of(document)) + "\n"
        self.ask(os.path.basename(os.path.dirname(path)), knowledge_of(path, document, self.root), lines, shuffler)


def main():
    program, root, folder = (os.path.abspath(word) for word in sys.argv[1:4])
    wanted = os.environ.get("WHYFIT_SHUFFLE", "0")
    first, files = (0, sys.argv[4:]) if wanted == "all" else (int(wanted), None)
    check = Check(program, root, folder)
    for seed in (first, first + 1):
        shuffler = Shuffler(seed)
        shutil.rmtree(folder, ignore_errors=True)
        for part in ("rules", "facts"):
            shuffler.write(os.path.join(root, part), os.path.join(folder, part))
        os.makedirs(os.path.join(folder, "unrelated"))
        for name, content in UNRELATED.items():
            with open(os.path.join(folder, "unrelated", name), "w", encoding="utf-8") as file:
                file.write(content)
        check.demo(shuffler)
        for path in files or shuffler.dice.sample(sys.argv[4:], SAMPLE):
            check.cases(path, shuffler)
    shutil.rmtree(folder, ignore_errors=True)
    print(f"{check.passed} passed, {check.failed} failed")
    return 0 if check.failed == 0 and check.passed > 100 else 1


if __name__ == "__main__":
    sys.exit(main())
