# SPDX-License-Identifier: MIT
"""What is measured: which facts, which rules, which rows are compared."""
import engines
import generate


class Workload:
    def __init__(self, name, facts, outputs, sizes, quick, **more):
        self.name, self.facts, self.outputs, self.sizes, self.quick = name, facts, outputs, sizes, quick
        self.long = more.get("long", [])        # sizes of a long run
        self.programs = more.get("programs", name)
        self.is_counted = more.get("is_counted", False)  # times are without writing the rows
        self.engines = more.get("engines", engines.of_rules)
        self.tolerances = more.get("tolerances", {})
        self.says = more["says"]

    def relations(self, size):
        return self.facts(size)


OFF = 5  # um
SWAP_TOLERANCES = {("part", "width"): OFF, ("bore", "diameter"): OFF, ("feature", "start"): OFF,
                   ("feature", "end"): OFF, ("feature", "diameter"): OFF, ("unit", "start"): OFF}

ANSWERED = [("leak", 5), ("misfit", 4), ("fits", 1)]
ROLLED = [("rollup", 5), ("unsealed", 1)]

WORKLOADS = [
    Workload("closure", generate.closure, [("reach", 2)],
             ["random-1000x5000", "random-2000x20000"], ["random-200x1000"], is_counted=True,
             says="Which nodes of a random graph can be reached, nodes x edges; dense results."),
    Workload("sparse", generate.closure, [("reach", 2)],
             ["chain-2000", "grid-60x60"], ["chain-300", "grid-15x15"], is_counted=True, programs="closure",
             says="The same over a chain, and over a grid that leads right and down."),
    Workload("generation", generate.generation, [("same", 2)],
             ["tree-2000", "random-1000x2500"], ["tree-400", "random-200x500"], is_counted=True,
             says="Who stands in one generation: over a tree, and over a random graph (nodes x edges)."),
    Workload("joins", generate.joins, [("pq", 2), ("pqr", 2), ("st", 2), ("all", 2)],
             ["5000", "10000"], ["2000"], is_counted=True,
             says="A chain of three joins over a thousand names; rows in each of the five relations."),
    Workload("parts-list", generate.parts_list, ROLLED, ["100000"], ["10000"],
             says="A nested list of parts: sum, least, greatest and count of what is below each, and those"
                  " without a seal; over the closure of the list, the same formulation for all."),
    Workload("parts-list-best", generate.parts_list, ROLLED, ["100000"], ["10000"],
             says="The same, each engine as suits it: single parts go up to all they are in; Prolog sums each"
                  " part once, from the sums of what it holds."),
    Workload("swap", generate.swap,
             [("leak", 5), ("misfit", 4), ("fits", 1), ("faults", 2), ("worst", 2)],
             ["10000", "100000"], ["2000"], long=["1000000"], tolerances=SWAP_TOLERANCES,
             says="A catalogue of so many parts, in whole micrometres: where the parts of each unit lie, what leaks,"
                  " what does not go on, what fits. The row with tolerances is ours alone: every dimension"
                  f" is given within ±{OFF} um, and answers say where that leaves them open."),
    Workload("cold", generate.questions, ANSWERED, ["100000-1"], ["2000-1"], programs="what-ifs", engines=engines.cold,
             says="One question about one unit of the catalogue, from the start of the program: out of the text of all"
                  " facts, and out of what we and two of the peers prepare beforehand. An empty process is our program"
                  " doing nothing."),
    Workload("questions", generate.questions, ANSWERED, ["100000-10000"], ["2000-1000"], programs="what-ifs",
             engines=engines.one_by_one,
             says="10,000 questions about units of the catalogue, one after the other in one process, out of what each"
                  " engine prepared beforehand; a row of ours loads text."),
    Workload("what-ifs", generate.what_ifs, ANSWERED, ["100000-10000"], ["2000-1000"], programs="what-ifs",
             engines=engines.one_by_one,
             says="10,000 times another part in one place of a unit, one after the other in one process."),
    Workload("what-ifs-at-once", generate.what_ifs, ANSWERED, ["100000-10000"], ["2000-1000"], programs="what-ifs",
             says="The same 10,000, all in the facts and worked out together, from text."),
]
