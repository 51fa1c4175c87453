/* SPDX-License-Identifier: MIT */
/*
 * Rules of ISO 286-1 over its tables:
 *   shafts a … h: es from the table, ei = es - IT; j … zc: ei from the table, es = ei +
 * IT holes  A … H: EI from the table, ES = EI + IT; J … ZC: ES from the table, EI = ES -
 * IT js, JS: ± IT / 2 (the half is not rounded) K, M, N to IT8 and P … ZC to IT7: ES =
 * base + delta of that grade M6 over 250 to 315 mm: ES = -9 um; N above IT8 has a row of
 * its own; K above IT8 only to 3 mm k: the row holds for IT4 … IT7, else ei = 0
 */
#include "limits_and_fits.h"

enum {
    NO_STEP = -1
};

struct class_parts {
    text letters;
    text grade; /* digits */
    int grade_number;
    bool is_hole;
};

static int step_of(const double *ends, uint32_t count, double size_mm)
{
    for (uint32_t i = 0; i < count; i++) {
        if (size_mm > 0 && size_mm <= ends[i]) {
            return (int)i;
        }
    }
    return NO_STEP;
}

static const struct limits_row *find_row(const struct limits_list *list, text name)
{
    for (uint32_t i = 0; i < list->count; i++) {
        if (text_equal(list->rows[i].name, name)) {
            return &list->rows[i];
        }
    }
    return NULL;
}

static bool row_value(const struct limits_list *list, text name, int step, double *out)
{
    const struct limits_row *row = find_row(list, name);
    if (row == NULL || step < 0 || (uint32_t)step >= row->count) {
        return false;
    }
    *out = row->um[step];
    return true;
}

static bool split_class(text word, struct class_parts *out)
{
    size_t letters = 0;
    while (letters < word.length && is_letter(word.at[letters])) {
        letters++;
    }
    out->letters = text_slice(word, 0, letters);
    out->grade = text_slice(word, letters, word.length);
    out->grade_number = 0;
    for (size_t i = 0; i < out->grade.length; i++) {
        if (!is_digit(out->grade.at[i])) {
            return false;
        }
        out->grade_number = out->grade_number * 10 + (out->grade.at[i] - '0');
    }
    out->is_hole = letters > 0 && word.at[0] >= 'A' && word.at[0] <= 'Z';
    return letters > 0 && out->grade.length > 0 && out->grade.length <= 2;
}

/* Names made of pieces ("IT" + "7") are compared without building them. */
static const struct limits_row *find_joined(const struct limits_list *list, text first,
                                            text second)
{
    for (uint32_t i = 0; i < list->count; i++) {
        const text name = list->rows[i].name;
        if (name.length == first.length + second.length && text_starts(name, first) &&
            text_ends(name, second)) {
            return &list->rows[i];
        }
    }
    return NULL;
}

static bool joined_value(const struct limits_list *list, text first, text second,
                         int step, double *out)
{
    const struct limits_row *row = find_joined(list, first, second);
    if (row == NULL || step < 0 || (uint32_t)step >= row->count) {
        return false;
    }
    *out = row->um[step];
    return true;
}

/* ei of j … zc, where some rows hold only for some grades. */
static bool shaft_lower(const struct limits_table *table, const struct class_parts *parts,
                        int sub, double *out)
{
    if (text_is(parts->letters, "k") &&
        (parts->grade_number < 4 || parts->grade_number > 7)) {
        *out = 0.0;
        return true;
    }
    return joined_value(&table->shaft_ei, parts->letters, parts->grade, sub, out) ||
           row_value(&table->shaft_ei, parts->letters, sub, out);
}

static bool is_one_of(text letters, const char *first, const char *second,
                      const char *third)
{
    return text_is(letters, first) || text_is(letters, second) || text_is(letters, third);
}

/* ES of J … ZC with the delta rule. */
static bool hole_upper(const struct limits_table *table, const struct class_parts *parts,
                       double size_mm, int main_step, int sub, double *out)
{
    const text letters = parts->letters;
    const int grade = parts->grade_number;
    double delta = 0.0;
    if (joined_value(&table->hole_es, letters, parts->grade, sub, out)) {
        return true; /* J6, J7, J8 */
    }
    if (text_is(letters, "K") && grade > 8) {
        *out = 0.0;
        return size_mm <= 3.0;
    }
    if (text_is(letters, "N") && grade > 8) {
        return size_mm > 1.0 && row_value(&table->hole_es, TEXT("N-above-8"), sub, out);
    }
    if (text_is(letters, "M") && grade == 6 && size_mm > 250.0 && size_mm <= 315.0) {
        *out = -9.0;
        return true;
    }
    if (!row_value(&table->hole_es, letters, sub, out)) {
        return false;
    }
    const bool takes_delta = is_one_of(letters, "K", "M", "N") ? grade <= 8 : grade <= 7;
    if (takes_delta) {
        (void)joined_value(&table->delta, TEXT("IT"), parts->grade, main_step, &delta);
    }
    *out += delta;
    return true;
}

status limits_of_class(const struct limits_table *table, double size_nm,
                       text tolerance_class, double *low_nm, double *high_nm,
                       const char **why)
{
    struct class_parts parts;
    double width = 0;
    double edge = 0;
    const double size_mm = size_nm / 1e6;
    const int main_step = step_of(table->main_steps, table->main_count, size_mm);
    const int sub = step_of(table->sub_steps, table->sub_count, size_mm);
    *why = "the table has no such tolerance class";
    if (main_step == NO_STEP || sub == NO_STEP) {
        *why = "the table covers sizes above 0 up to 500 mm";
        return STATUS_NOT_FOUND;
    }
    if (!split_class(tolerance_class, &parts) ||
        !joined_value(&table->grades, TEXT("IT"), parts.grade, main_step, &width)) {
        return STATUS_NOT_FOUND;
    }
    if (parts.grade_number >= 14 && size_mm <= 1.0) {
        *why = "IT14 and coarser are not used for sizes up to 1 mm";
        return STATUS_NOT_FOUND;
    }
    double low = 0;
    double high = 0;
    if (text_is(parts.letters, "js") || text_is(parts.letters, "JS")) {
        low = -width / 2;
        high = width / 2;
    } else if (!parts.is_hole && row_value(&table->shaft_es, parts.letters, sub, &edge)) {
        high = edge;
        low = edge - width;
    } else if (!parts.is_hole && shaft_lower(table, &parts, sub, &edge)) {
        low = edge;
        high = edge + width;
    } else if (parts.is_hole && row_value(&table->hole_ei, parts.letters, sub, &edge)) {
        low = edge;
        high = edge + width;
    } else if (parts.is_hole &&
               hole_upper(table, &parts, size_mm, main_step, sub, &edge)) {
        high = edge;
        low = edge - width;
    } else {
        return STATUS_NOT_FOUND;
    }
    *low_nm = low * 1e3;
    *high_nm = high * 1e3;
    return STATUS_OK;
}

status limits_resolve(const void *table, double size_nm, text tolerance_class,
                      double *low_nm, double *high_nm, const char **why)
{
    return limits_of_class(table, size_nm, tolerance_class, low_nm, high_nm, why);
}
