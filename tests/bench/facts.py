# SPDX-License-Identifier: MIT
"""Writes the same facts in the syntax of each engine."""
import hashlib
import os
import shutil

from generate import Relation


def cells(row):
    return ",".join(map(str, row))


def write_csv(relation, folder):
    with open(f"{folder}/{relation.name}.csv", "w", encoding="ascii") as out:
        out.write(",".join(name for name, _ in relation.columns) + "\n")
        out.writelines(cells(row) + "\n" for row in relation.rows)


def write_clauses(relation, folder, ending):
    """For the grounder and for Prolog alike: name(1,word,3)."""
    with open(f"{folder}/{relation.name}.{ending}", "w", encoding="ascii") as out:
        out.writelines(f"{relation.name}({cells(row)}).\n" for row in relation.rows)


def write_tables(relations, folder):
    """Declares and fills the tables of a database."""
    with open(f"{folder}/load.sql", "w", encoding="ascii") as out:
        for relation in relations:
            columns = ", ".join(f'"{name}" {"TEXT" if sort == "word" else "INTEGER"}'
                                for name, sort in relation.columns)
            keys = ", ".join(f'"{name}"' for name, _ in relation.keys)
            out.write(f"CREATE TABLE {relation.name}({columns}, PRIMARY KEY({keys})) WITHOUT ROWID;\n"
                      f".import --csv --skip 1 {relation.name}.csv {relation.name}\n")


def our_cell(value, sort, tolerance):
    return f"{value} um" if sort == "um" and not tolerance else \
        f"{value} ±{tolerance} um" if sort == "um" else str(value)


def write_ours(relation, folder, tolerances):
    """A file a relation. `tolerances` says of a column by how much it may be off."""
    at_most = 40000  # rows a file: files have a limit
    for start in range(0, len(relation.rows), at_most):
        with open(f"{folder}/{relation.name}-{start // at_most}.yaml", "w", encoding="utf-8") as out:
            out.write(f"source: a benchmark, drawn\ntable-rows:\n  {relation.name}:\n")
            for row in relation.rows[start:start + at_most]:
                said = ", ".join(
                    f"{name}: {our_cell(cell, sort, tolerances.get((relation.name, name)))}"
                    for cell, (name, sort) in zip(row, relation.columns))
                out.write(f"    - {{{said}}}\n")


def write_first_question(asked, folder):
    """A layer finds only those indexes in the knowledge below that were used while it was loaded: with one question
    in it, numbered 0, there are all that questions need."""
    if asked.name == "asked":
        first = Relation(asked.name, asked.keys)
        first.rows = [(0, *asked.rows[0][1:])]
        os.makedirs(f"{folder}/first", exist_ok=True)
        write_ours(first, f"{folder}/first", {})


def version():
    """Of the programs that draw and write the facts."""
    total = hashlib.sha256()
    for name in ("generate.py", "facts.py"):
        with open(f"{os.path.dirname(os.path.abspath(__file__))}/{name}", "rb") as source:
            total.update(source.read())
    return total.hexdigest()


def is_complete(folder):
    try:
        with open(f"{folder}/complete", encoding="ascii") as said:
            return said.read() == version()
    except OSError:
        return False


def write_all(relations, folder, tolerances):
    """CSV for the database, clauses for the solvers, and our own; once, until how they are drawn changes."""
    if is_complete(folder):
        return
    shutil.rmtree(folder, ignore_errors=True)
    for part in ("ours", "asked"):  # what is asked may be left to come later
        os.makedirs(f"{folder}/{part}", exist_ok=True)
    for relation in relations:
        write_csv(relation, folder)
        write_clauses(relation, folder, "lp")
        write_clauses(relation, folder, "pl")
        write_ours(relation, f"{folder}/{'asked' if relation.name == 'asked' else 'ours'}", {})
    if tolerances:
        os.makedirs(f"{folder}/ours-tolerances", exist_ok=True)
        for relation in relations:
            write_ours(relation, f"{folder}/ours-tolerances", tolerances)
    write_first_question(relations[-1], folder)
    write_tables(relations, folder)
    with open(f"{folder}/complete", "w", encoding="ascii") as out:
        out.write(version())
