/* SPDX-License-Identifier: MIT */
/* What came of worked cases, in words and as JSON. */
#include "json_words.h"
#include "render.h"

static struct place_in_text place_of(const struct tried_case *tried,
                                     const struct sources *sources)
{
    return sources_locate(sources, tried->of->where);
}

static void write_difference(struct writer *writer, const struct difference *one,
                             bool is_headed)
{
    switch (one->kind) {
    case FINDING_ABSENT:
        write_wrapped(writer, TEXT("  missing     "), one->finding);
        if (one->got.length > 0) {
            write_wrapped(writer, TEXT("              found of this rule: "), one->got);
        }
        break;
    case FINDING_UNEXPECTED:
        write_wrapped(writer, TEXT("  unexpected  "), one->finding);
        write_wrapped(writer, TEXT("              "), one->got);
        break;
    case DIFFERS:
        if (one->finding.length > 0 && !is_headed) {
            write_wrapped(writer, TEXT("  "), one->finding);
        }
        /* A fault is quoted as it is, with the line that it points into. */
        if (text_find(one->got, '\n', 0) < one->got.length) {
            write_format(writer, "  %.*s: expected %.*s | got %.*s", TEXT_ARG(one->what),
                         TEXT_ARG(one->expected), TEXT_ARG(one->got));
            break;
        }
        write_wrapped(writer,
                      text_format(writer->arena,
                                  "%s%.*s: ", one->finding.length > 0 ? "    " : "  ",
                                  TEXT_ARG(one->what)),
                      text_format(writer->arena, "expected %.*s | got %.*s",
                                  TEXT_ARG(one->expected), TEXT_ARG(one->got)));
        break;
    }
}

void render_tried_text(struct writer *writer, const struct tried_case *tried,
                       const struct sources *sources)
{
    const struct place_in_text at = place_of(tried, sources);
    write_wrapped(writer, TEXT(""),
                  text_format(writer->arena, "%.*s:%u: %.*s", TEXT_ARG(at.file), at.line,
                              TEXT_ARG(tried->of->name)));
    for (uint32_t i = 0; i < tried->difference_count; i++) {
        const struct difference *one = &tried->differences[i];
        write_difference(writer, one,
                         i > 0 && one[-1].kind == DIFFERS &&
                             text_equal(one[-1].finding, one->finding));
    }
}

void render_trial_text(struct writer *writer, const struct trial_counts *counts)
{
    write_format(writer, "%u file%s, %u case%s: %u came out, %u differ%s", counts->files,
                 counts->files == 1 ? "" : "s", counts->cases,
                 counts->cases == 1 ? "" : "s", counts->came_out, counts->differ,
                 counts->differ == 1 ? "s" : "");
    if (counts->files_at_fault > 0) {
        write_format(writer, "; %u file%s at fault", counts->files_at_fault,
                     counts->files_at_fault == 1 ? "" : "s");
    }
    write_format(writer, "\n");
}

static json_t *optional(text a)
{
    return a.length == 0 ? json_null() : json_text(a);
}

status render_tried_json(struct writer *writer, const struct tried_case *tried,
                         const struct sources *sources)
{
    const struct place_in_text at = place_of(tried, sources);
    json_t *object = json_object();
    json_t *differences = json_array();
    for (uint32_t i = 0; i < tried->difference_count; i++) {
        const struct difference *one = &tried->differences[i];
        json_t *entry = json_object();
        json_set(entry, "kind", json_word(difference_word(one->kind)));
        json_set(entry, "finding", optional(one->finding));
        json_set(entry, "what", optional(one->what));
        json_set(entry, "expected", optional(one->expected));
        json_set(entry, "got", optional(one->got));
        json_push(differences, entry);
    }
    json_set(object, "case", json_text(tried->of->name));
    json_set(object, "file", json_text(at.file));
    json_set(object, "line", json_integer(at.line));
    json_set(object, "came_out", json_boolean(tried->difference_count == 0));
    json_set(object, "differences", differences);
    return json_write(writer, object);
}

status render_trial_json(struct writer *writer, const struct trial_counts *counts)
{
    json_t *object = json_object();
    json_set(object, "schema", json_integer(1));
    json_set(object, "files", json_integer(counts->files));
    json_set(object, "cases", json_integer(counts->cases));
    json_set(object, "came_out", json_integer(counts->came_out));
    json_set(object, "differ", json_integer(counts->differ));
    json_set(object, "files_at_fault", json_integer(counts->files_at_fault));
    return json_write(writer, object);
}
