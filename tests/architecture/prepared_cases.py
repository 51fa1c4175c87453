#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Every worked case is answered from a prepared base as from text: prepared_cases.py PROGRAM ROOT FOLDER CASES…

The questions of each file of cases go through one batch from text and one from a base of the same knowledge; all
bytes must be the same, those of refusals too.
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


def questions_of(document):
    """As they are written, but that all values are texts."""
    for case in document["cases"]:
        asked = dict(case["question"])
        for pairs in ("changes", "given"):
            if pairs in asked:
                asked[pairs] = {str(name): str(value) for name, value in asked[pairs].items()}
        yield json.dumps(asked)


def run(program, words, stdin=""):
    done = subprocess.run([program, *words], input=stdin, capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


def main():
    program, root, folder = sys.argv[1:4]
    os.makedirs(folder, exist_ok=True)
    base = os.path.join(folder, "cases.prepared")
    passed = failed = 0
    for path in sys.argv[4:]:
        with open(path, encoding="utf-8") as file:
            document = yaml.load(file, Loader=yaml.BaseLoader)
        words = ["--knowledge", root]
        for one in knowledge_of(path, document, root):
            words += ["--with", one]
        lines = "\n".join(questions_of(document)) + "\n"
        text = run(program, ["swap", "--batch", "-", *words], lines)
        made = run(program, ["prepare", *words, "--out", base])
        same = run(program, ["swap", "--batch", "-", "--prepared", base], lines)
        answered = same[1].count("\n")
        if made == (0, "", "") and text == same and answered == lines.count("\n") and '"verdict"' in same[1]:
            passed += answered
        else:
            failed += 1
            print(f"FAILED {path}: {made}, {text[0]}, {same[0]} {same[2][:300]}")
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 and passed > 100 else 1


if __name__ == "__main__":
    sys.exit(main())
