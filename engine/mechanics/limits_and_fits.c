/* SPDX-License-Identifier: MIT */
/*
 * Rules of ISO 286-1 over its tables. A row is found by letter, or by letter and grade
 * (j6, J7) where the letter alone does not settle it; a size picks the step.
 *
 *  - shafts a to h: es from the table, ei = es - IT; j to zc: ei from it, es = ei + IT
 *  - holes A to H: EI from the table, ES = EI + IT; J to ZC: ES from it, EI = ES - IT
 *  - js, JS: half of IT either way; the half is not rounded
 *  - K, M, N up to IT8 and P to ZC up to IT7: ES = base + delta of that grade
 *  - M6 over 250 up to 315 mm: ES = -9 um; N above IT8 has a row of its own
 *  - k: its row holds for IT4 to IT7, else ei = 0
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

/* Why the system has no such class at this size, or NULL where it may have one. */
static const char *why_not_used(const struct class_parts *parts, double size_mm)
{
    if (parts->grade_number >= 14 && size_mm <= 1.0) {
        return "IT14 and coarser are not used for sizes up to 1 mm";
    }
    if (text_is(parts->letters, "K") && parts->grade_number > 8 && size_mm > 3.0) {
        return "K coarser than IT8 is defined only for sizes up to 3 mm";
    }
    if (text_is(parts->letters, "N") && parts->grade_number > 8 && size_mm <= 1.0) {
        return "N coarser than IT8 is not used for sizes up to 1 mm";
    }
    return NULL;
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
        return true;
    }
    if (text_is(letters, "N") && grade > 8) {
        return row_value(&table->hole_es, TEXT("N-above-8"), sub, out);
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

/* Both deviations (um) of a class whose grade is `width` wide. A letter has a row for its
 * lower or for its upper deviation, never for both. */
static bool deviations(const struct limits_table *table, const struct class_parts *parts,
                       double size_mm, int main_step, double width, double *low,
                       double *high)
{
    const int sub = step_of(table->sub_steps, table->sub_count, size_mm);
    if (text_is(parts->letters, "js") || text_is(parts->letters, "JS")) {
        *low = -width / 2;
        *high = width / 2;
        return true;
    }
    if (parts->is_hole ? row_value(&table->hole_ei, parts->letters, sub, low)
                       : shaft_lower(table, parts, sub, low)) {
        *high = *low + width;
        return true;
    }
    if (parts->is_hole ? hole_upper(table, parts, size_mm, main_step, sub, high)
                       : row_value(&table->shaft_es, parts->letters, sub, high)) {
        *low = *high - width;
        return true;
    }
    return false;
}

status limits_of_class(const struct limits_table *table, double size_nm,
                       text tolerance_class, double *low_nm, double *high_nm,
                       const char **why)
{
    struct class_parts parts;
    double width = 0;
    double low = 0;
    double high = 0;
    const double size_mm = size_nm / 1e6;
    const int main_step = step_of(table->main_steps, table->main_count, size_mm);
    if (main_step == NO_STEP) {
        *why = "the table covers sizes above 0 up to 500 mm";
        return STATUS_NOT_FOUND;
    }
    *why = "the table has no such tolerance class";
    if (!split_class(tolerance_class, &parts)) {
        return STATUS_NOT_FOUND;
    }
    if (!joined_value(&table->grades, TEXT("IT"), parts.grade, main_step, &width)) {
        *why = "the table has no such tolerance grade";
        return STATUS_NOT_FOUND;
    }
    const char *const unused = why_not_used(&parts, size_mm);
    if (unused != NULL) {
        *why = unused;
        return STATUS_NOT_FOUND;
    }
    if (!deviations(table, &parts, size_mm, main_step, width, &low, &high)) {
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
