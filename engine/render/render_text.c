/* SPDX-License-Identifier: MIT */
/*
 * An answer in words: the verdict and its reasons first, then the checks the swap
 * touches, what has to be done, what is missing, what was assumed, what nobody looked at,
 * and the caution. Outcomes are words, so nothing is lost without colour.
 */
#include "render_words.h"

void render_heading(struct writer *writer, const char *words)
{
    write_format(writer, "\n%s%s%s\n", writer->in_colour ? "\033[1m" : "", words,
                 writer->in_colour ? "\033[0m" : "");
}

const char *render_verdict_colour(enum verdict verdict)
{
    switch (verdict) {
    case VERDICT_FITS:
        return "\033[1;32m";
    case VERDICT_FITS_WITH_WORK:
        return "\033[1;36m";
    case VERDICT_DOES_NOT_FIT:
        return "\033[1;31m";
    case VERDICT_NOT_KNOWN:
        break;
    }
    return "\033[1;33m";
}

text render_pairs(struct arena *arena, const struct named_pair *pairs, uint32_t count)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < count; i++) {
        all = text_format(arena, "%.*s%s%.*s=%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(pairs[i].name), TEXT_ARG(pairs[i].value));
    }
    return all;
}

static void write_verdict(struct writer *writer, const struct answer *answer)
{
    write_format(writer, "%s%s%s\n",
                 writer->in_colour ? render_verdict_colour(answer->verdict) : "",
                 verdict_word(answer->verdict), writer->in_colour ? "\033[0m" : "");
    render_reasons(writer, answer);
}

text render_asked(struct arena *arena, const struct answer *answer)
{
    const text changes = render_pairs(arena, answer->changes, answer->change_count);
    return text_format(arena, "%.*s in %.*s",
                       TEXT_ARG(changes.length > 0 ? changes : TEXT("no change")),
                       TEXT_ARG(answer->unit));
}

void render_given(struct writer *writer, const struct answer *answer)
{
    if (answer->given_count > 0) {
        write_wrapped(writer, TEXT("  given    "),
                      render_pairs(writer->arena, answer->given, answer->given_count));
    }
    for (uint32_t i = 0; i < answer->taken_count; i++) {
        write_wrapped(writer, i == 0 ? TEXT("  taken    ") : TEXT("           "),
                      answer->taken[i]);
    }
}

void render_reasons(struct writer *writer, const struct answer *answer)
{
    write_wrapped(writer, TEXT("  asked    "), render_asked(writer->arena, answer));
    if (answer->brought_count > 0) {
        write_wrapped(
            writer, TEXT("  brings   "),
            render_pairs(writer->arena, answer->brought, answer->brought_count));
    }
    render_given(writer, answer);
    for (uint32_t i = 0; i < answer->because_count; i++) {
        const text because = render_because(writer->arena, answer, i);
        if (because.length > 0) {
            write_wrapped(writer, i == 0 ? TEXT("  because  ") : TEXT("           "),
                          because);
        }
    }
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (is_minded(&answer->findings[i])) {
            write_wrapped(writer, TEXT("  mind     "), answer->findings[i].sentence);
        }
    }
}

bool is_minded(const struct finding *finding)
{
    return finding->counts && finding->weight == WEIGHT_CAUTIONS &&
           finding->outcome == OUTCOME_FAILS;
}

text render_subject(struct arena *arena, const struct finding *finding)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < finding->subject_count; i++) {
        const struct subject_entry *one = &finding->subject[i];
        const bool is_said =
            i > 0 && text_equal(one->value, finding->subject[i - 1].value);
        if (is_said || (text_is(one->column, "unit") && finding->subject_count > 1)) {
            continue;
        }
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), all.length > 0 ? ", " : "",
                          TEXT_ARG(one->value));
    }
    return all;
}

text render_margin(struct arena *arena, const struct finding *finding)
{
    double nominal = 0;
    if (finding->margin == NULL) {
        return (text){"", 0};
    }
    const text range = form_write(arena, finding->margin);
    if (!form_nominal(finding->margin, &nominal)) {
        return range;
    }
    const text middle = magnitude_write(arena, finding->margin->dim, nominal, -1);
    /* The basic size of a tolerance class need not lie between its limits. */
    const bool is_inside =
        nominal >= finding->margin->least && nominal <= finding->margin->greatest;
    return !is_inside ? range
           : text_equal(range, middle)
               ? middle
               : text_format(arena, "%.*s (%.*s)", TEXT_ARG(middle), TEXT_ARG(range));
}

const char *render_note(const struct finding *finding)
{
    switch (finding->counted) {
    case COUNTED_AS_FOUND:
        return "; the host's does not hold either, and this is worse";
    case COUNTED_MAY_BE_WORSE:
        return "; the host's does not hold either, and within its limits this may be "
               "worse";
    case NOT_COUNTED_NO_WORSE:
        return "; no worse than what ran";
    case NOT_COUNTED_AS_IT_RAN:
        return "; as it ran";
    case COUNTED_CHANGED:
    case COUNTED_NEW:
    case NOT_COUNTED_AS_BEFORE:
        break;
    }
    return "";
}

void render_finding(struct writer *writer, const struct finding *finding)
{
    const text margin = render_margin(writer->arena, finding);
    const text subject = render_subject(writer->arena, finding);
    const text lead =
        text_format(writer->arena, "  %-8s ", outcome_word(finding->outcome));
    write_wrapped(writer, lead,
                  text_format(writer->arena, "%.*s: %.*s%s%.*s%s%s",
                              TEXT_ARG(finding->name), TEXT_ARG(subject),
                              margin.length > 0 ? ", margin " : "", TEXT_ARG(margin),
                              finding->weight == WEIGHT_CAUTIONS ? " (a caution)" : "",
                              render_note(finding)));
    if (finding->outcome != OUTCOME_HOLDS) {
        write_wrapped(writer, TEXT("           "), finding->sentence);
    }
    if (finding->outcome != OUTCOME_HOLDS && finding->mend.length > 0) {
        write_wrapped(writer, TEXT("           mend: "), finding->mend);
    }
}

text render_as_before(struct arena *arena, uint32_t count, bool are_listed)
{
    return text_format(arena, "%u check%s the swap does not touch%s", count,
                       count == 1 ? " that" : "s that", are_listed ? ", of which:" : "");
}

static void write_findings(struct writer *writer, const struct answer *answer)
{
    uint32_t as_before = 0;
    uint32_t not_holding = 0;
    text removed = render_folded(writer->arena, answer);
    const bool folds = removed.length > 0;
    render_heading(writer, "Checks that the swap touches");
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        const struct finding *finding = &answer->findings[i];
        if (folds && is_removed_check(finding)) {
            if (removed.length > 0) {
                write_wrapped(writer, TEXT("  unknown  "), removed);
            }
            removed = TEXT(""); /* said once */
            continue;
        }
        if (finding->counts) {
            render_finding(writer, finding);
            continue;
        }
        as_before++;
        not_holding += finding->outcome == OUTCOME_HOLDS ? 0 : 1;
    }
    if (as_before == answer->finding_count) {
        write_text(writer, TEXT("  none: no piece is changed and no face is moved\n"));
    }
    if (as_before == 0) {
        return;
    }
    render_heading(writer, "As before");
    write_format(writer, "  %.*s\n",
                 TEXT_ARG(render_as_before(writer->arena, as_before, not_holding > 0)));
    for (uint32_t i = 0; i < answer->finding_count; i++) {
        if (!answer->findings[i].counts && answer->findings[i].outcome != OUTCOME_HOLDS) {
            render_finding(writer, &answer->findings[i]);
        }
    }
}

void render_list(struct writer *writer, const char *words, const text *lines,
                 uint32_t count)
{
    if (count == 0) {
        return;
    }
    render_heading(writer, words);
    for (uint32_t i = 0; i < count; i++) {
        write_wrapped(writer, TEXT("  - "), lines[i]);
    }
}

text render_work(struct arena *arena, const struct work_item *work)
{
    return text_format(arena, "%.*s (%.*s)", TEXT_ARG(work->what), TEXT_ARG(work->why));
}

static void write_work(struct writer *writer, const struct answer *answer)
{
    if (answer->work_count == 0) {
        return;
    }
    render_heading(writer, "To do");
    for (uint32_t i = 0; i < answer->work_count; i++) {
        write_wrapped(writer, TEXT("  - "), render_work(writer->arena, &answer->work[i]));
    }
}

static const char *mend_end(const struct tried_mend *mend)
{
    return mend->is_chosen     ? "chosen"
           : mend->may_cure    ? "may cure, not known"
           : !mend->cures      ? "does not cure"
           : !mend->is_allowed ? "would cure; cutting metal has to be allowed"
                               : "would cure too";
}

bool is_mend_said_before(const struct answer *answer, uint32_t i)
{
    const struct tried_mend *mend = &answer->mends[i];
    for (uint32_t k = 0; k < i; k++) {
        const struct tried_mend *other = &answer->mends[k];
        if (text_equal(mend->tried, other->tried) && mend->kind == other->kind &&
            mend->is_chosen == other->is_chosen && mend->cures == other->cures) {
            return true;
        }
    }
    return false;
}

text render_mend(struct arena *arena, const struct tried_mend *mend)
{
    return text_format(arena, "%.*s%s%.*s%s: %s%s%.*s", TEXT_ARG(mend->what),
                       mend->tried.length > 0 ? " (" : "", TEXT_ARG(mend->tried),
                       mend->tried.length > 0 ? ")" : "", mend_end(mend),
                       mend->cures ? "" : ": ",
                       TEXT_ARG(mend->cures ? TEXT("") : mend->why));
}

static void write_mends(struct writer *writer, const struct answer *answer)
{
    if (answer->mend_count == 0) {
        return;
    }
    render_heading(writer, "Mends tried");
    for (uint32_t i = 0; i < answer->mend_count; i++) {
        const struct tried_mend *mend = &answer->mends[i];
        if (is_mend_said_before(answer, i)) {
            continue;
        }
        write_wrapped(writer,
                      text_format(writer->arena, "  %-8s ", mend_word(mend->kind)),
                      render_mend(writer->arena, mend));
    }
}

text render_ways(struct arena *arena, text ways)
{
    text all = {"", 0};
    size_t begin = 0;
    for (size_t at = 0; at <= ways.length; at++) {
        if (at < ways.length && ways.at[at] != ' ') {
            continue;
        }
        if (at > begin) {
            const text one = {ways.at + begin, at - begin};
            all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all),
                              all.length > 0 ? " or " : "", TEXT_ARG(one));
        }
        begin = at + 1;
    }
    return all;
}

text render_missing(struct arena *arena, const struct missing_item *item)
{
    const bool has_way = item->of->got_by.length > 0;
    const bool is_choice = item->of->one_of.length > 0;
    text by = {"", 0};
    for (uint32_t k = 0; k < item->wanted_count; k++) {
        by = text_format(arena, "%.*s%s%.*s", TEXT_ARG(by), k == 0 ? "" : ", ",
                         TEXT_ARG(item->wanted_by[k]));
    }
    return text_format(arena, "%.*s%s%.*s%s%s%.*s, wanted by %.*s",
                       TEXT_ARG(item->of->name), has_way ? " (by " : "",
                       TEXT_ARG(render_ways(arena, item->of->got_by)), has_way ? ")" : "",
                       is_choice ? ", one of " : "", TEXT_ARG(item->of->one_of),
                       TEXT_ARG(by));
}

/* The first that a question can give: PLACE.FIELD or PLACE.FEATURE.FIELD. */
static void write_how_to_say(struct writer *writer, const struct answer *answer)
{
    for (uint32_t i = 0; i < answer->missing_count; i++) {
        const struct deviation *of = answer->missing[i].of;
        if (text_find(of->name, '.', 0) < of->name.length &&
            text_find(of->name, ' ', 0) == of->name.length) {
            write_wrapped(writer, TEXT("  "),
                          text_format(writer->arena,
                                      "Say what was found: --given %.*s=%s",
                                      TEXT_ARG(of->name),
                                      of->one_of.length > 0 ? "WORD" : "VALUE"));
            return;
        }
    }
}

static void write_missing(struct writer *writer, const struct answer *answer)
{
    if (answer->missing_count == 0) {
        return;
    }
    render_heading(writer, "Missing");
    for (uint32_t i = 0; i < answer->missing_count; i++) {
        write_wrapped(writer, TEXT("  - "),
                      render_missing(writer->arena, &answer->missing[i]));
    }
    write_how_to_say(writer, answer);
}

/* ---- the chain */

text render_value(struct arena *arena, const struct names *names, struct value value)
{
    switch (value.kind) {
    case VALUE_QUANTITY:
        return value.quantity == NULL ? TEXT("?") : form_write(arena, value.quantity);
    case VALUE_COUNT:
        return text_format(arena, "%lld", (long long)value.count);
    case VALUE_WORD:
        return names_text(names, value.word);
    case VALUE_TRUTH:
        return value.truth == TRUTH_YES ? TEXT("yes") : TEXT("no");
    case VALUE_MISSING:
        return TEXT("not known");
    case VALUE_NONE:
        break;
    }
    return TEXT("");
}

text render_row_values(const struct answer *answer, struct arena *arena,
                       const struct row *row)
{
    const struct relation_shape *shape = store_shape(answer->store, row->relation);
    text all = {"", 0};
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const text value = render_value(arena, answer->names, row->values[v]);
        const bool is_known = row->values[v].kind != VALUE_MISSING && value.length > 0 &&
                              !text_is(value, "not known");
        if (is_known) {
            all = text_format(
                arena, "%.*s%s%.*s %.*s", TEXT_ARG(all), all.length > 0 ? ", " : ": ",
                TEXT_ARG(
                    names_text(answer->names, shape->columns[shape->key_count + v].name)),
                TEXT_ARG(value));
        }
    }
    return all;
}

text render_step_by(const struct answer *answer, struct arena *arena,
                    const struct step *step)
{
    if (step->row->origin == ORIGIN_FACT) {
        const struct place_in_text at =
            sources_locate(answer->knowledge->sources, step->row->where);
        return at.line == 0 ? TEXT("as asked")
                            : text_format(arena, "%.*s:%u", TEXT_ARG(at.file), at.line);
    }
    return step->rule != NULL
               ? text_format(arena, "rule %.*s",
                             TEXT_ARG(names_text(answer->names, step->rule->name)))
               : text_of(step->row->more->computation);
}

text render_step_row(const struct answer *answer, struct arena *arena,
                     const struct step *step)
{
    return text_format(
        arena, "%.*s%.*s%s",
        TEXT_ARG(row_write(arena, answer->store, answer->names, step->row)),
        TEXT_ARG(render_row_values(answer, arena, step->row)),
        step->row->standing == STANDING_OPEN ? " (open)" : "");
}

text render_binding(const struct answer *answer, struct arena *arena,
                    const struct binding *binding)
{
    return text_format(arena, "%.*s = %.*s = %.*s", TEXT_ARG(binding->name),
                       TEXT_ARG(formula_text(binding->formula)),
                       TEXT_ARG(render_value(arena, answer->names, binding->value)));
}

static text step_reason(const struct answer *answer, struct arena *arena,
                        const struct step *step)
{
    text from = render_step_by(answer, arena, step);
    for (uint32_t i = 0; i < step->from_count; i++) {
        from = text_format(arena, "%.*s%s%u", TEXT_ARG(from), i == 0 ? ", from " : ", ",
                           step->from[i]);
    }
    return from;
}

static void write_step(struct writer *writer, const struct answer *answer,
                       const struct step *step)
{
    struct arena *arena = writer->arena;
    write_wrapped(writer, text_format(arena, "  %4u  ", step->id),
                  render_step_row(answer, arena, step));
    for (uint32_t i = 0; i < step->binding_count; i++) {
        const struct binding *binding = &step->bindings[i];
        if (binding->formula != NULL) {
            write_wrapped(writer, TEXT("          "),
                          render_binding(answer, arena, binding));
        }
    }
    write_wrapped(writer, TEXT("          by "), step_reason(answer, arena, step));
}

void render_chain(struct writer *writer, const struct answer *answer)
{
    render_heading(writer, "The chain, from findings down to facts");
    for (uint32_t i = 0; i < answer->step_count; i++) {
        write_step(writer, answer, &answer->steps[i]);
    }
}

void render_answer_text(struct writer *writer, const struct answer *answer,
                        bool with_chain)
{
    write_verdict(writer, answer);
    write_findings(writer, answer);
    write_work(writer, answer);
    write_mends(writer, answer);
    write_missing(writer, answer);
    render_list(writer, "Left over", answer->left_over, answer->left_over_count);
    render_list(writer, "Left empty", answer->left_empty, answer->left_empty_count);
    if (with_chain) {
        render_chain(writer, answer);
    }
    render_list(writer, "Assumed", answer->assumed, answer->assumed_count);
    render_list(writer, "Not looked at", answer->not_looked_at,
                answer->not_looked_at_count);
    if (answer->caution.length > 0) {
        render_heading(writer, "Caution");
        write_wrapped(writer, TEXT("  "), answer->caution);
    }
}

/* ---- the small answers */

void render_value_text(struct writer *writer, const struct names *names,
                       struct value value)
{
    double nominal = 0;
    const bool is_quantity = value.kind == VALUE_QUANTITY && value.quantity != NULL;
    if (value.kind == VALUE_TRUTH) {
        static const char *const words[] = {"no", "yes", "unsure", "unknown"};
        write_format(writer, "%s\n", words[value.truth]);
    } else if (is_quantity && value.quantity->undefined != NULL) {
        write_format(writer, "no number: %s\n", value.quantity->undefined);
    } else if (is_quantity && !form_is_exact(value.quantity) &&
               form_nominal(value.quantity, &nominal)) {
        const struct form *form = value.quantity;
        const text middle = magnitude_write(writer->arena, form->dim, nominal, -1);
        const text range = form_write(writer->arena, form);
        const text spread =
            magnitude_write(writer->arena, form->dim, form_spread(form), -1);
        write_format(writer, "%.*s (worst case %.*s; one sigma %.*s)\n", TEXT_ARG(middle),
                     TEXT_ARG(range), TEXT_ARG(spread));
    } else {
        write_format(writer, "%.*s\n",
                     TEXT_ARG(render_value(writer->arena, names, value)));
    }
}

static void write_side(struct writer *writer, const char *side, text size,
                       text tolerance_class, const struct form *form)
{
    const double nominal = form->nominal;
    write_format(
        writer, "  %s %.*s %.*s: %.*s, deviations %.*s and %.*s\n", side, TEXT_ARG(size),
        TEXT_ARG(tolerance_class), TEXT_ARG(form_write(writer->arena, form)),
        TEXT_ARG(magnitude_write(writer->arena, form->dim, form->least - nominal, -1)),
        TEXT_ARG(
            magnitude_write(writer->arena, form->dim, form->greatest - nominal, -1)));
}

void render_fit_text(struct writer *writer, const struct reckoned_fit *fit)
{
    if (fit->hole != NULL) {
        write_side(writer, "hole ", fit->size, fit->hole_class, fit->hole);
    }
    if (fit->shaft != NULL) {
        write_side(writer, "shaft", fit->size, fit->shaft_class, fit->shaft);
    }
    if (fit->clearance == NULL) {
        return;
    }
    const struct form *between = fit->clearance;
    struct arena *arena = writer->arena;
    const text tightest = magnitude_write(
        arena, between->dim, between->least < 0 ? -between->least : between->least, -1);
    const text loosest = magnitude_write(
        arena, between->dim,
        between->greatest < 0 ? -between->greatest : between->greatest, -1);
    write_format(writer, "  %s: from %.*s %s to %.*s %s\n",
                 between->least >= 0      ? "clearance fit"
                 : between->greatest <= 0 ? "interference fit"
                                          : "transition fit",
                 TEXT_ARG(tightest), between->least < 0 ? "interference" : "clearance",
                 TEXT_ARG(loosest), between->greatest < 0 ? "interference" : "clearance");
}

void render_shown(struct writer *writer, const struct shown *shown)
{
    write_format(writer, "%.*s\n", TEXT_ARG(shown->heading));
    for (uint32_t i = 0; i < shown->count; i++) {
        write_wrapped(
            writer,
            text_format(writer->arena, "  %.*s: ", TEXT_ARG(shown->lines[i].label)),
            shown->lines[i].what);
    }
}

void render_effort_text(struct writer *writer, const struct effort *effort)
{
    write_format(writer, "\neffort: %llu rows read, %llu rows added, %llu steps\n",
                 (unsigned long long)effort->rows_read,
                 (unsigned long long)effort->counts.rows_added,
                 (unsigned long long)effort->counts.premises_tried);
}

void render_problems_text(struct writer *writer, const struct diagnostics *problems,
                          const struct sources *sources)
{
    const uint32_t kept = diagnostics_kept(problems);
    for (uint32_t i = 0; i < kept; i++) {
        write_text(writer,
                   diagnostic_write(writer->arena, diagnostics_at(problems, i), sources));
    }
    if (diagnostics_count(problems) > kept) {
        write_format(writer, "and %u more\n", diagnostics_count(problems) - kept);
    }
}
