#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Precision and recall of claims and judgements on the labelled listings: listings.py PROGRAM ROOT [-v].

Two thirds were looked at while patterns were written, one third (every third line) was not; their figures stand apart. With
-v what differs is shown, of the first two thirds only."""
import json
import os
import subprocess
import sys

LEAST = 0.95


def group(kind):
    """A model without a verb and `fits` are one kind to whoever scores."""
    return "fits" if kind == "model" else kind


def ask(program, root, path):
    command = [program, "listing", path, "--rows", "json", "--columns", "text"]
    for folder in ("demo/mower", "demo/pump", "demo/trailer", "demo/listings", "tests/listing/hands.yaml"):
        command += ["--with", os.path.join(root, folder)]
    done = subprocess.run(command, capture_output=True, check=False)
    if done.returncode != 0:
        sys.exit(done.stderr.decode())
    return [json.loads(line) for line in done.stdout.decode().splitlines()]


class Score:
    def __init__(self):
        self.hits = self.missed = self.extra = self.exact = self.verdicts = self.rows = 0
        self.judged = {word: [0, 0] for word in ("supported", "contradicted", "not known")}

    def row(self, wanted, got, say):
        used = set()
        for claim in wanted["claims"]:
            found = next((i for i, one in enumerate(got["claims"])
                          if i not in used and group(one["kind"]) == group(claim["kind"]) and
                          one["value"] == claim["value"] and
                          one["start"] < claim["end"] and claim["start"] < one["end"]), None)
            judgement = None
            if found is None:
                self.missed += 1
                say(f"missed {claim['kind']} {claim['value']} ({claim['span']})")
            else:
                used.add(found)
                one = got["claims"][found]
                judgement = one["judgement"]
                self.hits += 1
                self.exact += (one["start"], one["end"]) == (claim["start"], claim["end"])
                if judgement != claim["judgement"]:
                    say(f"{claim['kind']} {claim['value']} is {judgement}, wanted {claim['judgement']}: {one.get('why')}")
            if claim["judgement"] in self.judged:
                self.judged[claim["judgement"]][1] += 1
                self.judged[claim["judgement"]][0] += judgement == claim["judgement"]
        for i, one in enumerate(got["claims"]):
            if i not in used:
                self.extra += 1
                say(f"extra {one['kind']} {one['value']} ({one['span']})")
        self.rows += 1
        self.verdicts += got["verdict"] == wanted["verdict"]
        if got["verdict"] != wanted["verdict"]:
            say(f"verdict {got['verdict']}, wanted {wanted['verdict']}")

    def figures(self):
        figures = {"precision of claims": self.hits / (self.hits + self.extra),
                   "recall of claims": self.hits / (self.hits + self.missed)}
        for word, (right, all_of) in self.judged.items():
            figures[f"recall of {word}"] = right / all_of
        figures["verdicts"] = self.verdicts / self.rows
        return figures


def check_spans(wanted, got):
    """Every claim's bytes are those of the text."""
    raw = wanted["text"].encode()
    return all(raw[one["start"]:one["end"]].decode() == one["span"] for one in got["claims"])


FILES = ("labelled.jsonl", "labelled-hard.jsonl", "labelled-new.jsonl", "labelled-last.jsonl")
PARTS = {"tuned on": lambda row: row["id"] % 3 != 0, "held out": lambda row: row["id"] % 3 == 0}


def score_file(program, root, name, scores, wrong):
    path = os.path.join(root, "tests/listing", name)
    with open(path, encoding="utf-8") as file:
        rows = [json.loads(line) for line in file]
    answers = ask(program, root, path)
    wrong += [] if len(answers) == len(rows) else [f"{name}: a row is missing"]
    for wanted, got in zip(rows, answers):
        part = next(part for part, is_in in PARTS.items() if is_in(wanted))
        said = []
        scores[part].row(wanted, got, said.append)
        if not check_spans(wanted, got):
            wrong.append(f"{name} {wanted['id']}: a span is not what stands there")
        if said and "-v" in sys.argv and part == "tuned on":
            print(f"{name} {wanted['id']}", wanted["text"], *said, sep="\n    ")


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    scores = {part: Score() for part in PARTS}
    wrong = []
    for name in FILES:
        score_file(program, root, name, scores, wrong)
    for part, score in scores.items():
        print(f"{part}: {score.rows} listings, {score.hits + score.missed} claims, "
              f"exact spans {score.exact}/{score.hits}")
        for figure, value in score.figures().items():
            print(f"    {figure:24} {value:.3f}")
            if value < LEAST:
                wrong.append(f"{part}: {figure} {value:.3f} is below {LEAST}")
    print("\n".join(wrong))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
