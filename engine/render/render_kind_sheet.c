/* SPDX-License-Identifier: MIT */
/*
 * A measuring sheet by kind in words: what to read in the order in which one goes over
 * the bench, with a blank for each; and the same as a part file, to be filled in.
 */
#include "phrases.h"

enum {
    CHECKS_NAMED = 3 /* of a field, in words; JSON names all */
};

static const struct kind_feature *feature_of(const struct kind_sheet *sheet, uint32_t i)
{
    return &sheet->features[sheet->blanks[i].feature];
}

static const struct kind_field *field_of(const struct kind_sheet *sheet, uint32_t i)
{
    return &feature_of(sheet, i)->fields[sheet->blanks[i].field];
}

/* ---- the sheet */

const char *kind_sheet_stage(const struct kind_feature *feature,
                             const struct kind_field *field)
{
    return field->is_elsewhere    ? "From a drawing, a marking or a laboratory"
           : feature->is_together ? "With the unit together"
                                  : "With the unit apart";
}

text kind_sheet_gauge(struct arena *arena, const struct kind_field *field)
{
    return field->gauge != NULL ? field->gauge->title
           : field->is_elsewhere
               ? (field->got_by.length > 0 ? render_ways(arena, field->got_by)
                                           : TEXT("nobody says how it is got"))
               : text_format(arena, "no gauge at hand (%.*s)",
                             TEXT_ARG(render_ways(arena, field->got_by)));
}

text kind_sheet_choices(struct arena *arena, const struct names *names,
                        const struct column *column)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < column->choice_count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(names_text(names, column->choices[i])));
    }
    return all;
}

text kind_sheet_checks(struct arena *arena, const struct kind_field *field)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < field->check_count && i < CHECKS_NAMED; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : ", ",
                          TEXT_ARG(field->checks[i]));
    }
    return field->check_count == 0 ? TEXT("where it lies, and what lies on it")
           : field->check_count > CHECKS_NAMED
               ? text_format(arena, "%.*s and %u more", TEXT_ARG(all),
                             field->check_count - CHECKS_NAMED)
               : all;
}

text kind_sheet_what(struct arena *arena, const struct kind_feature *feature,
                     const struct kind_field *field)
{
    return feature->list.length == 0
               ? field->name
               : text_format(arena, "%.*s %.*s, %.*s", TEXT_ARG(feature->relation),
                             TEXT_ARG(feature->name), TEXT_ARG(field->name));
}

static void write_blank(struct writer *writer, const struct answer *answer, uint32_t i)
{
    const struct kind_sheet *sheet = answer->kind_sheet;
    const struct kind_feature *feature = feature_of(sheet, i);
    const struct kind_field *field = field_of(sheet, i);
    struct arena *arena = writer->arena;
    const text choices = kind_sheet_choices(arena, answer->names, field->column);
    const text what = kind_sheet_what(arena, feature, field);
    const int room = 50 - (int)what.length;
    write_format(writer, "  %3u  %.*s%*s ______________%s%.*s\n", i + 1, TEXT_ARG(what),
                 room > 0 ? room : 0, "", field->unit.length > 0 ? " " : "",
                 TEXT_ARG(field->unit));
    if (field->counted_from.length > 0) {
        write_wrapped(writer, TEXT("       from  "), field->counted_from);
    }
    if (choices.length > 0) {
        write_wrapped(writer, TEXT("       is    "), choices);
    }
    write_wrapped(writer, TEXT("       for   "), kind_sheet_checks(arena, field));
}

text kind_sheet_headline(struct arena *arena, const struct answer *answer)
{
    const struct kind_sheet *sheet = answer->kind_sheet;
    return text_format(arena, "measuring sheet of a %.*s, %u blanks",
                       TEXT_ARG(sheet->kind), sheet->blank_count);
}

text kind_sheet_counted(struct arena *arena, const struct kind_sheet *sheet)
{
    return sheet->datum.length == 0
               ? sheet->datum
               : text_format(arena, "positions from the face %.*s, + is outboard",
                             TEXT_ARG(sheet->datum));
}

text kind_sheet_then(void)
{
    return TEXT(
        "whyfit measure --kind KIND --out FILE writes a part file with these "
        "blanks; filled in it is read with --with. What a part does not have, and "
        "what nobody can read, is crossed out.");
}

void render_kind_sheet_text(struct writer *writer, const struct answer *answer)
{
    const struct kind_sheet *sheet = answer->kind_sheet;
    struct arena *arena = writer->arena;
    const char *stage = "";
    text gauge = {"", 0};
    write_wrapped(writer, TEXT(""), kind_sheet_headline(arena, answer));
    write_wrapped(writer, TEXT("  is       "), sheet->says);
    if (sheet->datum.length > 0) {
        write_wrapped(writer, TEXT("  counted  "), kind_sheet_counted(arena, sheet));
    }
    write_text(writer, TEXT("  number   ____________________  source  "
                            "____________________________\n"));
    for (uint32_t i = 0; i < sheet->blank_count; i++) {
        const char *now = kind_sheet_stage(feature_of(sheet, i), field_of(sheet, i));
        const text with = kind_sheet_gauge(arena, field_of(sheet, i));
        if (now != stage) {
            render_heading(writer, now);
            stage = now;
            gauge = (text){"", 0};
        }
        if (!text_equal(with, gauge)) {
            write_wrapped(writer, TEXT("  "), with);
            gauge = with;
        }
        write_blank(writer, answer, i);
    }
    render_heading(writer, "Then");
    write_wrapped(writer, TEXT("  "), kind_sheet_then());
    render_heading(writer, "Caution");
    write_wrapped(writer, TEXT("  "), answer->caution);
}

/* ---- the part file */

static void write_hint(struct writer *writer, const struct answer *answer,
                       const struct kind_field *field)
{
    struct arena *arena = writer->arena;
    const text choices = kind_sheet_choices(arena, answer->names, field->column);
    const char *what = field->unit.length > 0                ? ""
                       : field->column->kind == COLUMN_COUNT ? "a count"
                       : choices.length > 0                  ? ""
                                                             : "a word";
    write_format(writer, "  # %.*s%.*s%s; %.*s%s\n", TEXT_ARG(field->unit),
                 TEXT_ARG(choices), what, TEXT_ARG(kind_sheet_gauge(arena, field)),
                 field->is_due ? "; must be written" : "");
}

static void write_fields(struct writer *writer, const struct answer *answer,
                         const struct kind_feature *feature, const char *indent)
{
    if (feature->is_datum) {
        write_format(writer, "%sat: 0 mm\n", indent);
    }
    for (uint32_t i = 0; i < feature->word_count; i++) {
        write_format(writer, "%s%.*s: %.*s\n", indent, TEXT_ARG(feature->words[i].name),
                     TEXT_ARG(feature->words[i].value));
    }
    for (uint32_t i = 0; i < feature->field_count; i++) {
        write_format(writer, "%s%.*s:", indent, TEXT_ARG(feature->fields[i].name));
        write_hint(writer, answer, &feature->fields[i]);
    }
}

void render_kind_part_file(struct writer *writer, const struct answer *answer)
{
    const struct kind_sheet *sheet = answer->kind_sheet;
    text list = {"", 0};
    write_format(
        writer,
        "# A part to be filled in: a value behind every colon, \"18.02 ±0.03 mm\" or\n"
        "# {measured: 18.02 mm, with: caliper}. Take out the lines of what it does not\n"
        "# have, and of what nobody can read: that then counts as not known.\n"
        "part:  # a name of your own, such as my-%.*s\n"
        "title:  # what it is\n"
        "kind: %.*s\n"
        "source:  # measured by whom, on how many pieces\n",
        TEXT_ARG(sheet->kind), TEXT_ARG(sheet->kind));
    if (sheet->datum.length > 0) {
        write_format(writer, "datum: %.*s\n", TEXT_ARG(sheet->datum));
    }
    for (uint32_t i = 0; i < sheet->feature_count; i++) {
        const struct kind_feature *feature = &sheet->features[i];
        if (feature->list.length == 0) {
            write_fields(writer, answer, feature, "");
            continue;
        }
        if (!text_equal(feature->list, list)) {
            list = feature->list;
            write_format(writer, "%.*s:\n", TEXT_ARG(list));
        }
        write_format(writer, "  %.*s:\n", TEXT_ARG(feature->name));
        write_fields(writer, answer, feature, "    ");
    }
}
