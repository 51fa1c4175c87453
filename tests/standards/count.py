#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""How many rows of printed values the standards' tests hold, by table and subject: count.py [ROOT].

A row is an entry of a table that holds a number, in a program named standard_SUBJECT.c; a row may hold several values.
Tables of words alone, such as names of parts or formulas that must be refused, are not counted.
"""
import glob
import os
import re
import sys


def entries(body):
    """The texts of the entries `{…}` of an initializer, one level down."""
    depth, start, found = 0, 0, []
    for at, sign in enumerate(body):
        if sign == "{":
            depth += 1
            start = at if depth == 1 else start
        elif sign == "}":
            depth -= 1
            if depth == 0:
                found.append(body[start:at + 1])
            if depth < 0:
                break
    return found


def tables(source):
    source = re.sub(r"/\*.*?\*/", "", source, flags=re.S)
    for match in re.finditer(r"(\w+)\[\w*\] = \{", source):
        rows = [one for one in entries(source[match.end():]) if re.search(r"[{ ,]-?\d", one)]
        if rows:
            yield match.group(1), len(rows)


def main():
    root = sys.argv[1] if len(sys.argv) > 1 else "."
    total = 0
    for path in sorted(glob.glob(os.path.join(root, "tests/standards/standard_*.c"))):
        with open(path, encoding="utf-8") as file:
            found = list(tables(file.read()))
        count = sum(rows for _, rows in found)
        total += count
        print(f"{os.path.basename(path)[9:-2]:18} {count:4}  ({', '.join(f'{name} {rows}' for name, rows in found)})")
    print(f"{'all':18} {total:4}")


if __name__ == "__main__":
    main()
