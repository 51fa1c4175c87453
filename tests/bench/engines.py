# SPDX-License-Identifier: MIT
"""How each engine is told to run a workload, and how its rows are read."""
import hashlib
import json
import os
import re
import shutil

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
    def __init__(self, name, program, facts="ours"):
        super().__init__(name)
        self.program, self.facts = program, facts

    def missing(self):
        return None

    def command(self, work, folder, is_counted):
        rows = [] if is_counted else ["--rows", "ours.rows"]
        return [self.program] + rows + [f"{HERE}/knowledge/{work.programs}", f"{folder}/{self.facts}", "--"] + \
            [name for name, _ in work.outputs]

    def rows(self, _out, folder):
        return read(f"{folder}/ours.rows").split(b"\n")


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


def all_engines(ours):
    return [Ours("whyfit", ours), Prolog("SWI-Prolog, tabling"), AnswerSets("gringo and clasp"), Database("SQLite")]
