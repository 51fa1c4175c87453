#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A part file that `measure --kind` writes loads once it is filled in: part_files.py WHYFIT ROOT

Every kind for which the vocabulary names a usual feature is asked for its part file; each blank gets a value
by its comment (its unit, its first choice, a count or a word), positions one after the other, and the part is
shown. Before that it must be refused, and a file that is there already is left alone.
"""
import os
import re
import subprocess
import sys
import tempfile


def kinds_with_usual(root):
    kinds, kind, is_in_kinds = [], None, False
    with open(os.path.join(root, "rules/vocabulary.yaml"), encoding="utf-8") as file:
        for line in file:
            is_in_kinds = is_in_kinds or line.startswith("kinds:")
            name = re.match(r"  ([a-z-]+):$", line)
            kind = name.group(1) if name else kind
            if is_in_kinds and line.startswith("    usual:"):
                kinds.append(kind)
    return kinds


def fill(text):
    at, lines = 0, []
    for line in text.splitlines():
        blank = re.match(r"( *)([a-z0-9-]+):  # (.*)$", line)
        if not blank:
            lines.append(line)
            continue
        indent, field, hint = blank.groups()
        at += 7
        words = hint.split(";")[0]
        if field in ("part", "title", "source"):
            value = {"part": "filled-in", "title": "Filled in", "source": "invented"}[field]
        elif words.startswith("a count"):
            value = "9"
        elif words.startswith("a word"):
            value = "something"
        elif "," in words or words.split()[0] in ("in", "out", "torque"):
            value = words.split(",")[0].strip()
        elif field in ("at", "from", "to"):
            value = f"{at} ±0.1 mm"
        elif words.strip() == "1":
            value = "5"
        elif words == "":
            value = "something"
        else:
            value = f"5 {words.strip()}"
        lines.append(f"{indent}{field}: {value}")
    return "\n".join(lines) + "\n"


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    environment = {**os.environ, "WHYFIT_KNOWLEDGE": root, "LC_ALL": "C"}
    passed = failed = 0

    def run(*words):
        return subprocess.run([program, *words], env=environment, capture_output=True, text=True, check=False)

    def hold(is_so, what, done):
        nonlocal passed, failed
        passed += is_so
        failed += not is_so
        if not is_so:
            print(what, done.stdout[-300:], done.stderr[-600:])

    with tempfile.TemporaryDirectory() as folder:
        for kind in kinds_with_usual(root):
            path = os.path.join(folder, f"{kind}.yaml")
            done = run("measure", "--kind", kind, "--out", path)
            hold(done.returncode == 0 and os.path.exists(path), f"{kind}: no part file", done)
            if not os.path.exists(path):
                continue
            with open(path, encoding="utf-8") as file:
                written = file.read()
            hold(run("show", "filled-in", "--with", path).returncode == 2, f"{kind}: loads with its blanks", done)
            again = run("measure", "--kind", kind, "--out", path)
            with open(path, encoding="utf-8") as file:
                hold(again.returncode == 2 and file.read() == written, f"{kind}: was written over", again)
            with open(path, "w", encoding="utf-8") as file:
                file.write(fill(written))
            done = run("show", "filled-in", "--with", path)
            hold(done.returncode == 0 and f"part filled-in, {kind}" in done.stdout, f"{kind}: does not load", done)
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 and passed > 0 else 1


if __name__ == "__main__":
    sys.exit(main())
