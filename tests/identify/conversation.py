#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""conversation.py PROGRAM ROOT: `whyfit identify` on a terminal, answered as a person would."""
import os
import pty
import re
import select
import sys
import time

PROMPT = "stop) > "
PATIENCE = 60.0


class Terminal:
    def __init__(self, program, root, words):
        self.pid, self.file = pty.fork()
        if self.pid == 0:
            os.chdir(root)
            os.environ.update({"LC_ALL": "C", "WHYFIT_KNOWLEDGE": root, "NO_COLOR": "1"})
            os.execv(program, [program, *words])
        self.said = ""

    def read_until(self, mark):
        """What is said up to the next prompt, or to the end (None)."""
        end = time.monotonic() + PATIENCE
        while mark is None or mark not in self.said:
            ready, _, _ = select.select([self.file], [], [], max(0.0, end - time.monotonic()))
            try:
                some = os.read(self.file, 4096) if ready else b""
            except OSError:  # the other side has ended
                some = b""
            if not some:
                break
            self.said += some.decode(errors="replace").replace("\r\n", "\n")
        at = len(self.said) if mark is None or mark not in self.said else self.said.index(mark) + len(mark)
        part, self.said = self.said[:at], self.said[at:]
        return part

    def type(self, line):
        os.write(self.file, line.encode())

    def ended(self):
        return os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])


def run(program, root, words, replies):
    """The stretches between the prompts, and the exit status."""
    terminal = Terminal(program, root, words)
    parts = []
    for reply in replies:
        parts.append(terminal.read_until(PROMPT))
        terminal.type(reply)
    parts.append(terminal.read_until(None))
    return parts, terminal.ended()


SHAFT = ["identify", "shaft", "--with", "demo/mower"]
# words; replies; what each stretch must say (and what not, after a !)
CASES = {
    "one answer is enough": (
        SHAFT, ["no\n"],
        [["3 of 3 left", "run ring-land: is it there?", "By eye"],
         ["1 of 3 parts left", "kestrel-shaft-late: it has ring-land, seen no", "!" + PROMPT]]),
    "what cannot be told is not asked again": (
        SHAFT, ["?\n", "stop\n"],
        [["ring-land: is it there?"], ["3 of 3 left", "bearing-seat, to", "!ring-land: is it there?"],
         ["3 of 3 parts left", "ring-land=?, taken as cannot be told"]]),
    "back takes the last answer back": (
        SHAFT, ["?\n", "back\n", "back\n", "yes\n"],
        [["ring-land: is it there?"], ["bearing-seat, to"], ["ring-land: is it there?"],
         ["nothing was answered yet", "ring-land: is it there?"],
         ["2 of 3 parts left", "ring-land=yes", "Nothing more that is recorded"]]),
    "what is at fault is said, and asked again": (
        SHAFT, ["perhaps\n", "\n", "no\n"],
        [["ring-land: is it there?"], ["error: ring-land is there or it is not", "ring-land: is it there?"],
         ["ring-land: is it there?"], ["1 of 3 parts left"]]),
    "a measurement": (
        SHAFT + ["--seen", "ring-land=?"], ["measured 18.02 mm with depth-gauge\n"],
        [["bearing-seat, to: how far from face shoulder"], ["2 of 3 parts left", "!kestrel-shaft-early  "]]),
    "the end of the input ends it": (SHAFT, ["\x04"], [["ring-land: is it there?"], ["3 of 3 parts left"]]),
    "nothing is asked when all is told": (SHAFT + ["--seen", "ring-land=no"], [], [["1 of 3 parts left", "!" + PROMPT]]),
    "nothing is asked for JSON": (SHAFT + ["--format", "json"], [], [['{"schema":1', "!" + PROMPT]]),
    "what the call says wrong is no conversation": (
        SHAFT + ["--seen", "ring-lan=no"], [], [["error: no candidate records", "!" + PROMPT]]),
}


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    wrong = 0
    for name, (words, replies, wanted) in CASES.items():
        parts, status = run(program, root, words, replies)
        parts = [re.sub(r"\s+", " ", part) for part in parts]
        for part, marks in zip(parts, wanted):
            for mark in marks:
                if (re.sub(r"\s+", " ", mark.lstrip("!")) in part) == mark.startswith("!"):
                    print(f"{name}: {mark!r} in: {part}")
                    wrong += 1
        if status != (2 if "error" in wanted[-1][0] else 0) or len(parts) != len(wanted):
            print(f"{name}: exit {status}, {len(parts)} stretches")
            wrong += 1
    print(f"{len(CASES)} conversations, {wrong} faults")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
