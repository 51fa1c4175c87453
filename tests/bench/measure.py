# SPDX-License-Identifier: MIT
"""Runs one command and says what it took of the machine."""
import json
import statistics
import subprocess


class Taken:
    """Seconds of processor and clock, peak memory in MB (of the largest process), exit status."""

    def __init__(self, clock, processor, memory, status):
        self.clock, self.processor, self.memory, self.status = clock, processor, memory, status
        self.split = {}


def take(program, command, folder, seconds):
    """`program` is take.c; what the command says goes into files `out` and `errors` of the folder."""
    with open(f"{folder}/out", "wb") as out, open(f"{folder}/errors", "wb") as errors:
        subprocess.run([program, str(seconds), f"{folder}/taken"] + command, cwd=folder, stdout=out, stderr=errors,
                       check=True)
    with open(f"{folder}/taken", encoding="ascii") as said:
        return Taken(**json.load(said))


def median(taken, what):
    return statistics.median(getattr(one, what) for one in taken)
