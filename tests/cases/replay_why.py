#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Asks `why` of every relation about the demo and computes the trees again: replay_why.py PROGRAM ROOT

Prints each step that does not come out, and `N passed, N failed`.
"""
import glob
import json
import os
import subprocess
import sys

import yaml

import replay
from replay_trees import numbered_as_read

QUESTIONS = [
    ("mower", "kestrel-head-early", {"cover": "kestrel-cover-late"}),
    ("mower", "kestrel-mower", {"head": "kestrel-head-late"}),
    ("pump", "otter-frame-early", {"seal": "none"}),
    ("trailer", "packhorse-hub-greased", {"fill": "packhorse-hub-oil"}),
]


def knowledge_of(root):
    rules, relations = {}, []
    for path in glob.glob(os.path.join(root, "rules/*.yaml")):
        with open(path, encoding="utf-8") as file:
            document = yaml.safe_load(file)
        rules.update({rule["rule"]: rule for rule in document.get("rules", [])})
        relations += [name for name, relation in (document.get("relations") or {}).items()
                      if relation["filled-by"] != "facts"]
    return rules, sorted(relations)


def answers_to(program, root, machine, questions):
    lines = "".join(json.dumps(question) + "\n" for question in questions)
    done = subprocess.run([program, "swap", "--batch", "-", "--threads", "1", "--with",
                           os.path.join(root, "demo", machine)], input=lines, text=True,
                          capture_output=True, check=False, env={**os.environ, "WHYFIT_KNOWLEDGE": root})
    return [json.loads(line) for line in done.stdout.splitlines()]


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    rules, relations = knowledge_of(root)
    passed = failed = rows = 0
    for machine, unit, changes in QUESTIONS:
        questions = [{"command": "why", "unit": unit, "changes": changes, "of": relation, "most": 1000}
                     for relation in relations]
        answers = answers_to(program, root, machine, questions)
        failed += len(answers) != len(questions)
        for answer in answers:
            good, bad = replay.replay(answer, rules)
            if not numbered_as_read(answer):
                bad.append("the steps are not numbered as they are read")
            if not all(one["row"]["relation"] == answer["question"]["of"] and
                       one["row"] == answer["steps"][one["step"] - 1]["row"] for one in answer["rows"]):
                bad.append("a row is not the one of its step")
            rows += len(answer["rows"])
            passed += good
            failed += len(bad)
            for words in bad[:5]:
                print(f"{unit} {answer['question']['of']}: {words}")
    print(f"{rows} rows; {passed} passed, {failed} failed")
    return 0 if failed == 0 and rows > 300 else 1


if __name__ == "__main__":
    sys.exit(main())
