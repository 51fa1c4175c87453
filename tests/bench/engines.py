# SPDX-License-Identifier: MIT
"""How each engine is told to run a workload, and how its rows are read."""
import hashlib
import json
import os
import re
import shutil
import subprocess

HERE = os.path.dirname(os.path.abspath(__file__))


def fingerprint(lines):
    """Sorted rows, `relation TAB cell TAB cell`: their number and sha256."""
    lines = sorted(line for line in lines if line)
    total = hashlib.sha256()
    for start in range(0, len(lines), 100000):
        total.update(b"".join(line + b"\n" for line in lines[start:start + 100000]))
    return len(lines), total.hexdigest()


def read(path):
    with open(path, "rb") as file:
        return file.read()


def split_said(errors):
    """The seconds that the program itself said on its last line."""
    said = re.findall(rb"\{\"load.*\}", read(errors))
    return json.loads(said[-1]) if said else {}


class Engine:
    good = (0,)  # exit statuses where all is well
    answers = True

    def __init__(self, name):
        self.name = name

    def missing(self):
        """The program that is not installed, or None."""
        return next((one for one in self.needs if shutil.which(one) is None), None)

    def rows(self, out, _folder):
        return read(out).split(b"\n")

    def split(self, taken, _out, errors):
        return split_said(errors)


class Ours(Engine):
    """`asks`: the questions come one after the other, over knowledge that is loaded."""

    def __init__(self, name, program, facts=("facts",), asks=False):
        super().__init__(name)
        self.program, self.facts, self.asks = program, facts, asks

    def missing(self):
        return None

    def command(self, work, folder, is_counted):
        rows = [] if is_counted else ["--rows", "ours.rows"]
        asks = ["--ask", "asked", "asked/asked.csv"] if self.asks else []
        return [self.program] + rows + asks + [f"{HERE}/knowledge/{work.programs}"] + \
            [f"{folder}/{part}" for part in self.facts] + ["--"] + [name for name, _ in work.outputs]

    def rows(self, _out, folder):
        return read(f"{folder}/ours.rows").split(b"\n")


class OursPrepared(Ours):
    """A base is prepared beforehand; what that takes is not measured. Rows go to standard output."""

    def __init__(self, name, program, facts):
        super().__init__(name, program, facts)
        self.prepared = set()

    def command(self, work, folder, _is_counted):
        if folder not in self.prepared:
            subprocess.run([self.program, "--prepare", "base", f"{HERE}/knowledge/{work.programs}", *self.facts, "--"],
                           cwd=folder, check=True)
            self.prepared.add(folder)
        return [self.program, "--rows", "-", "--ask", "asked", "asked/asked.csv", "--prepared", "base", "--"] + \
            [name for name, _ in work.outputs]

    def rows(self, out, _folder):
        return read(out).split(b"\n")


class Nothing(Engine):
    """Our program without words, which does nothing: what any with these libraries takes to start and end."""
    answers = False

    def __init__(self, name, program):
        super().__init__(name)
        self.program = program

    def missing(self):
        return None

    def command(self, _work, _folder, _is_counted):
        return [self.program]


class Prolog(Engine):
    needs = ["swipl"]

    def command(self, work, _folder, is_counted):
        return ["swipl", f"{HERE}/peers/run.pl", "--", f"{HERE}/peers/{work.programs}.pl",
                "count" if is_counted else "rows"]


class AnswerSets(Engine):
    needs = ["gringo", "clasp"]
    good = (10, 30)

    def command(self, work, folder, is_counted):
        inputs = [f"{relation}.lp" for relation in work.inputs]
        shown = [] if is_counted else work.outputs
        with open(f"{folder}/show.lp", "w", encoding="ascii") as out:
            out.write("#show.\n" + "".join(f"#show {name}/{arity}.\n" for name, arity in shown))
        words = [f"{HERE}/peers/{work.programs}.lp", "show.lp"] + inputs
        return ["sh", "-c", 'gringo -Wnone "$@" | clasp 0 -V0 --outf=0 --out-ifs="\\n"', "sh"] + words

    def rows(self, out, _folder):
        return [line[:-1].replace(b"(", b"\t", 1).replace(b",", b"\t") if line.endswith(b")") else line
                for line in read(out).split(b"\n") if line != b"SATISFIABLE"]

    def split(self, taken, out, errors):
        return {}


class Database(Engine):
    needs = ["sqlite3"]

    def command(self, work, folder, is_counted):
        said = "SELECT '{0}', count(*) FROM \"{0}\";\n" if is_counted else "SELECT '{0}', * FROM \"{0}\";\n"
        script = f"{folder}/script-{'count' if is_counted else 'rows'}.sql"
        with open(script, "w", encoding="ascii") as out:
            out.write("PRAGMA temp_store=MEMORY;\n.read load.sql\n.mode tabs\n.timer on\n"
                      f".print @evaluate\n.read {HERE}/peers/{work.programs}.sql\n.print @rows\n" +
                      "".join(said.format(name) for name, _ in work.outputs))
        return ["sh", "-c", f"exec sqlite3 -bail -batch :memory: <{script}"]

    def rows(self, out, _folder):
        return [line for line in read(out).split(b"\n")
                if not line.startswith((b"Run Time:", b"@"))]

    def split(self, taken, out, _errors):
        seconds = {"evaluate": 0.0, "rows": 0.0}
        part = None
        with open(out, "rb") as lines:
            for line in lines:
                if line.startswith(b"@"):
                    part = line[1:].strip().decode()
                elif line.startswith(b"Run Time:") and part:
                    seconds[part] += sum(float(one) for one in re.findall(rb"(?:user|sys) ([0-9.]+)", line))
        return {"load": max(0.0, taken.processor - sum(seconds.values())), "evaluate": seconds["evaluate"]}


# ---- one question after the other

class PrologState(Engine):
    """Facts are compiled into a saved state beforehand; what that takes is not measured."""
    needs = ["swipl"]

    def command(self, work, folder, _is_counted):
        if not os.path.exists(f"{folder}/state"):
            subprocess.run(["swipl", "-o", "state", "-g", "main", "-t", "halt", "-c", f"{HERE}/peers/answer.pl",
                            f"{HERE}/peers/{work.programs}.pl"], cwd=folder, check=True,
                           stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        return ["./state", "asked/asked.csv"]


class DatabaseFile(Engine):
    """A database file with its indexes is made beforehand, and statements are prepared once."""

    def __init__(self, name, program):
        super().__init__(name)
        self.program = program

    def missing(self):
        return "the development package of sqlite3" if not os.path.exists(self.program) else \
            None if shutil.which("sqlite3") else "sqlite3"

    def command(self, work, folder, _is_counted):
        if not os.path.exists(f"{folder}/facts.db"):
            subprocess.run(["sqlite3", "-bail", "facts.db", ".read load.sql"], cwd=folder, check=True)
        return [self.program, "facts.db", "asked/asked.csv"]


def of_rules(programs, tolerances):
    """All that work out a whole knowledge at once."""
    ours = f"{programs}/bench_ours"
    made = [Ours("whyfit", ours, ("facts", "asked"))]
    if tolerances:
        made.append(Ours("whyfit, with tolerances", ours, ("facts-tolerances",)))
    return made + [Prolog("SWI-Prolog, tabling"), AnswerSets("gringo and clasp"), Database("SQLite")]


def one_by_one(programs, _tolerances):
    ours = f"{programs}/bench_ours"
    return [OursPrepared("whyfit, prepared base", ours, ("facts", "first")),
            Ours("whyfit", ours, ("facts", "first"), True), PrologState("SWI-Prolog, saved state"),
            DatabaseFile("SQLite, database file", f"{programs}/bench_answer_sqlite")]


def cold(programs, tolerances):
    """From text, and from what was prepared."""
    ours = f"{programs}/bench_ours"
    return of_rules(programs, tolerances) + \
        [Nothing("an empty process", ours)] + \
        [one for one in one_by_one(programs, tolerances) if one.name != "whyfit"]
