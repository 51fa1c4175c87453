#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""further.py PROGRAMS FOLDER: what has no peer. A cold question of the demo beside what any program takes, what a tree
of reasons costs, two threads beside two processes. Prints JSON, and keeps it in FOLDER for the README."""
import glob
import json
import os
import statistics
import subprocess
import sys
import time

QUESTION = ["swap", "kestrel-head-early", "cover=kestrel-cover-late"]
QUIET = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}


def clock(commands):
    """Seconds until all of them, started together, have ended."""
    start = time.perf_counter()
    for process in [subprocess.Popen(command, **QUIET) for command in commands]:
        process.wait()
    return time.perf_counter() - start


def in_turn(one, other, rounds):
    """Medians in milliseconds, and that of the ratio one ÷ other, run by turns so that both meet the same machine."""
    clock(one), clock(other)
    pairs = [(clock(one), clock(other)) for _ in range(rounds)]
    return {"ms": round(1000 * statistics.median(a for a, _ in pairs), 2),
            "beside_ms": round(1000 * statistics.median(b for _, b in pairs), 2),
            "ratio": round(statistics.median(a / b for a, b in pairs), 2), "rounds": rounds}


def questions(path, count):
    """So many lines: the demo's questions over and over."""
    with open("demo/questions.jsonl", encoding="utf-8") as lines:
        asked = lines.read().splitlines()
    with open(path, "w", encoding="utf-8") as out:
        out.writelines(asked[i % len(asked)] + "\n" for i in range(count))
    return path


def cold(programs, base):
    files = sorted(glob.glob("rules/*.yaml") + glob.glob("facts/*.yaml") + glob.glob("demo/mower/*.yaml"))
    whyfit = [f"{programs}/whyfit"] + QUESTION
    return {"demo question from text ÷ libyaml's events of the same files":
            in_turn([whyfit + ["--with", "demo/mower"]], [[f"{programs}/yaml_events"] + files], 15),
            "demo question from a prepared base ÷ an empty process":
            in_turn([whyfit + ["--prepared", base]], [[f"{programs}/tests/bench/bench_ours"]], 101)}


def threads(programs, base, folder):
    """One process on two threads, and two on one each with half of the questions."""
    batch = [f"{programs}/whyfit", "swap", "--prepared", base, "--batch"]
    whole, half = questions(f"{folder}/whole.jsonl", 320), questions(f"{folder}/half.jsonl", 160)
    return {"320 demo questions, two processes ÷ two threads (goal: 0.95)":
            in_turn([batch + [half, "--threads", "1"]] * 2, [batch + [whole, "--threads", "2"]], 5)}


def main():
    programs, folder = sys.argv[1:3]
    base = f"{folder}/demo.base"
    os.makedirs(folder, exist_ok=True)
    subprocess.run([f"{programs}/whyfit", "prepare", "--with", "demo/mower", "--out", base], check=True, **QUIET)
    said = cold(programs, base) | threads(programs, base, folder)
    trees = subprocess.run([f"{programs}/tests/bench/why_trees", "10000"], check=True, stdout=subprocess.PIPE).stdout
    made = {"in turn": said, "trees": json.loads(trees)}
    print(json.dumps(made, indent=1))
    with open(f"{folder}/further.json", "w", encoding="utf-8") as out:
        json.dump(made, out)


if __name__ == "__main__":
    main()
