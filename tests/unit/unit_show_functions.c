/* SPDX-License-Identifier: MIT */
/* `show functions` says all there is to know of each function, within 80 columns, and
 * `reckon` reaches each by the name that is shown. */
#include "whyfit.h"

#include <criterion/criterion.h>
#include <jansson.h>
#include <stdio.h>
#include <string.h>

struct page {
    char at[200000];
    size_t length;
};

static bool take(void *context, const char *bytes, size_t length)
{
    struct page *page = context;
    if (length >= sizeof page->at - page->length) {
        return false;
    }
    memcpy(page->at + page->length, bytes, length);
    page->length += length;
    page->at[page->length] = '\0';
    return true;
}

static whyfit_knowledge *load(void)
{
    static const whyfit_source sources[] = {{WHYFIT_ROOT "/rules", NULL, 0},
                                            {WHYFIT_ROOT "/facts", NULL, 0}};
    whyfit_knowledge *knowledge = NULL;
    cr_assert_eq(whyfit_load(sources, 2, NULL, &knowledge, NULL), WHYFIT_OK);
    return knowledge;
}

static json_t *functions_of(const whyfit_knowledge *knowledge)
{
    static struct page page;
    page.length = 0;
    cr_assert_eq(whyfit_show(knowledge, "functions", WHYFIT_JSON, take, &page, NULL),
                 WHYFIT_OK);
    json_t *tree = json_loads(page.at, 0, NULL);
    cr_assert_not_null(tree);
    return tree;
}

Test(show_functions, each_says_all_there_is_to_know)
{
    static const char *const said[] = {"name", "says", "range", "source"};
    whyfit_knowledge *knowledge = load();
    json_t *tree = functions_of(knowledge);
    size_t index = 0;
    json_t *function = NULL;
    cr_assert_geq(json_array_size(json_object_get(tree, "functions")), 7);
    json_array_foreach(json_object_get(tree, "functions"), index, function)
    {
        const char *name = json_string_value(json_object_get(function, "name"));
        for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
            const char *word = json_string_value(json_object_get(function, said[i]));
            cr_expect(word != NULL && word[0] != '\0', "%s has no %s", name, said[i]);
        }
        cr_expect_gt(json_array_size(json_object_get(function, "arguments")), 0);
        cr_expect_not_null(
            json_object_get(json_object_get(function, "result"), "dimension"));
    }
    json_decref(tree);
    whyfit_knowledge_free(knowledge);
}

/* A number of the dimension an argument takes; "any" and "same" are lengths here. */
static bool write_argument(const json_t *argument, char *out, size_t room)
{
    const char *dimension = json_string_value(json_object_get(argument, "dimension"));
    const char *unit = json_string_value(json_object_get(argument, "unit"));
    const bool is_open = strcmp(dimension, "any") == 0 || strcmp(dimension, "same") == 0;
    (void)snprintf(out, room, "1 %s", is_open ? "mm" : unit == NULL ? "" : unit);
    return strcmp(dimension, "word") != 0;
}

Test(show_functions, reckon_reaches_each_by_name)
{
    whyfit_knowledge *knowledge = load();
    json_t *tree = functions_of(knowledge);
    size_t index = 0;
    size_t reached = 0;
    json_t *function = NULL;
    json_array_foreach(json_object_get(tree, "functions"), index, function)
    {
        static struct page page;
        char call[1024];
        const json_t *arguments = json_object_get(function, "arguments");
        bool is_reckoned = true;
        int at = snprintf(call, sizeof call, "%s(",
                          json_string_value(json_object_get(function, "name")));
        for (size_t i = 0; i < json_array_size(arguments); i++) {
            char one[64];
            is_reckoned = write_argument(json_array_get(arguments, i), one, sizeof one) &&
                          is_reckoned;
            at += snprintf(call + at, sizeof call - (size_t)at, "%s%s",
                           i == 0 ? "" : ", ", one);
        }
        (void)snprintf(call + at, sizeof call - (size_t)at, ")");
        if (is_reckoned) { /* those that take pieces need a unit to look at */
            page.length = 0;
            reached++;
            cr_expect_eq(whyfit_reckon(knowledge, call, WHYFIT_TEXT, take, &page, NULL),
                         WHYFIT_OK, "%s is not reckoned", call);
        }
    }
    cr_assert_geq(reached, 5);
    json_decref(tree);
    whyfit_knowledge_free(knowledge);
}

Test(show_functions, lines_fit_a_terminal)
{
    static struct page page;
    whyfit_knowledge *knowledge = load();
    cr_assert_eq(whyfit_show(knowledge, "functions", WHYFIT_TEXT, take, &page, NULL),
                 WHYFIT_OK);
    for (const char *line = page.at; *line != '\0';) {
        const size_t length = strcspn(line, "\n");
        cr_expect_leq(length, 80, "%.*s", (int)length, line);
        line += length + (line[length] == '\n');
    }
    whyfit_knowledge_free(knowledge);
}
