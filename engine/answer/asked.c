/* SPDX-License-Identifier: MIT */
/*
 * `fits` is earned. For every changed piece, and every piece that touches one, each check
 * that its kind asks for must have made a finding; a finding the host had must not have
 * lost its subject; a line that fell away must be replaced. Whatever is wanting becomes
 * an unknown finding that stops.
 */
#include "swap_private.h"

static status add_unknown(struct swap *swap, struct finding made)
{
    made.outcome = OUTCOME_UNKNOWN;
    made.weight = WEIGHT_STOPS;
    made.counts = true;
    made.counted = COUNTED_NEW;
    return ARRAY_PUSH(swap->arena, &swap->findings, made) ? STATUS_OK
                                                          : arena_status(swap->arena);
}

static const struct subject_entry *place_subject(struct swap *swap, text place)
{
    struct subject_entry *subject = ARENA_NEW(swap->arena, struct subject_entry);
    if (subject != NULL) {
        *subject = (struct subject_entry){TEXT("place"), place};
    }
    return subject;
}

static const struct kind *kind_of(const struct swap *swap,
                                  const struct minted_place *place)
{
    if (place->part != NULL) {
        return place->part->kind;
    }
    return place->recipe == NULL || place->recipe->kind == NAME_NONE
               ? NULL
               : vocabulary_kind(swap->knowledge->vocabulary, place->recipe->kind);
}

/* Whether the host, which ran, keeps this piece and makes no such finding of it either.
 */
static bool is_as_it_ran(const struct swap *swap, const struct rule *rule,
                         const struct minted_place *place)
{
    if (place->is_changed || !swap->swapped.recipe->ran ||
        rule->judged == JUDGED_ABSOLUTELY) {
        return false;
    }
    for (uint32_t i = 0; i < swap->host_findings.count; i++) {
        const struct finding *finding = &swap->host_findings.at[i];
        if (finding->rule == rule && finding_names(finding, place->piece)) {
            return false;
        }
    }
    return true;
}

static bool is_found(const struct swap *swap, const struct rule *rule, name_id piece)
{
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        const struct finding *finding = &swap->findings.at[i];
        if (finding->kind == FINDING_BY_RULE && finding->rule == rule &&
            finding_names(finding, piece)) {
            return true;
        }
    }
    return false;
}

/* Whether a rule says that a check does not arise for a piece, whatever its kind asks. */
static bool is_beside_the_point(const struct swap *swap, const struct rule *rule,
                                name_id piece)
{
    relation_id relation = 0;
    const name_id key[3] = {swap->swapped.name, piece, rule->name};
    if (!store_find_relation(swap->layer.store,
                             names_find(swap->layer.names, TEXT("does-not-arise")),
                             &relation)) {
        return false;
    }
    const struct row *row = store_find(swap->layer.store, relation, key);
    return row != NULL && row->standing == STANDING_SURE;
}

static status ask_kind(struct swap *swap, const struct minted_place *place,
                       const struct kind *kind)
{
    for (uint32_t i = 0; i < kind->ask_count; i++) {
        const struct rule *rule = rule_find(swap->knowledge->rules, kind->asks[i]);
        if (rule == NULL || is_found(swap, rule, place->piece) ||
            is_as_it_ran(swap, rule, place) ||
            is_beside_the_point(swap, rule, place->piece)) {
            continue;
        }
        const text shown = layer_shown(&swap->layer, place->piece);
        const struct finding made = {
            .kind = FINDING_ASKED,
            .rule = rule,
            .name = names_text(swap->layer.names, rule->name),
            .subject = place_subject(swap, shown),
            .subject_count = 1,
            .source = rule->source,
            .sentence = text_format(
                swap->arena, "the facts do not say enough of %.*s for the check %.*s",
                TEXT_ARG(shown), TEXT_ARG(names_text(swap->layer.names, rule->name)))};
        TRY(add_unknown(swap, made));
    }
    return STATUS_OK;
}

static bool asks_anything(const struct swap *swap, const struct kind *kind)
{
    for (; kind != NULL;
         kind = kind->parent == 0
                    ? NULL
                    : &swap->knowledge->vocabulary->kinds[kind->parent - 1]) {
        if (kind->ask_count > 0) {
            return true;
        }
    }
    return false;
}

static status ask_place(struct swap *swap, const struct minted_place *place)
{
    const struct kind *kind = kind_of(swap, place);
    if (place->is_changed && !asks_anything(swap, kind)) {
        const text shown = layer_shown(&swap->layer, place->piece);
        const struct finding made = {
            .kind = FINDING_UNASKED,
            .name = TEXT("unasked"),
            .subject = place_subject(swap, shown),
            .subject_count = 1,
            .source = TEXT("common practice, no source"),
            .sentence =
                text_format(swap->arena, "no check is known for what is in place %.*s",
                            TEXT_ARG(shown))};
        return add_unknown(swap, made);
    }
    while (kind != NULL) {
        TRY(ask_kind(swap, place, kind));
        kind = kind->parent == 0 ? NULL
                                 : &swap->knowledge->vocabulary->kinds[kind->parent - 1];
    }
    return STATUS_OK;
}

static bool touches_changed(struct swap *swap, relation_id touch,
                            const struct minted_place *place)
{
    const name_id key[3] = {swap->swapped.name, place->piece, NAME_NONE};
    struct scan scan;
    if (!scan_open(&scan, swap->layer.store, touch, 3, key)) {
        return false;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        const struct minted_place *other =
            unit_place_of(&swap->layer, &swap->swapped, row->key[2]);
        if (other != NULL && other->is_changed) {
            return true;
        }
    }
    return false;
}

static status ask_places(struct swap *swap)
{
    relation_id touch = 0;
    const bool has_touch = store_find_relation(
        swap->layer.store, names_find(swap->layer.names, TEXT("touch")), &touch);
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        const struct minted_place *place = &swap->swapped.places[i];
        if (place->with != NAME_NONE &&
            (place->is_changed || (has_touch && touches_changed(swap, touch, place)))) {
            TRY(ask_place(swap, place));
        }
    }
    return STATUS_OK;
}

/* Whether two findings are about the same pieces, whatever their runs are called. A
 * finding that names no piece is about all of its keys. */
static bool same_pieces(const struct swap *swap, const struct finding *host,
                        const struct finding *now)
{
    bool names_a_piece = false;
    for (uint32_t i = 0; i < host->rule->key_count; i++) {
        const bool is_piece =
            unit_place_of(&swap->layer, &swap->host, host->row->key[i]) != NULL;
        names_a_piece = names_a_piece || is_piece;
        if (is_piece && !text_equal(host->subject[i].value, now->subject[i].value)) {
            return false;
        }
    }
    for (uint32_t i = 1; !names_a_piece && i < host->rule->key_count; i++) {
        if (!text_equal(host->subject[i].value, now->subject[i].value)) {
            return false;
        }
    }
    return true;
}

static bool has_counterpart(const struct swap *swap, const struct finding *host)
{
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        const struct finding *now = &swap->findings.at[i];
        if (now->kind == FINDING_BY_RULE && now->rule == host->rule &&
            same_pieces(swap, host, now)) {
            return true;
        }
    }
    return false;
}

/* " (seal, shaft)": the pieces of a host's finding. */
static text of_pieces(struct swap *swap, const struct finding *host)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < host->rule->key_count; i++) {
        if (unit_place_of(&swap->layer, &swap->host, host->row->key[i]) != NULL) {
            all = text_format(swap->arena, "%.*s%s%.*s", TEXT_ARG(all),
                              all.length > 0 ? ", " : " (",
                              TEXT_ARG(host->subject[i].value));
        }
    }
    return all.length == 0 ? all : text_format(swap->arena, "%.*s)", TEXT_ARG(all));
}

/* Whether a rule says that the swap does without this piece of the host. */
static bool is_not_missed(const struct swap *swap, name_id piece)
{
    relation_id relation = 0;
    const name_id key[2] = {swap->swapped.name, piece};
    if (!store_find_relation(swap->layer.store,
                             names_find(swap->layer.names, TEXT("not-missed")),
                             &relation)) {
        return false;
    }
    const struct row *row = store_find(swap->layer.store, relation, key);
    return row != NULL && row->standing == STANDING_SURE;
}

static bool names_not_missed(const struct swap *swap, const struct finding *host)
{
    for (uint32_t i = 0; i < host->rule->key_count; i++) {
        if (is_not_missed(swap, host->row->key[i])) {
            return true;
        }
    }
    return false;
}

static bool names_place(const struct swap *swap, const struct finding *host,
                        name_id place)
{
    for (uint32_t i = 0; i < host->rule->key_count; i++) {
        const struct minted_place *named =
            unit_place_of(&swap->layer, &swap->host, host->row->key[i]);
        if (named != NULL && named->place == place) {
            return true;
        }
    }
    return false;
}

static bool was_replaced(const struct swap *swap, const struct replaced_fit *fit)
{
    for (uint32_t i = 0; i < swap->host.replaced_count; i++) {
        const struct replaced_fit *before = &swap->host.replaced[i];
        if (before->left == fit->left && before->right == fit->right) {
            return true;
        }
    }
    return false;
}

/* Whether a part that came in says itself what the two pieces of a finding now lie on. */
static bool is_replaced(const struct swap *swap, const struct finding *host)
{
    for (uint32_t i = 0; i < swap->swapped.replaced_count; i++) {
        const struct replaced_fit *fit = &swap->swapped.replaced[i];
        if (names_place(swap, host, fit->left) && names_place(swap, host, fit->right) &&
            !was_replaced(swap, fit)) {
            return true;
        }
    }
    return false;
}

static bool kind_asks(const struct swap *swap, const struct kind *kind,
                      const struct rule *rule)
{
    while (kind != NULL) {
        for (uint32_t i = 0; i < kind->ask_count; i++) {
            if (kind->asks[i] == rule->name) {
                return true;
            }
        }
        kind = kind->parent == 0 ? NULL
                                 : &swap->knowledge->vocabulary->kinds[kind->parent - 1];
    }
    return false;
}

static const struct kind *first_kind(const struct swap *swap, const struct kind *kind)
{
    while (kind != NULL && kind->parent != 0) {
        kind = &swap->knowledge->vocabulary->kinds[kind->parent - 1];
    }
    return kind;
}

/* What the swap has in the host's place; NULL when it is empty there. */
static const struct minted_place *place_now(const struct swap *swap,
                                            const struct minted_place *before)
{
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        const struct minted_place *now = &swap->swapped.places[i];
        if (now->place == before->place && now->with != NAME_NONE) {
            return now;
        }
    }
    return NULL;
}

/* Whether a finding was the host's piece's own, and what lies there now is of another
 * kind that is not asked it: a check about that piece alone, or one that its kind is
 * asked where both kinds are of one family (two seals, a gasket and sealant). */
static bool is_another_kind(const struct swap *swap, const struct finding *host)
{
    uint32_t named_count = 0;
    bool is_other = false;
    bool is_related = false;
    const struct minted_place *last = NULL;
    for (uint32_t i = 0; i < host->rule->key_count; i++) {
        const struct minted_place *named =
            unit_place_of(&swap->layer, &swap->host, host->row->key[i]);
        const struct minted_place *now =
            named == NULL || named == last ? NULL : place_now(swap, named);
        const struct kind *old_kind = named == NULL ? NULL : kind_of(swap, named);
        const struct kind *new_kind = now == NULL ? NULL : kind_of(swap, now);
        named_count += named != NULL && named != last ? 1 : 0;
        last = named != NULL ? named : last;
        if (new_kind == NULL || old_kind == new_kind ||
            kind_asks(swap, new_kind, host->rule)) {
            continue;
        }
        is_other = true;
        is_related = is_related ||
                     (first_kind(swap, old_kind) == first_kind(swap, new_kind) &&
                      kind_asks(swap, old_kind, host->rule) && new_kind->ask_count > 0);
    }
    return is_other && (named_count == 1 || is_related) &&
           host->rule->judged != JUDGED_ABSOLUTELY;
}

static status ask_removed(struct swap *swap)
{
    const uint32_t count = swap->findings.count;
    for (uint32_t i = 0; i < swap->host_findings.count; i++) {
        const struct finding *host = &swap->host_findings.at[i];
        const struct minted_place *owner =
            unit_place_of(&swap->layer, &swap->host, host->row->key[0]);
        if (host->weight != WEIGHT_STOPS || owner != NULL ||
            host->rule->judged == JUDGED_WHERE_IT_ARISES || has_counterpart(swap, host) ||
            names_not_missed(swap, host) || is_replaced(swap, host) ||
            is_another_kind(swap, host)) {
            continue; /* what lies inside a unit or a single piece left with that piece */
        }
        bool is_said = false;
        for (uint32_t k = count; k < swap->findings.count; k++) {
            const struct finding *said = &swap->findings.at[k];
            is_said =
                is_said || (said->rule == host->rule && said->kind == FINDING_REMOVED &&
                            same_pieces(swap, host, said));
        }
        if (is_said) {
            continue;
        }
        struct finding made = *host;
        made.kind = FINDING_REMOVED;
        made.host = host;
        made.margin = NULL;
        made.contributor_count = 0;
        made.doubt = (struct doubt){0}; /* what is missing of it left with it */
        made.mend = (text){"", 0};
        made.sentence =
            text_format(swap->arena,
                        "the swap takes away what %.*s looked at%.*s: nothing says what "
                        "takes its place",
                        TEXT_ARG(made.name), TEXT_ARG(of_pieces(swap, host)));
        TRY(add_unknown(swap, made));
    }
    return STATUS_OK;
}

bool fell_before(const struct swap *swap, const struct fallen_line *line)
{
    for (uint32_t i = 0; i < swap->host.fallen_count; i++) {
        if (text_equal(swap->host.fallen[i].line, line->line)) {
            return true;
        }
    }
    return false;
}

bool is_of_empty_place(const struct swap *swap, const struct fallen_line *line)
{
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        const struct minted_place *place = &swap->swapped.places[i];
        if (place->place == line->place && place->with == NAME_NONE) {
            return true;
        }
    }
    return false;
}

/* What the host had in the place of a line that fell away. */
static name_id host_piece(const struct swap *swap, const struct fallen_line *line)
{
    for (uint32_t i = 0; i < swap->host.place_count; i++) {
        if (swap->host.places[i].place == line->place) {
            return swap->host.places[i].piece;
        }
    }
    return NAME_NONE;
}

/* Whether it was so before the swap. Lint asks of a unit as it is written: what it leaves
 * empty it may do without, any other line that leads nowhere is misspelt. */
static bool is_expected(const struct swap *swap, const struct fallen_line *line)
{
    return fell_before(swap, line) &&
           (is_of_empty_place(swap, line) || !text_is(swap->question->command, "lint"));
}

static status ask_fallen(struct swap *swap)
{
    for (uint32_t i = 0; i < swap->swapped.fallen_count; i++) {
        const struct fallen_line *line = &swap->swapped.fallen[i];
        if (is_expected(swap, line) || is_not_missed(swap, host_piece(swap, line))) {
            continue;
        }
        const struct finding made = {
            .kind = FINDING_FALLEN,
            .name = TEXT("fell-away"),
            .subject = place_subject(swap, layer_shown(&swap->layer, line->place)),
            .subject_count = 1,
            .source = TEXT("common practice, no source"),
            .sentence = text_format(swap->arena, "%.*s fell away: %.*s",
                                    TEXT_ARG(line->line), TEXT_ARG(line->why))};
        TRY(add_unknown(swap, made));
    }
    return STATUS_OK;
}

/* What was read wrongly, or on another piece, must not be judged by. */
static status ask_readings(struct swap *swap)
{
    for (uint32_t i = 0; i < swap->swapped.place_count; i++) {
        const struct part *part = swap->swapped.places[i].part;
        const text place = layer_shown(&swap->layer, swap->swapped.places[i].piece);
        for (uint32_t k = 0; part != NULL && k < part->odd_count; k++) {
            const struct finding made = {
                .kind = FINDING_READING,
                .name = TEXT("reading"),
                .subject = place_subject(swap, place),
                .subject_count = 1,
                .source = TEXT("common practice, no source"),
                .sentence = text_format(
                    swap->arena,
                    "%.*s: %.*s: read it again, or say that it is so (confirmed: true)",
                    TEXT_ARG(place), TEXT_ARG(part->odd[k].what))};
            TRY(add_unknown(swap, made));
        }
    }
    return STATUS_OK;
}

status findings_ask(struct swap *swap)
{
    TRY(ask_readings(swap));
    TRY(ask_places(swap));
    TRY(ask_removed(swap));
    TRY(ask_fallen(swap));
    return arena_status(swap->arena);
}
