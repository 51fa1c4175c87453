#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Runs sessions and compares what is said: run_golden.py PROGRAM ROOT SESSION… README.md

A session is a text file: a line "$ whyfit WORDS" starts a command, what follows is what it must print
(standard output, then standard error), ending with "[exit N]". Commands run in ROOT. SCRATCH is a folder
of the session's own; a line "% WORDS" does something to its files (see spoil). With WHYFIT_REWRITE_GOLDEN=1 the
sessions are written anew: read the difference before you keep it. With WHYFIT_GOLDEN_PREPARED=1 what is known is read
once a session and prepared, and commands that only ask start from that (for slow builds). Of a file of Markdown, the blocks that start
with "$ whyfit" are such commands.
"""
import difflib
import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile


def spoil(root, scratch, line):
    """copy FROM TO; append TEXT FILE; flip BYTE FILE (its lowest bit); cut BYTES FILE (off its end)."""
    what, one, two = [word.replace("SCRATCH", scratch) for word in shlex.split(line)]
    if what == "copy":
        shutil.copytree(os.path.join(root, one), two)
        return
    with open(two, "rb") as file:
        content = bytearray(file.read())
    if what == "append":
        content += one.encode() + b"\n"
    elif what == "flip":
        content[int(one)] ^= 1
    else:
        del content[-int(one):]
    with open(two, "wb") as file:
        file.write(content)


def from_base(program, root, words, bases):
    """The words of a command, with a prepared base in place of the folders that it names."""
    if bases is None or words[0] in {"prepare", "trial"} or {"--prepared", "--knowledge", "--without"} & set(words):
        return words
    named = [i for i, word in enumerate(words[:-1]) if word == "--with"]
    folders = [words[i + 1] for i in named]
    if any(not os.path.isdir(os.path.join(root, folder)) or os.path.isabs(folder) for folder in folders):
        return words  # at fault, or of the session's own
    base = os.path.join(bases, "+".join(folder.replace("/", "_") for folder in folders) + ".prepared")
    if not os.path.exists(base):
        subprocess.run([program, "prepare", "--out", base, *[w for f in folders for w in ("--with", f)]], cwd=root,
                       env={**os.environ, "WHYFIT_KNOWLEDGE": root}, capture_output=True, check=True)
    taken = {i for at in named for i in (at, at + 1)}
    return [words[0], "--prepared", base, *[word for i, word in enumerate(words) if i > 0 and i not in taken]]


def answer_to(program, root, command, scratch="SCRATCH", bases=None):
    words = from_base(program, root, shlex.split(command.replace("SCRATCH", scratch))[1:], bases)
    environment = {"PATH": os.environ.get("PATH", ""), "LC_ALL": "C", "WHYFIT_KNOWLEDGE": root,
                   "ASAN_OPTIONS": os.environ.get("ASAN_OPTIONS", "")}
    stdin = "1 + 1\n2 mm +\n" if words[-1:] == ["-"] else ""
    done = subprocess.run([program, *words], cwd=root, env=environment, input=stdin,
                          capture_output=True, text=True, check=False)
    said = (done.stdout + done.stderr).replace(root, "ROOT").replace(scratch, "SCRATCH").splitlines()
    # What was read is another matter: every edit of a rule would show here.
    said = [re.sub(r'"digest":"[0-9a-f]+","files":[0-9]+', '"digest":"…","files":0', line) for line in said]
    for i, line in enumerate(said[:-1]):  # what is under a name is as long as the name
        if line.startswith("    SCRATCH") and set(said[i + 1].strip()) == {"^"}:
            said[i + 1] = "    " + "^" * len(line.strip())
    return [*said, f"[exit {done.returncode}]"]


def readme_sessions(program, root, path):
    """The blocks of README that start with "$ whyfit": how many come out, and what does not."""
    with open(path, encoding="utf-8") as file:
        blocks = [b.strip("\n").splitlines() for b in file.read().split("```")[1::2]]
    shown = [b for b in blocks if b and b[0].startswith("$ whyfit")]
    wrong = []
    for block in shown:
        said = answer_to(program, root, block[0][2:])
        wanted = block[1:-1] if block[-1] == "…" else block[1:]
        if said[:len(wanted)] != wanted:
            wrong += difflib.unified_diff(wanted, said[:len(wanted)], path, "now", lineterm="")
    return len(shown), wrong


def session(program, root, path):
    """What a session says now, and what it is to say."""
    with open(path, encoding="utf-8") as file:
        wanted = file.read().splitlines()
    got = []
    with tempfile.TemporaryDirectory() as scratch, tempfile.TemporaryDirectory() as folder:
        bases = folder if os.environ.get("WHYFIT_GOLDEN_PREPARED") == "1" else None
        for line in wanted:
            if line.startswith("$ "):
                got += [line, *answer_to(program, root, line[2:], scratch, bases)]
            elif line.startswith("% "):
                spoil(root, scratch, line[2:])
                got.append(line)
            elif line.startswith("#"):
                got.append(line)
    return got, wanted


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    rewrite = os.environ.get("WHYFIT_REWRITE_GOLDEN") == "1"
    passed = failed = 0
    for path in sys.argv[3:]:
        if path.endswith(".md"):
            shown, wrong = readme_sessions(program, root, path)
            print("\n".join(wrong))
            passed, failed = passed + (0 if wrong else shown), failed + (1 if wrong else 0)
            continue
        got, wanted = session(program, root, path)
        if got == wanted or rewrite:
            passed += 1
        else:
            failed += 1
            print("\n".join(difflib.unified_diff(wanted, got, path, "now", lineterm="")))
        if got != wanted and rewrite:
            with open(path, "w", encoding="utf-8") as file:
                file.write("\n".join(got) + "\n")
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 and passed > 0 else 1


if __name__ == "__main__":
    sys.exit(main())
