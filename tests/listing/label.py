#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Turns the marked-up listings (labelled.txt) into lines of JSON: label.py labelled.txt > labelled.jsonl."""
import json
import re
import sys

JUDGED = {"s": "supported", "c": "contradicted", "n": "not known", "-": "not judged"}
MARK = re.compile(r"\{([^{}|]+)\|([a-z-]+)=([^|}]+)\|([scn-])(?:\|([^|}]*))?(?:\|([^|}]*))?(?:\|([^}]*))?\}")


def read(line):
    verdict, marked = line.split(" ", 1)
    plain, claims, at = "", [], 0
    marked = marked.replace("\\n", "\n")
    for found in MARK.finditer(marked):
        plain += marked[at:found.start()]
        span, kind, value, judged, what, unit, flags = found.groups()
        start = len(plain.encode())
        plain += span
        claim = {"kind": kind, "value": value, "span": span, "start": start, "end": len(plain.encode()),
                 "judgement": JUDGED[judged]}
        if what:
            claim["what"] = what
        if unit:
            claim["unit"] = unit
        if flags and "h" in flags.split():
            claim["hedged"] = True
        claims.append(claim)
        at = found.end()
    plain += marked[at:]
    if "{" in plain or "}" in plain:
        sys.exit(f"a mark cannot be read: {line}")
    return {"text": plain, "claims": claims, "verdict": verdict.replace("-", " ")}


def main():
    number = 0
    with open(sys.argv[1], encoding="utf-8") as file:
        for line in file:
            if line.strip() and not line.startswith("#"):
                number += 1
                print(json.dumps({"id": number, **read(line.rstrip("\n"))}, ensure_ascii=False))


if __name__ == "__main__":
    main()
