/* SPDX-License-Identifier: MIT */
/*
 * Worked cases: each file of them is loaded with its own knowledge into a room of its
 * own, asked, and let go, so that the memory of one file is all that is ever held. Only
 * the rooms of files at fault stay, for their problems.
 */
#include "facade_private.h"

#include "array.h"
#include "limits.h"
#include "read_file.h"

#include <stddef.h>
#include <string.h>

struct trying {
    const whyfit_trial_options *options;
    whyfit_sink *sink;
    void *context;
    struct trial_counts counts;
    struct whyfit_problems *faults;
    struct whyfit_problems **last; /* where the next room at fault is hung */
    bool is_over;                  /* stops_at_first, and one did not come out */
};

typedef ARRAY_OF(struct knowledge_input) input_array;

/* ---- which knowledge the cases of a file have */

static bool is_there(struct arena *arena, text path)
{
    static const char *const endings[] = {".yaml", ".csv", NULL};
    text content = {"", 0};
    text *paths = NULL;
    uint32_t count = 0;
    return file_read(arena, path.at, LIMIT_FILE_BYTES, &content, NULL) == STATUS_OK ||
           folder_list(arena, path.at, endings, &paths, &count) == STATUS_OK;
}

static text in_folder(struct arena *arena, text folder, text name)
{
    return folder.length == 0
               ? text_copy(arena, name)
               : text_format(arena, "%.*s/%.*s", TEXT_ARG(folder), TEXT_ARG(name));
}

/* What lies below a folder that is read anyway is not read twice. */
static bool is_read_already(const input_array *inputs, text path)
{
    for (uint32_t i = 0; i < inputs->count; i++) {
        const text name = inputs->at[i].name;
        if (text_starts(path, name) &&
            (path.length == name.length || path.at[name.length] == '/')) {
            return true;
        }
    }
    return false;
}

static bool add_input(struct arena *arena, input_array *inputs, text path)
{
    const struct knowledge_input one = {.name = path};
    return is_read_already(inputs, path) || ARRAY_PUSH(arena, inputs, one);
}

/* Beside the file, else beside rules/. */
static status add_named(struct whyfit_problems *room, text folder, text shipped,
                        const struct node *word, input_array *inputs)
{
    const text beside = in_folder(room->arena, folder, word->word);
    const text central = in_folder(room->arena, shipped, word->word);
    TRY(arena_status(room->arena));
    const text path = is_there(room->arena, beside) ? beside : central;
    if (path.at == central.at && !is_there(room->arena, central)) {
        diagnostics_report(room->diagnostics, CODE_FILE_UNREADABLE, word->where,
                           "there is no such file or folder")
            ->expected =
            TEXT("knowledge beside this file, or in the folder that holds rules/");
        return STATUS_INVALID;
    }
    return add_input(room->arena, inputs, path) ? STATUS_OK : arena_status(room->arena);
}

static status gather_inputs(struct trying *trying, struct whyfit_problems *room,
                            text path, const struct case_file *file, input_array *inputs)
{
    static const char *const endings[] = {".yaml", ".csv", NULL};
    const text shipped = text_of(trying->options->shipped);
    const char *slash = strrchr(path.at, '/');
    const text folder =
        text_slice(path, 0, slash == NULL ? 0 : (size_t)(slash - path.at));
    text *paths = NULL;
    uint32_t count = 0;
    (void)add_input(room->arena, inputs, in_folder(room->arena, shipped, TEXT("rules")));
    (void)add_input(room->arena, inputs, in_folder(room->arena, shipped, TEXT("facts")));
    for (size_t i = 0; i < trying->options->with_count; i++) {
        (void)add_input(room->arena, inputs, text_of(trying->options->with[i]));
    }
    for (uint32_t i = 0; file->knowledge != NULL && i < file->knowledge->count; i++) {
        TRY(add_named(room, folder, shipped, file->knowledge->items[i], inputs));
    }
    TRY(folder_list(room->arena,
                    folder.length == 0 ? "." : text_copy(room->arena, folder).at, endings,
                    &paths, &count));
    for (uint32_t i = 0; i < count; i++) {
        if (!text_ends(paths[i], TEXT("cases.yaml"))) {
            (void)add_input(room->arena, inputs, paths[i]);
        }
    }
    return arena_status(room->arena);
}

/* ---- one file */

static whyfit_status write_tried(struct trying *trying, const struct tried_case *tried,
                                 const struct answer *answer,
                                 const struct sources *sources)
{
    struct writer writer;
    status result = STATUS_OK;
    if (!writer_open(&writer, allocator_standard(), trying->sink, trying->context)) {
        return WHYFIT_NO_MEMORY;
    }
    if (trying->options->width > 0) {
        writer.width = trying->options->width;
    }
    if (trying->options->format == WHYFIT_JSON) {
        result = render_tried_json(&writer, tried, sources);
    } else if (tried->difference_count > 0) {
        render_tried_text(&writer, tried, sources);
    }
    const whyfit_status written = writer_close(&writer, result);
    if (written != WHYFIT_OK || answer == NULL || trying->options->answers == NULL) {
        return written;
    }
    if (!writer_open(&writer, allocator_standard(), trying->options->answers,
                     trying->options->answers_context)) {
        return WHYFIT_NO_MEMORY;
    }
    return writer_close(&writer, render_answer_json(&writer, answer));
}

static whyfit_status try_case(struct trying *trying, struct whyfit_problems *room,
                              const struct knowledge *knowledge,
                              const struct worked_case *worked)
{
    struct arena *scratch = arena_open(allocator_standard(), 0);
    const struct swap_limits limits = {0};
    const struct answer *answer = NULL;
    struct tried_case tried = {0};
    if (scratch == NULL) {
        return WHYFIT_NO_MEMORY;
    }
    whyfit_status result = public_status(
        trial_case(room->arena, scratch, knowledge, worked, &limits, &answer, &tried));
    if (result == WHYFIT_OK) {
        const bool comes_out = tried.difference_count == 0;
        trying->counts.cases++;
        trying->counts.came_out += comes_out ? 1 : 0;
        trying->counts.differ += comes_out ? 0 : 1;
        trying->is_over = !comes_out && trying->options->stops_at_first;
        result = write_tried(trying, &tried, answer, knowledge->sources);
    }
    arena_close(scratch);
    return result;
}

static status read_cases(struct whyfit_problems *room, text path, struct case_file *file)
{
    text content = {"", 0};
    const struct node *document = NULL;
    const status read = file_read(room->arena, path.at, LIMIT_FILE_BYTES, &content, NULL);
    const uint32_t source = sources_add(room->sources, path, content);
    if (read == STATUS_IO || read == STATUS_LIMIT) {
        diagnostics_report(room->diagnostics,
                           read == STATUS_IO ? CODE_FILE_UNREADABLE : CODE_FILE_TOO_LARGE,
                           (span){source, 0, 0}, "this file of cases cannot be read");
        return STATUS_INVALID;
    }
    TRY(read);
    TRY(yaml_read(room->arena, room->sources, source, room->diagnostics, &document));
    return cases_read(room->arena, document, room->diagnostics, file);
}

static whyfit_status try_file_in(struct trying *trying, struct whyfit_problems *room,
                                 text path)
{
    struct case_file file = {0};
    input_array inputs = {0};
    const struct inference_options bounds = {.row_limit = 0};
    const struct knowledge *knowledge = NULL;
    status result = read_cases(room, path, &file);
    if (result == STATUS_OK) {
        result = gather_inputs(trying, room, path, &file, &inputs);
    }
    if (result == STATUS_OK) {
        result = load_without(room, inputs.at, inputs.count, trying->options->without,
                              trying->options->without_count, &bounds, &knowledge);
    }
    if (result == STATUS_OK) {
        result = cases_check(&file, knowledge, room->diagnostics);
    }
    if (result != STATUS_OK) {
        return public_status(result);
    }
    for (uint32_t i = 0; i < file.case_count && !trying->is_over; i++) {
        const whyfit_status tried = try_case(trying, room, knowledge, &file.cases[i]);
        if (tried != WHYFIT_OK) {
            return tried;
        }
    }
    return WHYFIT_OK;
}

static bool is_said_in(const struct whyfit_problems *room,
                       const struct whyfit_problems *kept, uint32_t i)
{
    const struct diagnostic *one = diagnostics_at(room->diagnostics, i);
    const text name = sources_name(room->sources, one->where.source);
    for (uint32_t k = 0; k < diagnostics_kept(kept->diagnostics); k++) {
        const struct diagnostic *other = diagnostics_at(kept->diagnostics, k);
        if (one->code == other->code && one->where.at == other->where.at &&
            text_equal(one->message, other->message) &&
            text_equal(name, sources_name(kept->sources, other->where.source))) {
            return true;
        }
    }
    return false;
}

/* Whether all its faults were said of another file: those of the knowledge that all
 * share, as a rule. */
static bool is_all_said(const struct trying *trying, const struct whyfit_problems *room)
{
    for (const struct whyfit_problems *kept = trying->faults; kept != NULL;
         kept = kept->next) {
        uint32_t i = 0;
        while (i < diagnostics_kept(room->diagnostics) && is_said_in(room, kept, i)) {
            i++;
        }
        if (i == diagnostics_kept(room->diagnostics)) {
            return true;
        }
    }
    return false;
}

/* A room that has faults is kept for its problems, if they are new; *is_kept. True where
 * it has any. */
static bool keep_faults(struct trying *trying, struct whyfit_problems *room,
                        bool *is_kept)
{
    *is_kept = false;
    if (diagnostics_count(room->diagnostics) == 0) {
        return false;
    }
    diagnostics_sort(room->diagnostics, room->sources);
    if (is_all_said(trying, room)) {
        return true;
    }
    *is_kept = true;
    *trying->last = room;
    trying->last = &room->next;
    return true;
}

static whyfit_status try_file(struct trying *trying, text path)
{
    struct whyfit_problems *room = problems_open(allocator_standard(), 0, NULL);
    if (room == NULL) {
        return WHYFIT_NO_MEMORY;
    }
    bool is_kept = false;
    whyfit_status result = try_file_in(trying, room, path);
    trying->counts.files++;
    if ((result == WHYFIT_INVALID || result == WHYFIT_NOT_FOUND) &&
        keep_faults(trying, room, &is_kept)) {
        trying->counts.files_at_fault++;
        trying->is_over = result == WHYFIT_NOT_FOUND; /* every file would say the same */
        result = WHYFIT_OK;
    }
    if (!is_kept) {
        whyfit_problems_free(room);
    }
    return result;
}

/* ---- all paths */

static whyfit_status try_folder(struct trying *trying, struct arena *arena, text folder)
{
    static const char *const endings[] = {"cases.yaml", NULL};
    text *paths = NULL;
    uint32_t count = 0;
    whyfit_status result = WHYFIT_OK;
    const status listed = folder_list(arena, folder.at, endings, &paths, &count);
    if (listed == STATUS_NO_MEMORY) {
        return WHYFIT_NO_MEMORY;
    }
    if (listed != STATUS_OK || count == 0) {
        struct whyfit_problems *room = problems_open(allocator_standard(), 0, NULL);
        if (room == NULL) {
            return WHYFIT_NO_MEMORY;
        }
        const span where = {sources_add_argument(room->sources, TEXT("path"), folder), 0,
                            (uint32_t)folder.length};
        diagnostics_report(room->diagnostics, CODE_FILE_UNREADABLE, where,
                           listed == STATUS_OK ? "no cases lie in this folder"
                                               : "this folder cannot be read")
            ->expected =
            TEXT("a file of cases, or a folder with files whose names end in "
                 "cases.yaml");
        bool is_kept = false;
        (void)keep_faults(trying, room, &is_kept);
        if (!is_kept) {
            whyfit_problems_free(room);
        }
        trying->counts.files++;
        trying->counts.files_at_fault++;
    }
    for (uint32_t i = 0; i < count && result == WHYFIT_OK && !trying->is_over; i++) {
        result = try_file(trying, paths[i]);
    }
    return result;
}

static whyfit_status write_counts(struct trying *trying)
{
    struct writer writer;
    status result = STATUS_OK;
    if (!writer_open(&writer, allocator_standard(), trying->sink, trying->context)) {
        return WHYFIT_NO_MEMORY;
    }
    if (trying->options->format == WHYFIT_JSON) {
        result = render_trial_json(&writer, &trying->counts);
    } else {
        render_trial_text(&writer, &trying->counts);
    }
    return writer_close(&writer, result);
}

static whyfit_status try_paths(struct trying *trying, struct arena *arena,
                               const char *const *paths, size_t path_count)
{
    whyfit_status result = WHYFIT_OK;
    for (size_t i = 0; i < path_count && result == WHYFIT_OK && !trying->is_over; i++) {
        const text path = text_copy(arena, text_of(paths[i]));
        if (arena_status(arena) != STATUS_OK) {
            return WHYFIT_NO_MEMORY;
        }
        result = text_ends(path, TEXT(".yaml")) ? try_file(trying, path)
                                                : try_folder(trying, arena, path);
    }
    return result == WHYFIT_OK ? write_counts(trying) : result;
}

whyfit_status whyfit_trial(const char *const *paths, size_t path_count,
                           const whyfit_trial_options *options, whyfit_sink *sink,
                           void *context, whyfit_trial_counts *counts,
                           whyfit_problems **problems)
{
    struct trying trying = {.options = options, .sink = sink, .context = context};
    struct arena *arena = arena_open(allocator_standard(), 0);
    whyfit_status result = WHYFIT_NO_MEMORY;
    trying.last = &trying.faults;
    if (arena != NULL) {
        result = try_paths(&trying, arena, paths, path_count);
    }
    arena_close(arena);
    *counts = (whyfit_trial_counts){trying.counts.files, trying.counts.cases,
                                    trying.counts.came_out, trying.counts.differ,
                                    trying.counts.files_at_fault};
    if (result == WHYFIT_OK && trying.faults != NULL) {
        result = WHYFIT_INVALID;
    }
    if (problems != NULL) {
        *problems = trying.faults;
    } else {
        whyfit_problems_free(trying.faults);
    }
    return result;
}
