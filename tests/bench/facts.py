# SPDX-License-Identifier: MIT
"""Writes the same facts in the syntax of each engine."""
import hashlib
import os
import shutil

from generate import Relation


def cells(row):
    return ",".join(map(str, row))


def part_of(relation):
    """Folder of its file: what is asked may come later than the facts."""
    return "asked" if relation.name == "asked" else "facts"


def write_csv(relation, folder, tolerances=None):
    """For the database and for us alike. `tolerances` says of a column by how much it may be off."""
    off = [(tolerances or {}).get((relation.name, name)) for name, _ in relation.columns]
    with open(f"{folder}/{relation.name}.csv", "w", encoding="utf-8") as out:
        out.write(",".join(f"{name} [um]" if sort == "um" else name for name, sort in relation.columns) + "\n")
        if any(off):
            out.writelines(",".join(f"{cell} ±{by}" if by else str(cell) for cell, by in zip(row, off)) + "\n"
                           for row in relation.rows)
        else:
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
                      f".import --csv --skip 1 {part_of(relation)}/{relation.name}.csv {relation.name}\n")


def write_first_question(asked, folder):
    """A layer finds only those indexes in the knowledge below that were used while it was loaded: with one question
    in it, numbered 0, there are all that questions need."""
    if asked.name == "asked":
        first = Relation(asked.name, asked.keys)
        first.rows = [(0, *asked.rows[0][1:])]
        os.makedirs(f"{folder}/first", exist_ok=True)
        write_csv(first, f"{folder}/first")


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
    """CSV for the database and us, clauses for the others; once, until how they are drawn changes."""
    if is_complete(folder):
        return
    shutil.rmtree(folder, ignore_errors=True)
    for part in ("facts", "asked"):
        os.makedirs(f"{folder}/{part}", exist_ok=True)
    for relation in relations:
        write_csv(relation, f"{folder}/{part_of(relation)}")
        write_clauses(relation, folder, "lp")
        write_clauses(relation, folder, "pl")
    if tolerances:
        os.makedirs(f"{folder}/facts-tolerances", exist_ok=True)
        for relation in relations:
            write_csv(relation, f"{folder}/facts-tolerances", tolerances)
    write_first_question(relations[-1], folder)
    write_tables(relations, folder)
    with open(f"{folder}/complete", "w", encoding="ascii") as out:
        out.write(version())
