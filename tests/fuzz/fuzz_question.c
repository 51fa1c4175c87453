/* SPDX-License-Identifier: MIT */
/* Any bytes as a question about the demo: it is answered, or refused with a reason. */
#include "whyfit.h"

#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(bool is_so, const char *what)
{
    if (!is_so) {
        (void)fprintf(stderr, "%s\n", what);
        abort();
    }
}

static bool count_bytes(void *context, const char *bytes, size_t length)
{
    (void)bytes;
    *(size_t *)context += length;
    return true;
}

/* The demo, loaded at the first call and kept until the process ends. */
static whyfit_asker *demo(void)
{
    static whyfit_asker *asker;
    if (asker == NULL) {
        const whyfit_source sources[] = {{WHYFIT_ROOT "/rules", NULL, 0},
                                         {WHYFIT_ROOT "/facts", NULL, 0},
                                         {WHYFIT_ROOT "/demo/mower", NULL, 0}};
        whyfit_ask_options options = WHYFIT_ASK_OPTIONS;
        whyfit_knowledge *knowledge = NULL;
        options.row_limit = 100000;
        options.step_limit = 2000000;
        options.memory_limit = (size_t)512 << 20;
        require(whyfit_load(sources, 3, NULL, &knowledge, NULL) == WHYFIT_OK &&
                    whyfit_asker_open(knowledge, &options, &asker) == WHYFIT_OK,
                "the demo does not load");
    }
    return asker;
}

static void check_answer(const whyfit_answer *answer)
{
    whyfit_write_options how = WHYFIT_WRITE_OPTIONS;
    whyfit_finding finding;
    size_t written = 0;
    require(whyfit_answer_verdict(answer) <= WHYFIT_NOT_KNOWN, "the verdict is none");
    for (size_t i = 0; whyfit_answer_finding(answer, i, &finding); i++) {
        require(finding.rule != NULL && finding.sentence != NULL,
                "a finding says nothing");
    }
    how.with_chain = true;
    for (int form = WHYFIT_TEXT; form <= WHYFIT_JSON; form++) {
        how.format = (whyfit_format)form;
        require(whyfit_answer_write(answer, &how, count_bytes, &written) == WHYFIT_OK &&
                    written > 0,
                "the answer cannot be written");
        written = 0;
    }
}

static void check_problems(const whyfit_problems *problems)
{
    size_t written = 0;
    require(problems != NULL && whyfit_problems_count(problems) > 0,
            "no reason is given");
    for (int form = WHYFIT_TEXT; form <= WHYFIT_JSON; form++) {
        require(whyfit_problems_write(problems, (whyfit_format)form, count_bytes,
                                      &written) == WHYFIT_OK &&
                    written > 0,
                "the reason cannot be written");
        written = 0;
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    whyfit_answer *answer = NULL;
    whyfit_problems *problems = NULL;
    const whyfit_status asked = whyfit_ask_json(
        demo(), size == 0 ? "" : (const char *)data, size, &answer, &problems);
    require((asked == WHYFIT_OK) == (answer != NULL), "an answer without its status");
    require(asked != WHYFIT_OK || problems == NULL, "a verdict beside a fault");
    if (answer != NULL) {
        check_answer(answer);
    }
    if (asked == WHYFIT_INVALID) {
        check_problems(problems);
    }
    whyfit_answer_free(answer);
    whyfit_problems_free(problems);
    return 0;
}
