#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Listings a second, and what PCRE2, grep and ripgrep take for the same patterns: bench.py PROGRAM FLOOR ROOT [ROWS].

Processor seconds of one thread, all in one run, so that ratios hold on a busy machine; the program as a whole by the clock."""
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time


def timed(command, **how):
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    began = time.monotonic()
    # a pipe: grep stops at its first match where its output goes nowhere
    subprocess.run(command, check=False, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, **how)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, time.monotonic() - began)


def memory_of(command):
    """Peak memory in MB, by a small program that forks it."""
    code = ("import resource,subprocess,sys;subprocess.run(sys.argv[1:],stdout=subprocess.DEVNULL,stderr=subprocess.DEVNULL);"
            "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)")
    return int(subprocess.run([sys.executable, "-c", code, *command], capture_output=True, check=True).stdout) / 1024


def scan(tool, patterns, plain):
    return sum(timed([*tool, pattern, plain], env=dict(os.environ, LC_ALL="C"))[0] for pattern in patterns)


def main():
    program, floor, root = (os.path.abspath(one) for one in sys.argv[1:4])
    rows = int(sys.argv[4]) if len(sys.argv) > 4 else 20000
    with tempfile.TemporaryDirectory() as scratch:
        path, part, few, written, plain = (os.path.join(scratch, name)
                                           for name in ("listings", "part", "few", "patterns", "plain"))
        scanned = min(rows, 100000)
        for name, count in ((path, rows), (part, scanned), (few, min(rows, 10000))):
            with open(name, "wb") as file:
                subprocess.run([sys.executable, os.path.join(root, "tests/bench/listing/generate.py"), str(count)],
                               stdout=file, check=True)
        figures = {}
        for line in subprocess.run([floor, part, written, plain], capture_output=True, check=True).stdout.decode().splitlines():
            name, value = line.split()
            figures[name] = float(value)
        with open(written, encoding="utf-8") as file:
            patterns = file.read().splitlines()
        base = figures["combined_scan_s"] + figures["per_pattern_s"]
        megabytes = figures["bytes"] / 1e6
        print(f"{scanned} listings, {megabytes:.1f} MB, {figures['patterns']:.0f} patterns; "
              f"{100 * figures['reading_silent'] / scanned:.0f} % claim nothing")
        print("| one thread, processor time | s | MB/s | against the floor |")
        print("| --- | --- | --- | --- |")
        lines = [("combined scan, PCRE2 machine code", figures["combined_scan_s"]),
                 ("floor: that, and each pattern over what matched", base),
                 ("reading claims (folding, values, spans)", figures["reading_s"]),
                 ("reading and judging, what is asked of swaps remembered", figures["judging_s"]),
                 ("reading and judging, nothing remembered yet", figures["first_judging_s"])]
        for name, tool in (("grep -P", ["grep", "-cP"]), ("rg -P", ["rg", "-cP"])):
            if shutil.which(tool[0]):
                lines.append((f"{name}, {len(patterns)} alternations, matching lines only", scan(tool, patterns, plain)))
        for name, seconds in lines:
            print(f"| {name} | {seconds:.3f} | {megabytes / seconds:.0f} | {seconds / base:.2f} |")
        print(f"\nclaims: {figures['judging_claims']:.0f}, {figures['judging_claims'] / figures['judging_s']:.0f} a second judged; "
              f"listings: {scanned / figures['judging_s']:.0f} a second and core")
        slow = figures["forgetting_rows"] / figures["forgetting_s"]
        print(f"pairs of part and model: {figures['pairs_asked']:.0f} asked, {figures['swaps_tried']:.0f} swaps tried; without "
              f"remembering {slow:.0f} listings a second, with it {scanned / figures['judging_s'] / slow:.0f} times as many")
        base_command = [program, "listing", "--rows", "lines", "--knowledge", root, "--with", os.path.join(root, "demo")]
        for threads in (1, 2):
            command = [*base_command, path, "--threads", str(threads), "--out", os.path.join(scratch, "out")]
            start = timed([*base_command, "/dev/null"])[1]
            seconds = timed(command)[1]
            print(f"the program, {threads} threads: {rows / max(seconds - start, 1e-3):.0f} listings a second by the clock "
                  f"(start of {start:.2f} s left out)")
        print(f"peak memory: {memory_of([*base_command, few]):.0f} MB for {min(rows, 10000)} rows, "
              f"{memory_of([*base_command, path]):.0f} MB for {rows}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
