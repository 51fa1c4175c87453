#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The table of what people ask cannot rot: question_types.py ROOT

Each row of README's table of questions names a command. It must stand in
tests/golden/question-types.session, whose answers the golden test holds; each command there has its row.
"""
import os
import re
import sys


def main():
    root = sys.argv[1]
    with open(os.path.join(root, "README.md"), encoding="utf-8") as file:
        readme = file.read()
    table = readme.partition("## What people ask")[2].partition("\n## ")[0]
    rows = re.findall(r"^\| *(Q\d\d) .*?`(whyfit [^`]+)` *\|$", table, re.MULTILINE)
    with open(os.path.join(root, "tests/golden/question-types.session"), encoding="utf-8") as file:
        asked = [line[2:].strip() for line in file if line.startswith("$ ")]
    faults = [f"{name}: not in the session: {command}" for name, command in rows if command not in asked]
    faults += [f"no row of the table: {command}" for command in asked if command not in [row[1] for row in rows]]
    numbers = [row[0] for row in rows]
    faults += [f"{name} is missing" for name in (f"Q{n:02d}" for n in range(1, 26)) if name not in numbers]
    print("\n".join(faults))
    print(f"{len(rows)} rows, {len(faults)} faults")
    return 1 if faults or not rows else 0


if __name__ == "__main__":
    sys.exit(main())
