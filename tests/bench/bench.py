# SPDX-License-Identifier: MIT
"""bench.py FOLDER PROGRAMS [--quick] [--long] [--runs N] [WORKLOAD…]: runs them, prints and keeps what came out."""
import argparse
import datetime
import json
import os
import sys

import engines
import facts
import measure
import table
from workloads import WORKLOADS

SECONDS = 900  # of processor: the most that one run may take


def arguments():
    said = argparse.ArgumentParser(prog="tests/bench/run")
    said.add_argument("folder", help=argparse.SUPPRESS)
    said.add_argument("programs", help=argparse.SUPPRESS)
    said.add_argument("--quick", action="store_true", help="small inputs")
    said.add_argument("--long", action="store_true", help="the largest inputs too")
    said.add_argument("--runs", type=int, default=5)
    said.add_argument("--only-ours", action="store_true", help="no peers: nothing is compared")
    said.add_argument("workload", nargs="*", help=", ".join(work.name for work in WORKLOADS) + "; or WORKLOAD/SIZE")
    given = said.parse_intermixed_args()
    known = {work.name for work in WORKLOADS} | {f"{work.name}/{size}" for work in WORKLOADS
                                                 for size in work.sizes + work.long + work.quick}
    unknown = set(given.workload) - known
    if unknown:
        said.error(f"there is no workload {', '.join(sorted(unknown))}")
    return given


class Bench:
    def __init__(self, given):
        self.given = given
        self.folder = os.path.abspath(given.folder)
        self.programs = os.path.abspath(given.programs)

    def room(self, work, size):
        folder = f"{self.folder}/{work.facts.__name__}-{size}"
        relations = work.relations(size)
        facts.write_all(relations, folder, work.tolerances)
        work.inputs = [relation.name for relation in relations]
        return folder

    def once(self, engine, work, folder, is_counted):
        taken = measure.take(f"{self.programs}/bench_take", engine.command(work, folder, is_counted), folder, SECONDS)
        if taken.status not in engine.good:
            tail = engines.read(f"{folder}/errors")[-300:].decode(errors="replace")
            raise RuntimeError(f"ended with {taken.status}: {tail}")
        taken.split = engine.split(taken, f"{folder}/out", f"{folder}/errors")
        return taken

    def times(self, engine, work, folder, first):
        """As many runs as were asked for; three where one takes over 10 s, one over 30 s."""
        wanted = 1 if first.processor > 30 else min(3, self.given.runs) if first.processor > 10 else self.given.runs
        taken = [] if work.is_counted else [first]
        while len(taken) < wanted:
            taken.append(self.once(engine, work, folder, work.is_counted))
        return taken

    def engine(self, engine, work, folder):
        missing = engine.missing()
        if missing:
            return {"engine": engine.name, "skipped": f"{missing} is not installed"}
        try:
            first = self.once(engine, work, folder, False)
            rows, sha = engines.fingerprint(engine.rows(f"{folder}/out", folder)) if engine.answers else (0, None)
            taken = self.times(engine, work, folder, first)
        except RuntimeError as wrong:
            return {"engine": engine.name, "skipped": str(wrong)}
        made = {"engine": engine.name, "rows": rows, "runs": len(taken),
                "processor": measure.median(taken, "processor"), "least": min(one.processor for one in taken),
                "clock": measure.median(taken, "clock"), "memory": measure.median(taken, "memory")}
        if engine.answers:
            made["sha256"] = sha
        for part in ("load", "evaluate") + table.BYTES:
            said = sorted(one.split[part] for one in taken if part in one.split)
            if said:
                made[part] = said[len(said) // 2]
        return made

    def workload(self, work, size):
        folder = self.room(work, size)
        asked = [engine for engine in work.engines(self.programs, work.tolerances)
                 if not self.given.only_ours or engine.name.startswith("whyfit")]
        result = {"workload": work.name, "size": size, "load_before": os.getloadavg()[0], "engines": []}
        for engine in asked:
            made = self.engine(engine, work, folder)
            result["engines"].append(made)
            print(table.line(work, size, made), flush=True)
        result["load_after"] = os.getloadavg()[0]
        return result


def check(results):
    """All engines must give the same rows."""
    wrong = []
    for result in results:
        given = {(one["rows"], one["sha256"]) for one in result["engines"]
                 if "sha256" in one and "tolerances" not in one["engine"]}
        if len(given) > 1:
            wrong.append(f"{result['workload']} {result['size']}: the engines do not give the same rows")
    return wrong


def key_of(result):
    return result["workload"], result["size"]


def with_earlier(path, results):
    """What earlier runs of the same day left of other workloads, so that one run need not do all."""
    today = datetime.date.today().isoformat()
    kept = []
    if os.path.exists(path):
        with open(path, encoding="utf-8") as earlier:
            said = json.load(earlier)
        mine = {key_of(one) for one in results}
        if said["day"] == today:
            kept = [one for one in said["results"] if key_of(one) not in mine]
    order = {(work.name, size): (i, k) for i, work in enumerate(WORKLOADS)
             for k, size in enumerate(work.sizes + work.long)}
    return sorted(kept + results, key=lambda one: order.get(key_of(one), (99, 0)))


def sizes_of(work, given):
    """The sizes of a workload that were asked for; those it has, unless sizes are named."""
    named = [one.split("/", 1)[1] for one in given.workload if one.startswith(work.name + "/")]
    if given.workload and work.name not in given.workload:
        return named
    return work.quick if given.quick else work.sizes + (work.long if given.long else [])


def missing_from(results):
    there = {key_of(one) for one in results}
    return [f"{work.name} {size}" for work in WORKLOADS for size in work.sizes if (work.name, size) not in there]


def main():
    given = arguments()
    bench = Bench(given)
    os.makedirs(bench.folder, exist_ok=True)
    results = []
    for work in WORKLOADS:
        for size in sizes_of(work, given):
            results.append(bench.workload(work, size))
    wrong = check(results)
    print("\n" + table.summary(results))
    if not given.quick and not given.only_ours and not wrong:
        kept = f"{bench.folder}/results.json"
        results = with_earlier(kept, results)
        with open(kept, "w", encoding="utf-8") as out:
            json.dump({"day": datetime.date.today().isoformat(), "results": results}, out, indent=1)
        table.write_readme(results, missing_from(results), f"{bench.folder}/further.json")
    for one in wrong:
        print(one, file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
