#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A batch says what its questions say one by one: batch.py PROGRAM ROOT.

The demo's questions, some of them at fault, are asked one by one, as a batch on one thread and on four, and
from standard input. Lines must be the same to the byte, in the order of the questions; a fault is a line of its
own that echoes its question, and makes the exit status 2.
"""
import json
import os
import subprocess
import sys


def run(program, words, stdin=None):
    done = subprocess.run([program, *words], input=stdin, capture_output=True, text=True, check=False)
    return done.returncode, done.stdout


def one_by_one(program, folder, question):
    words = [f"{place}={part}" for place, part in question.get("changes", {}).items()]
    for name, value in question.get("given", {}).items():
        words += ["--given", f"{name}={value}"]
    return run(program, ["swap", question["unit"], *words, *folder, "--format", "json"])[1]


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    folder = ["--knowledge", root, "--with", os.path.join(root, "demo/mower")]
    with open(os.path.join(root, "demo/questions.jsonl"), encoding="utf-8") as file:
        good = [json.loads(line) for line in file]
    good.append({"unit": "kestrel-head-early", "changes": {"hub": "turned"},
                 "given": {"shaft.hub-spline.from": "23.1 mm"}})
    lines = [json.dumps(q) for q in good * 3]
    bad = ["no json", '{"unit": "nobody"}', '{"unit": "kestrel-head-early", "changes": {"cover": 3}}',
           '{"unit": "kestrel-head-early", "allow": ["everything"]}', "[]"]
    checks = []
    wanted = "".join(one_by_one(program, folder, q) for q in good) * 3
    for threads in ("1", "4"):
        status, said = run(program, ["swap", "--batch", "-", "--threads", threads, *folder],
                           "\n".join(lines) + "\n")
        checks.append((status == 0 and said == wanted, f"{threads} threads say the same as one by one"))
    mixed = [line for pair in zip(lines, bad) for line in pair] + ["", "   "]
    status, said = run(program, ["swap", "--batch", "-", *folder], "\n".join(mixed))
    answers = [json.loads(line) for line in said.splitlines()]
    checks.append((status == 2, "a fault in a batch makes its status 2"))
    checks.append((len(answers) == 2 * len(bad), "every line but blank ones has its answer"))
    checks.append((all("verdict" in a for a in answers[::2]), "good lines are answered beside bad ones"))
    checks.append((all(a["error"] and "question" in a for a in answers[1::2]), "a fault echoes its question"))
    checks.append((answers[1]["question"] == "no json", "what is no JSON is echoed as text"))
    checks.append((run(program, ["swap", "--batch", "/nowhere", *folder])[0] == 2, "no such file"))
    checks.append((run(program, ["swap", "--batch", "-", *folder], "") == (0, ""), "an empty batch"))
    for holds, words in checks:
        if not holds:
            print(f"FAILED {words}")
    failed = sum(not holds for holds, _ in checks)
    print(f"{len(checks) - failed} passed, {failed} failed")
    return 0 if failed == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
