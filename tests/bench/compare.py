#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Times two commands in turn: compare.py ROUNDS A… -- B…  Prints JSON: medians and the ratio A/B."""
import json
import os
import statistics
import subprocess
import sys
import time


def once(command):
    with open(os.devnull, "wb") as nowhere:
        start = time.perf_counter()
        subprocess.run(command, stdout=nowhere, stderr=nowhere, check=False)
        return time.perf_counter() - start


def main():
    rounds, words = int(sys.argv[1]), sys.argv[2:]
    cut = words.index("--")
    first, second = words[:cut], words[cut + 1:]
    once(first)
    once(second)
    pairs = [(once(first), once(second)) for _ in range(rounds)]
    print(json.dumps({
        "a": os.path.basename(first[0]), "b": os.path.basename(second[0]), "rounds": rounds,
        "a_ms": round(1000 * statistics.median(a for a, _ in pairs), 2),
        "b_ms": round(1000 * statistics.median(b for _, b in pairs), 2),
        "ratio": round(statistics.median(a / b for a, b in pairs), 2),
        "ratio_range": [round(min(a / b for a, b in pairs), 2),
                        round(max(a / b for a, b in pairs), 2)]}))


if __name__ == "__main__":
    main()
