/* SPDX-License-Identifier: MIT */
/*
 * Which rules must be evaluated together, and in which order. Relations are nodes; a rule
 * leads from each relation it reads to each it concludes. Relations that lead to each
 * other form one group. A denial or an aggregate inside a group has no meaning that does
 * not depend on the order of evaluation: it is refused, with the loop spelled out.
 */
#include "rule_reader.h"

#include <stdlib.h>

/* Through a condition, a denial, or an aggregate of enum tally_kind. */
enum strictness {
    NOT_STRICT,
    STRICT_DENIAL,
    STRICT_TALLY
};

struct edge {
    relation_id from;  /* read */
    relation_id to;    /* concluded */
    unsigned strictly; /* enum strictness, STRICT_TALLY + enum tally_kind */
    uint32_t rule;
    span where; /* the condition; SPAN_NONE: the rule concludes both */
};

struct graph {
    struct rule_reader *reader;
    const struct rule *rules;
    uint32_t rule_count;
    uint32_t node_count;
    ARRAY_OF(struct edge) edges;
    uint32_t *first; /* in `leads_to`, of the edges from a node; node_count + 1 */
    relation_id *leads_to;
    uint8_t *reach;  /* node_count × node_count */
    uint32_t *level; /* longest way from what nothing leads to */
};

static bool add_edge(struct graph *graph, struct edge edge)
{
    return ARRAY_PUSH(graph->reader->arena, &graph->edges, edge);
}

/* Every relation a rule concludes. */
static uint32_t heads_of(const struct rule *rule, uint32_t i, relation_id *out)
{
    if (i < rule->conclusion_count) {
        *out = rule->conclusions[i].relation;
        return true;
    }
    *out = rule->finding;
    return rule->has_check && i == rule->conclusion_count;
}

static bool add_condition(struct graph *graph, uint32_t index,
                          const struct condition *one, relation_id to, unsigned strictly)
{
    return add_edge(graph, (struct edge){one->relation, to, strictly, index, one->where});
}

static bool add_rule_to(struct graph *graph, uint32_t index, relation_id to)
{
    const struct rule *rule = &graph->rules[index];
    bool is_added = true;
    for (uint32_t i = 0; i < rule->given_count; i++) {
        is_added =
            is_added && add_condition(graph, index, &rule->given[i], to, NOT_STRICT);
    }
    for (uint32_t i = 0; i < rule->unless_count; i++) {
        is_added =
            is_added && add_condition(graph, index, &rule->unless[i], to, STRICT_DENIAL);
    }
    for (uint32_t i = 0; i < rule->tally_count; i++) {
        const struct tally *one = &rule->tallies[i];
        is_added = is_added && add_condition(graph, index, &one->of, to,
                                             STRICT_TALLY + (unsigned)one->kind);
    }
    return is_added;
}

/* What one rule concludes is concluded together, so it lies in one group. */
static bool add_rule(struct graph *graph, uint32_t index)
{
    relation_id first = 0;
    relation_id to = 0;
    bool is_added = true;
    for (uint32_t i = 0; heads_of(&graph->rules[index], i, &to); i++) {
        first = i == 0 ? to : first;
        is_added = is_added && add_rule_to(graph, index, to);
        if (to != first) {
            is_added =
                is_added &&
                add_edge(graph, (struct edge){first, to, NOT_STRICT, index, SPAN_NONE}) &&
                add_edge(graph, (struct edge){to, first, NOT_STRICT, index, SPAN_NONE});
        }
    }
    return is_added;
}

static uint8_t *reach_at(const struct graph *graph, uint32_t from, uint32_t to)
{
    return &graph->reach[(size_t)from * graph->node_count + to];
}

/* Where the edges of each node lead, those of one node side by side. */
static bool sort_edges(struct graph *graph)
{
    graph->first =
        ARENA_MANY(graph->reader->arena, (size_t)graph->node_count + 1, uint32_t);
    graph->leads_to =
        ARENA_MANY(graph->reader->arena, (size_t)graph->edges.count + 1, relation_id);
    if (graph->first == NULL || graph->leads_to == NULL) {
        return false;
    }
    for (uint32_t e = 0; e < graph->edges.count; e++) {
        graph->first[graph->edges.at[e].from]++;
    }
    for (uint32_t i = 1; i <= graph->node_count; i++) {
        graph->first[i] += graph->first[i - 1];
    }
    for (uint32_t e = 0; e < graph->edges.count; e++) {
        const struct edge *edge = &graph->edges.at[e];
        graph->leads_to[--graph->first[edge->from]] = edge->to;
    }
    return true;
}

/* One search a node. */
static bool find_reach(struct graph *graph)
{
    uint32_t *queue = ARENA_MANY(graph->reader->arena, graph->node_count, uint32_t);
    for (uint32_t start = 0; queue != NULL && start < graph->node_count; start++) {
        uint32_t head = 0;
        uint32_t tail = 0;
        queue[tail++] = start;
        while (head < tail) {
            const uint32_t at = queue[head++];
            for (uint32_t e = graph->first[at]; e < graph->first[at + 1]; e++) {
                const relation_id to = graph->leads_to[e];
                if (!*reach_at(graph, start, to)) {
                    *reach_at(graph, start, to) = 1;
                    if (to != start) {
                        queue[tail++] = to;
                    }
                }
            }
        }
    }
    return queue != NULL;
}

static bool same_group(const struct graph *graph, relation_id a, relation_id b)
{
    return a == b || (*reach_at(graph, a, b) && *reach_at(graph, b, a));
}

/* ---- loops */

static text relation_name(const struct graph *graph, relation_id relation)
{
    return names_text(graph->reader->around->names, graph->reader->shapes[relation].name);
}

static text rule_name(const struct graph *graph, const struct edge *edge)
{
    return names_text(graph->reader->around->names, graph->rules[edge->rule].name);
}

/* How many steps every relation is from `to`; UINT32_MAX for those that do not lead
 * there. NULL: out of memory. */
static const uint32_t *distances_to(struct graph *graph, relation_id to)
{
    uint32_t *far = ARENA_MANY(graph->reader->arena, graph->node_count, uint32_t);
    bool is_new = far != NULL;
    for (uint32_t i = 0; far != NULL && i < graph->node_count; i++) {
        far[i] = i == to ? 0 : UINT32_MAX;
    }
    while (is_new) {
        is_new = false;
        for (uint32_t e = 0; e < graph->edges.count; e++) {
            const struct edge *edge = &graph->edges.at[e];
            if (far[edge->to] != UINT32_MAX && far[edge->from] > far[edge->to] + 1) {
                far[edge->from] = far[edge->to] + 1;
                is_new = true;
            }
        }
    }
    return far;
}

/* The step from a relation that leads on by the fewest steps; of several the first by
 * relation, then by rule, so that the order of files does not show. */
static const struct edge *next_step(const struct graph *graph, relation_id at,
                                    const uint32_t *far)
{
    const struct edge *best = NULL;
    for (uint32_t e = 0; e < graph->edges.count; e++) {
        const struct edge *edge = &graph->edges.at[e];
        if (edge->from != at || far[edge->to] != far[at] - 1) {
            continue;
        }
        const int order = best == NULL ? -1
                                       : text_compare(relation_name(graph, edge->to),
                                                      relation_name(graph, best->to));
        if (order < 0 || (order == 0 && text_compare(rule_name(graph, edge),
                                                     rule_name(graph, best)) < 0)) {
            best = edge;
        }
    }
    return best;
}

static const char *verb_of(const struct edge *edge)
{
    static const char *const verbs[] = {"concludes",
                                        "denies",
                                        "counts",
                                        "sums up",
                                        "takes the least of",
                                        "takes the greatest of",
                                        "asks every row of"};
    return verbs[edge->strictly];
}

/* "…; RULE concludes b from a". */
static text spell_step(const struct graph *graph, text so_far, const struct edge *edge)
{
    const bool is_together = edge->where.length == 0;
    return text_format(
        diagnostics_arena(graph->reader->diagnostics), "%.*s; %.*s %s %.*s %s %.*s",
        TEXT_ARG(so_far), TEXT_ARG(rule_name(graph, edge)), verb_of(edge),
        TEXT_ARG(
            relation_name(graph, edge->strictly != NOT_STRICT ? edge->from : edge->to)),
        edge->strictly != NOT_STRICT ? "to conclude"
        : is_together                ? "together with"
                                     : "from",
        TEXT_ARG(
            relation_name(graph, edge->strictly != NOT_STRICT ? edge->to : edge->from)));
}

/* The loop that a denial or an aggregate closes, rule by rule. */
static void refuse_strict_loop(struct graph *graph, const struct edge *edge)
{
    struct arena *arena = diagnostics_arena(graph->reader->diagnostics);
    const uint32_t *far = distances_to(graph, edge->from);
    text way = text_format(arena, "%.*s %s %.*s to conclude %.*s",
                           TEXT_ARG(rule_name(graph, edge)), verb_of(edge),
                           TEXT_ARG(relation_name(graph, edge->from)),
                           TEXT_ARG(relation_name(graph, edge->to)));
    struct diagnostic *report =
        rule_report(graph->reader, CODE_RULE_LOOP, edge->where, way);
    for (relation_id at = edge->to; far != NULL && at != edge->from;) {
        const struct edge *step = next_step(graph, at, far);
        if (step == NULL) {
            break;
        }
        way = spell_step(graph, way, step);
        if (step->rule != edge->rule) {
            diagnostic_note_add(report, graph->rules[step->rule].where,
                                text_format(arena, "rule %.*s is here",
                                            TEXT_ARG(rule_name(graph, step))));
        }
        at = step->to;
    }
    report->message =
        text_format(arena, "this hangs on its own answer: %.*s", TEXT_ARG(way));
    report->expected =
        TEXT("a relation that none of these rules adds to, such as what facts state of "
             "it; or a relation of its own for what is concluded");
}

static void refuse_strict_loops(struct graph *graph)
{
    for (uint32_t e = 0; e < graph->edges.count; e++) {
        const struct edge *edge = &graph->edges.at[e];
        if (edge->strictly != NOT_STRICT && same_group(graph, edge->from, edge->to)) {
            refuse_strict_loop(graph, edge);
        }
    }
}

/* ---- order */

/* Levels settle after as many rounds as there are groups on the longest way. */
static void find_levels(struct graph *graph)
{
    bool is_new = true;
    for (uint32_t round = 0; is_new && round <= graph->node_count; round++) {
        is_new = false;
        for (uint32_t e = 0; e < graph->edges.count; e++) {
            const struct edge *edge = &graph->edges.at[e];
            const uint32_t least = graph->level[edge->from] +
                                   (same_group(graph, edge->from, edge->to) ? 0 : 1);
            if (graph->level[edge->to] < least) {
                graph->level[edge->to] = least;
                is_new = true;
            }
        }
    }
}

static relation_id head_of(const struct rule *rule)
{
    return rule->has_check ? rule->finding : rule->conclusions[0].relation;
}

struct group_entry {
    uint32_t level;
    text name;          /* of the first relation by name in the group */
    relation_id leader; /* that relation */
    uint32_t rule;
};

static int compare_entries(const void *a, const void *b)
{
    const struct group_entry *left = a;
    const struct group_entry *right = b;
    if (left->level != right->level) {
        return left->level < right->level ? -1 : 1;
    }
    const int order = text_compare(left->name, right->name);
    return order != 0 ? order : (left->rule > right->rule) - (left->rule < right->rule);
}

static struct group_entry entry_of(const struct graph *graph, uint32_t rule)
{
    const relation_id head = head_of(&graph->rules[rule]);
    struct group_entry entry = {graph->level[head], relation_name(graph, head), head,
                                rule};
    for (uint32_t r = 0; r < graph->node_count; r++) {
        if (same_group(graph, r, head) &&
            text_compare(relation_name(graph, r), entry.name) < 0) {
            entry.name = relation_name(graph, r);
            entry.leader = r;
        }
    }
    return entry;
}

static bool reads_own_group(const struct graph *graph, const struct rule *rule)
{
    for (uint32_t i = 0; i < rule->given_count; i++) {
        if (same_group(graph, rule->given[i].relation, head_of(rule))) {
            return true;
        }
    }
    return false;
}

static status make_groups(struct graph *graph, struct rule *rules, struct rule_base *base)
{
    struct arena *arena = graph->reader->arena;
    struct group_entry *entries =
        ARENA_MANY(arena, graph->rule_count, struct group_entry);
    struct rule_group *groups = ARENA_MANY(arena, graph->rule_count, struct rule_group);
    uint32_t *order = ARENA_MANY(arena, graph->rule_count, uint32_t);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < graph->rule_count; i++) {
        entries[i] = entry_of(graph, i);
    }
    if (graph->rule_count > 1) {
        qsort(entries, graph->rule_count, sizeof *entries, compare_entries);
    }
    for (uint32_t i = 0; i < graph->rule_count; i++) {
        const bool is_first = i == 0 || entries[i].leader != entries[i - 1].leader;
        base->group_count += is_first ? 1 : 0;
        struct rule_group *group = &groups[base->group_count - 1];
        struct rule *rule = &rules[entries[i].rule];
        order[i] = entries[i].rule;
        group->rules = is_first ? &order[i] : group->rules;
        group->count++;
        group->is_recursive = group->is_recursive || reads_own_group(graph, rule);
        rule->group = base->group_count - 1;
    }
    base->groups = groups;
    return STATUS_OK;
}

status rule_groups_make(struct rule_reader *reader, struct rule_base *base)
{
    struct rule *rules = ARENA_MANY(reader->arena, base->rule_count, struct rule);
    struct graph graph = {.reader = reader,
                          .rules = rules,
                          .rule_count = base->rule_count,
                          .node_count = base->shape_count};
    graph.reach =
        ARENA_MANY(reader->arena, (size_t)base->shape_count * base->shape_count, uint8_t);
    graph.level = ARENA_MANY(reader->arena, base->shape_count, uint32_t);
    TRY(arena_status(reader->arena));
    for (uint32_t i = 0; i < base->rule_count; i++) {
        rules[i] = base->rules[i];
    }
    for (uint32_t i = 0; i < base->rule_count; i++) {
        if (!add_rule(&graph, i)) {
            return arena_status(reader->arena);
        }
    }
    if (!sort_edges(&graph) || !find_reach(&graph)) {
        return arena_status(reader->arena);
    }
    refuse_strict_loops(&graph);
    find_levels(&graph);
    TRY(make_groups(&graph, rules, base));
    base->rules = rules;
    return arena_status(reader->arena);
}
