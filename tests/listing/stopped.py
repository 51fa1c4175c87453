#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A stream that is killed at random and goes on has the bytes of one that was not: stopped.py PROGRAM ROOT.

Also: any number of threads gives the same bytes, rejected rows stand in their file and nowhere else, and a restart with
another input or other options is refused. WHYFIT_LISTING_ROWS and WHYFIT_LISTING_KILLS ask for more."""
import os
import random
import signal
import subprocess
import sys
import tempfile
import time


def options(root):
    out = []
    for folder in ("mower", "pump", "trailer", "listings"):
        out += ["--with", os.path.join(root, "demo", folder)]
    return out


def read(path):
    with open(path, "rb") as file:
        return file.read()


def expect(is_so, what):
    if not is_so:
        sys.exit(f"not so: {what}")


def write_rows(root, path, count):
    made = subprocess.run([sys.executable, os.path.join(root, "tests/bench/listing/generate.py"), str(count), "3"],
                          capture_output=True, check=True).stdout.split(b"\n")
    for i in range(7, len(made) - 1, 1000):
        made[i] = b"cover \xff HK-2110"  # no UTF-8: rejected
    with open(path, "wb") as file:
        file.write(b"\n".join(made))


def check_asked_to_stop(base, path):
    """Asked to stop (as by Ctrl-C) it says how to go on, once its journal is written, and ends as one that was stopped."""
    process = subprocess.Popen([*base, "--out", path], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    while process.poll() is None and not os.path.exists(path + ".at"):
        time.sleep(0.001)
    process.send_signal(signal.SIGINT)
    said = process.communicate()[1]
    if process.returncode == 2:
        return False  # it had come to its end
    expect(process.returncode == -signal.SIGINT and b"--resume goes on" in said, said.decode())
    return True


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    rows = int(os.environ.get("WHYFIT_LISTING_ROWS", "8000"))
    kills = int(os.environ.get("WHYFIT_LISTING_KILLS", "3"))
    pick = random.Random(5)
    with tempfile.TemporaryDirectory() as scratch:
        path, whole, parts = (os.path.join(scratch, name) for name in ("in.txt", "whole", "parts"))
        write_rows(root, path, rows)
        base = [program, "listing", path, "--rows", "lines", *options(root)]
        began = time.monotonic()
        one = subprocess.run([*base, "--threads", "1", "--out", whole], capture_output=True, check=False)
        took = time.monotonic() - began
        expect(one.returncode == 2, f"rows were rejected: {one.stderr.decode()}")
        rejected = read(whole + ".rejected")
        expect(rejected.count(b"\n") == len(range(7, rows, 1000)) and b"UTF-8" in rejected, "each is in the file, with a reason")
        expect(read(whole).count(b"\n") + rejected.count(b"\n") == rows, "every row is in one of the files")
        expect(not os.path.exists(whole + ".at"), "no journal is left of a run that came to its end")
        stopped = 0
        for i in range(kills):
            process = subprocess.Popen([*base, "--out", parts, *(["--resume"] if i > 0 else [])],
                                       stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            try:
                process.wait(timeout=took * pick.uniform(0.3, 0.9))
                break  # the machine is quicker than it was: nothing is left to go on with
            except subprocess.TimeoutExpired:
                process.send_signal(signal.SIGKILL)
                process.wait()
                stopped += 1
                expect(not os.path.exists(parts), "nothing is called whole before it is")
        if os.path.exists(parts + ".at"):
            other = subprocess.run([*base, "--csv", "--out", parts, "--resume"], capture_output=True, check=False)
            expect(other.returncode == 2 and b"other options" in other.stderr, "other options are refused")
        last = subprocess.run([*base, "--out", parts, "--resume"], capture_output=True, check=False)
        expect(last.returncode == 2, last.stderr.decode())
        expect(read(parts) == read(whole), "no row is lost or doubled")
        expect(read(parts + ".rejected") == rejected, "no rejected row is lost or doubled")
        expect(last.stderr.splitlines()[-2:] == one.stderr.splitlines()[-2:], "the summary is of all rows")
        asked = os.path.join(scratch, "asked")
        if check_asked_to_stop(base, asked):
            again = subprocess.run([*base, "--out", asked, "--resume"], capture_output=True, check=False)
            expect(again.returncode == 2 and read(asked) == read(whole), "what was asked to stop goes on")
        print(f"killed {stopped} times in {kills}: the same bytes, {rows} rows")
    return 0


if __name__ == "__main__":
    sys.exit(main())
