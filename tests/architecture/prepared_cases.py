#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Every worked case is answered from a prepared base as from text: prepared_cases.py PROGRAM ROOT FOLDER
ANSWERS.jsonl CASES…

The questions of each file of cases go through one batch from a base of its knowledge; all bytes must be as the
cases were answered from text, in this order, which is what ANSWERS.jsonl holds, or refused as the case says.
"""
import glob
import json
import os
import subprocess
import sys

import yaml


def knowledge_of(path, document, root):
    """The folders and files of a file's cases beside what is shipped; see engine/facade/whyfit_trial.c."""
    folder = os.path.dirname(path)
    found = []
    for name in document.get("knowledge", []):
        beside = os.path.join(folder, name)
        found.append(beside if os.path.exists(beside) else os.path.join(root, name))
    own = glob.glob(f"{folder}/**/*.yaml", recursive=True) + glob.glob(f"{folder}/**/*.csv", recursive=True)
    return found + sorted(one for one in own if not one.endswith("cases.yaml") and
                          not any(one == name or one.startswith(name + "/") for name in found))


def swaps_of(document):
    """The cases that ask of a swap, and not for its sheet or what lint finds: a batch asks swaps."""
    return [case for case in document["cases"] if "asks" not in case["question"] and "sheet" not in case["expect"]]


def questions_of(document):
    """As they are written, but that all values are texts."""
    for case in swaps_of(document):
        asked = dict(case["question"])
        for pairs in ("changes", "given"):
            if pairs in asked:
                asked[pairs] = {str(name): str(value) for name, value in asked[pairs].items()}
        yield json.dumps(asked)


def run(program, words, stdin=""):
    done = subprocess.run([program, *words], input=stdin, capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


def as_named(line):
    """An answer without how its parts were named: a case is asked by the names it has, a line as it was typed."""
    answer = json.loads(line)
    answer.pop("taken", None)
    return {**answer, "question": None}


def came_out(case, said, answers):
    refusal = case["expect"].get("refused")
    if refusal:
        return json.loads(said)["error"][0]["code"] == refusal
    expected = next(answers, "")
    return as_named(said) == as_named(expected) if "taken" in json.loads(said) else said == expected


def main():
    program, root, folder, from_text = sys.argv[1:5]
    os.makedirs(folder, exist_ok=True)
    base = os.path.join(folder, "cases.prepared")
    passed = failed = 0
    with open(from_text, encoding="utf-8") as text:
        swaps = (line for line in text if json.loads(line)["question"]["command"] == "swap")
        for path in sys.argv[5:]:
            with open(path, encoding="utf-8") as file:
                document = yaml.load(file, Loader=yaml.CBaseLoader)
            words = ["--knowledge", root]
            for one in knowledge_of(path, document, root):
                words += ["--with", one]
            lines = list(questions_of(document))
            made = run(program, ["prepare", *words, "--out", base])
            said = run(program, ["swap", "--batch", "-", "--prepared", base], "\n".join(lines) + "\n")
            same = sum(came_out(case, line, swaps)
                       for case, line in zip(swaps_of(document), said[1].splitlines(keepends=True)))
            passed, failed = passed + same, failed + len(lines) - same
            if made != (0, "", "") or same != len(lines):
                failed += 1
                print(f"FAILED {path}: {made}, {said[0]} {said[2][:300]}, {same} of {len(lines)} the same")
        failed += next(swaps, "") != ""
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 and passed > 100 else 1


if __name__ == "__main__":
    sys.exit(main())
