/* SPDX-License-Identifier: MIT */
/*
 * Bytes → tree, through libyaml's events and a stack of our own: nothing recurses, and
 * nesting is stopped long before libyaml's own work on it turns quadratic. The text is
 * checked for UTF-8 and control characters first, because libyaml's complaints about
 * those have no place.
 *
 * libyaml counts places in code points; spans are bytes, found again through line starts.
 */
#include "node.h"

#include "array.h"
#include "fit_text.h"
#include "limits.h"
#include "scalar_places.h"

#include <string.h>
#include <yaml.h>

/* A list or map that is still open. */
struct frame {
    struct node *node;
    ARRAY_OF(const struct node *) items;
    ARRAY_OF(struct node_field) fields;
    text key;
    span key_where;
    bool has_key;
    bool is_key_wrong; /* and its value then passed over */
};

/* A place that was found in the text: line and column as libyaml counts, and its byte. */
struct walked {
    size_t line;
    size_t column;
    size_t at;
};

struct reader {
    struct arena *arena;
    struct sources *sources;
    uint32_t source;
    text content;
    text no_word; /* of lists and maps */
    struct diagnostics *diagnostics;
    struct frame stack[LIMIT_DEPTH];
    uint32_t depth;
    struct walked walked;
    size_t lead; /* bytes of a byte order mark before the text */
    uint32_t node_count;
    const struct node *root;
    uint32_t documents;
    bool is_wrong;
    bool is_out_of_memory;
    bool is_over; /* a fault after which nothing more can be read */
};

static struct diagnostic *report(struct reader *reader, enum diagnostic_code code,
                                 span where, const char *message)
{
    reader->is_wrong = true;
    return diagnostics_report(reader->diagnostics, code, where, "%s", message);
}

static void stop(struct reader *reader, enum diagnostic_code code, span where,
                 const char *message, const char *expected)
{
    report(reader, code, where, message)->expected = text_of(expected);
    reader->is_over = true;
}

static text at_most(const struct reader *reader, unsigned bytes)
{
    return text_format(diagnostics_arena(reader->diagnostics), "at most %u bytes", bytes);
}

static span span_at(const struct reader *reader, size_t at, size_t length)
{
    return (span){reader->source, (uint32_t)at, (uint32_t)length};
}

/* Marks mostly move on along a line, so the walk goes on from where the last one ended.
 */
static size_t byte_of(struct reader *reader, const yaml_mark_t *mark)
{
    struct walked *walked = &reader->walked;
    if (mark->line != walked->line || mark->column < walked->column || walked->at == 0) {
        *walked = (struct walked){
            .line = mark->line,
            .at = sources_line_start(reader->sources, reader->source, mark->line)};
    }
    for (; walked->column < mark->column && walked->at < reader->content.length;
         walked->column++) {
        const size_t length = text_utf8_length(reader->content, walked->at);
        walked->at += length == 0 ? 1 : length;
    }
    return walked->at;
}

static span span_of(struct reader *reader, const yaml_event_t *event)
{
    const size_t from = byte_of(reader, &event->start_mark);
    const size_t end = byte_of(reader, &event->end_mark);
    return span_at(reader, from, end > from ? end - from : 0);
}

/* Where what was read ends in the file. */
static size_t end_of(const struct reader *reader, span where)
{
    const span written = sources_written(reader->sources, where);
    return (size_t)written.at + written.length;
}

/* From the start of one span to the end of a later one. */
static span span_from(const struct reader *reader, span first, span last)
{
    const size_t at = sources_written(reader->sources, first).at;
    return span_at(reader, at, end_of(reader, last) - at);
}

/* ---- building */

static struct node *new_node(struct reader *reader, enum node_kind kind, span where)
{
    struct node *node = ARENA_NEW(reader->arena, struct node);
    if (node == NULL) {
        reader->is_over = true;
        return NULL;
    }
    if (++reader->node_count > LIMIT_NODES) {
        stop(reader, CODE_YAML_SIZE, where, "this document holds too many things",
             "fewer things in one file");
    }
    node->kind = kind;
    node->where = where;
    node->word = reader->no_word;
    return node;
}

static struct frame *top(struct reader *reader)
{
    return reader->depth == 0 ? NULL : &reader->stack[reader->depth - 1];
}

/* What libyaml gives where nothing is written. */
static bool is_nothing(const struct node *node)
{
    return node->kind == NODE_WORD && node->is_plain && node->word.length == 0;
}

static bool is_number_tail(text key)
{
    return key.length > 0 && is_digit(key.at[0]);
}

/* `{at: 0,5 mm}` reads as {at: "0", "5 mm": nothing}: say what was meant. */
static bool report_split_number(struct reader *reader, const struct frame *frame,
                                const struct node *value)
{
    if (frame->fields.count == 0 || !is_nothing(value) || !is_number_tail(frame->key)) {
        return false;
    }
    const struct node_field *before = &frame->fields.at[frame->fields.count - 1];
    const text head = before->value->word;
    if (before->value->kind != NODE_WORD || head.length == 0 ||
        !is_digit(head.at[head.length - 1])) {
        return false;
    }
    const span where = span_from(reader, before->value->where, frame->key_where);
    report(reader, CODE_DECIMAL_COMMA, where, "a decimal comma splits the number here")
        ->expected = text_format(diagnostics_arena(reader->diagnostics), "%.*s.%.*s",
                                 TEXT_ARG(head), TEXT_ARG(frame->key));
    return true;
}

/* In a list `[0,5 mm]` the comma leaves two items with no blank between them. */
static void check_split_item(struct reader *reader, const struct frame *frame,
                             const struct node *item)
{
    if (frame->items.count == 0 || item->kind != NODE_WORD || !item->is_plain ||
        !is_number_tail(item->word)) {
        return;
    }
    const struct node *before = frame->items.at[frame->items.count - 1];
    const size_t end = end_of(reader, before->where);
    if (before->kind != NODE_WORD || !before->is_plain || before->word.length == 0 ||
        !is_digit(before->word.at[before->word.length - 1]) ||
        sources_written(reader->sources, item->where).at != end + 1 ||
        reader->content.at[end] != ',') {
        return;
    }
    report(
        reader, CODE_DECIMAL_COMMA, span_from(reader, before->where, item->where),
        "a decimal comma splits the number here, or a blank is missing after the comma")
        ->expected = text_format(diagnostics_arena(reader->diagnostics),
                                 "%.*s.%.*s, or a blank "
                                 "after the comma",
                                 TEXT_ARG(before->word), TEXT_ARG(item->word));
}

static void add_field(struct reader *reader, struct frame *frame,
                      const struct node *value)
{
    const struct node_field field = {frame->key, frame->key_where, value};
    frame->has_key = false;
    if (frame->is_key_wrong) {
        return;
    }
    if (is_nothing(value)) {
        if (!report_split_number(reader, frame, value)) {
            report(reader, CODE_VALUE_MISSING, frame->key_where, "this key has no value")
                ->expected = TEXT("a value after the colon; \"\" for an empty text");
        }
        return;
    }
    for (uint32_t i = 0; i < frame->fields.count; i++) {
        if (text_equal(frame->fields.at[i].key, frame->key)) {
            struct diagnostic *doubled =
                report(reader, CODE_KEY_DOUBLED, frame->key_where,
                       "this key stands twice in one map");
            diagnostic_note_add(doubled, frame->fields.at[i].key_where,
                                TEXT("it stands here already"));
            return;
        }
    }
    if (!ARRAY_PUSH(reader->arena, &frame->fields, field)) {
        reader->is_over = true;
    }
}

static void take_key(struct reader *reader, struct frame *frame, const struct node *node)
{
    frame->has_key = true;
    frame->key_where = node->where;
    frame->key = node->word;
    frame->is_key_wrong = node->kind != NODE_WORD;
    if (frame->is_key_wrong) {
        report(reader, CODE_KEY_NOT_WORD, node->where, "a key must be a word");
    } else if (node->is_plain && text_is(node->word, "<<")) {
        report(reader, CODE_YAML_MERGE, node->where, "merge keys are not understood")
            ->expected = TEXT("the fields written out");
    } else if (node->word.length > LIMIT_KEY_BYTES) {
        report(reader, CODE_YAML_SIZE, node->where, "this key is too long")->expected =
            at_most(reader, LIMIT_KEY_BYTES);
    }
}

static void place_node(struct reader *reader, const struct node *node)
{
    struct frame *frame = top(reader);
    if (frame == NULL) {
        reader->root = node;
        return;
    }
    if (frame->node->kind == NODE_LIST) {
        if (is_nothing(node)) {
            report(reader, CODE_VALUE_MISSING, node->where,
                   "this item of a list is empty")
                ->expected = TEXT("a value after the dash; \"\" for an empty text");
        }
        check_split_item(reader, frame, node);
        if (!ARRAY_PUSH(reader->arena, &frame->items, node)) {
            reader->is_over = true;
        }
    } else if (frame->has_key) {
        add_field(reader, frame, node);
    } else {
        take_key(reader, frame, node);
    }
}

static void open_frame(struct reader *reader, enum node_kind kind, span where)
{
    if (reader->depth >= LIMIT_DEPTH) {
        stop(reader, CODE_YAML_DEPTH, where, "lists and maps are nested too deep here",
             "at most 64 levels");
        return;
    }
    struct node *node = new_node(reader, kind, where);
    if (node != NULL) {
        reader->stack[reader->depth++] = (struct frame){.node = node};
    }
}

/* Closes the innermost list or map; its span then covers all of it. */
static void close_frame(struct reader *reader, span end)
{
    struct frame *frame = top(reader);
    struct node *node = frame->node;
    size_t last = (size_t)end.at + end.length;
    if (end.length == 0) {
        const struct node *child =
            node->kind == NODE_LIST
                ? (frame->items.count > 0 ? frame->items.at[frame->items.count - 1]
                                          : NULL)
                : (frame->fields.count > 0
                       ? frame->fields.at[frame->fields.count - 1].value
                       : NULL);
        last = child == NULL ? node->where.at : end_of(reader, child->where);
    }
    node->where.length = last > node->where.at ? (uint32_t)(last - node->where.at) : 0;
    node->items = frame->items.at;
    node->fields = frame->fields.at;
    node->count = node->kind == NODE_LIST ? frame->items.count : frame->fields.count;
    reader->depth--;
    place_node(reader, node);
}

static enum scalar_style style_of(const yaml_event_t *event)
{
    switch (event->data.scalar.style) {
    case YAML_SINGLE_QUOTED_SCALAR_STYLE:
        return SCALAR_SINGLE_QUOTED;
    case YAML_DOUBLE_QUOTED_SCALAR_STYLE:
        return SCALAR_DOUBLE_QUOTED;
    case YAML_LITERAL_SCALAR_STYLE:
    case YAML_FOLDED_SCALAR_STYLE:
        return SCALAR_BLOCK;
    case YAML_ANY_SCALAR_STYLE:
    case YAML_PLAIN_SCALAR_STYLE:
        break;
    }
    return SCALAR_PLAIN;
}

static void add_scalar(struct reader *reader, const yaml_event_t *event, span where)
{
    struct node *node = new_node(reader, NODE_WORD, where);
    if (node == NULL) {
        return;
    }
    const text word = {(const char *)event->data.scalar.value, event->data.scalar.length};
    if (word.length > LIMIT_SCALAR_BYTES) {
        report(reader, CODE_YAML_SIZE, where, "this text is too long")->expected =
            at_most(reader, LIMIT_SCALAR_BYTES);
    }
    if (memchr(word.at, '\0', word.length) != NULL) {
        report(reader, CODE_CONTROL_CHARACTER, where, "this text holds a NUL character");
    }
    node->word = text_copy(reader->arena, word);
    node->is_plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    node->where =
        scalar_span(reader->arena, reader->sources, where, node->word, style_of(event));
    place_node(reader, node);
}

/* ---- events */

static void refuse_marks(struct reader *reader, span where, const yaml_char_t *anchor,
                         const yaml_char_t *tag)
{
    if (anchor != NULL) {
        report(reader, CODE_YAML_ALIAS, where, "anchors are not understood")->expected =
            TEXT("the value written out where it is needed");
    }
    if (tag != NULL) {
        report(reader, CODE_YAML_TAG, where, "tags are not understood")->expected =
            TEXT("the plain value: the vocabulary knows its type");
    }
}

static void take_event(struct reader *reader, const yaml_event_t *event)
{
    const span where = span_of(reader, event);
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        if (++reader->documents == 2) {
            stop(reader, CODE_YAML_SEVERAL, where, "a second document starts here",
                 "one document in a file");
        }
        return;
    case YAML_ALIAS_EVENT:
        stop(reader, CODE_YAML_ALIAS, where, "aliases are not understood",
             "the value written out where it is needed");
        return;
    case YAML_SCALAR_EVENT:
        refuse_marks(reader, where, event->data.scalar.anchor, event->data.scalar.tag);
        add_scalar(reader, event, where);
        return;
    case YAML_SEQUENCE_START_EVENT:
        refuse_marks(reader, where, event->data.sequence_start.anchor,
                     event->data.sequence_start.tag);
        open_frame(reader, NODE_LIST, where);
        return;
    case YAML_MAPPING_START_EVENT:
        refuse_marks(reader, where, event->data.mapping_start.anchor,
                     event->data.mapping_start.tag);
        open_frame(reader, NODE_MAP, where);
        return;
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        close_frame(reader, where);
        return;
    case YAML_NO_EVENT:
    case YAML_STREAM_START_EVENT:
    case YAML_STREAM_END_EVENT:
    case YAML_DOCUMENT_END_EVENT:
        return;
    }
}

/* What is missing at the end of a text is missing behind its last visible byte. */
static span fault_span(struct reader *reader, const yaml_mark_t *mark)
{
    size_t at = byte_of(reader, mark);
    if (at < reader->content.length) {
        return span_at(reader, at, 1);
    }
    const text all = text_slice(reader->content, 0, at);
    for (at = all.length; at > reader->lead && (unsigned char)all.at[at - 1] <= ' ';
         at--) {
    }
    return span_at(reader, at, 0);
}

/* libyaml takes no plain key of more than 1024 characters, and then says that no value
 * may stand behind the colon. */
static bool report_endless_key(struct reader *reader, const yaml_mark_t *mark)
{
    enum {
        LONGEST_PLAIN_KEY = 1024
    };
    const size_t at = byte_of(reader, mark);
    if (mark->column < LONGEST_PLAIN_KEY || at >= reader->content.length ||
        reader->content.at[at] != ':') {
        return false;
    }
    const size_t line = sources_line_start(reader->sources, reader->source, mark->line);
    report(reader, CODE_YAML_SIZE, span_at(reader, line, at - line),
           "this key is too long")
        ->expected = at_most(reader, LIMIT_KEY_BYTES);
    reader->is_over = true;
    return true;
}

/* libyaml's error fields are right only now, right after the failure. */
static void report_syntax(struct reader *reader, const yaml_parser_t *parser)
{
    struct arena *arena = diagnostics_arena(reader->diagnostics);
    if (parser->error == YAML_MEMORY_ERROR) {
        reader->is_over = true;
        reader->is_out_of_memory = true;
        return;
    }
    if (report_endless_key(reader, &parser->problem_mark)) {
        return;
    }
    const span where = fault_span(reader, &parser->problem_mark);
    struct diagnostic *made =
        report(reader, CODE_YAML_SYNTAX, where, "this is not well-formed YAML");
    if (parser->problem != NULL) {
        diagnostic_note_add(
            made, SPAN_NONE,
            text_format(arena, "the YAML reader says: %s", parser->problem));
    }
    if (parser->context != NULL &&
        parser->context_mark.index != parser->problem_mark.index) {
        diagnostic_note_add(made, fault_span(reader, &parser->context_mark),
                            text_format(arena, "it says so %s", parser->context));
    }
    const text line = sources_locate(reader->sources, where).line_text;
    made->expected = text_find(line, '\t', 0) < line.length
                         ? TEXT("blanks for indentation, not tabs")
                         : TEXT("KEY: VALUE, - ITEM, {KEY: VALUE} or [ITEM, ITEM]");
    reader->is_over = true;
}

static void read_events(struct reader *reader, yaml_parser_t *parser)
{
    bool is_end = false;
    while (!is_end && !reader->is_over) {
        yaml_event_t event;
        if (!yaml_parser_parse(parser, &event)) {
            report_syntax(reader, parser);
            return;
        }
        is_end = event.type == YAML_STREAM_END_EVENT || event.type == YAML_NO_EVENT;
        take_event(reader, &event);
        yaml_event_delete(&event);
    }
}

status yaml_read(struct arena *arena, struct sources *sources, uint32_t source,
                 struct diagnostics *diagnostics, const struct node **out)
{
    struct reader *reader = ARENA_NEW(arena, struct reader);
    yaml_parser_t parser;
    if (reader == NULL) {
        return arena_status(arena);
    }
    reader->arena = arena;
    reader->sources = sources;
    reader->source = source;
    reader->content = sources_content(sources, source);
    reader->no_word = text_copy(arena, TEXT(""));
    reader->diagnostics = diagnostics;
    reader->lead = text_starts(reader->content, TEXT("\xEF\xBB\xBF")) ? 3 : 0;
    struct unfit unfit;
    if (!text_is_fit(reader->content, reader->lead, &unfit)) {
        stop(reader, unfit.code, span_at(reader, unfit.at, unfit.length), unfit.message,
             unfit.expected);
        return STATUS_INVALID;
    }
    if (!yaml_parser_initialize(&parser)) {
        return STATUS_NO_MEMORY;
    }
    const text input = text_slice(reader->content, reader->lead, reader->content.length);
    yaml_parser_set_input_string(&parser, (const unsigned char *)input.at, input.length);
    read_events(reader, &parser);
    yaml_parser_delete(&parser);
    TRY(arena_status(arena));
    if (reader->is_out_of_memory) {
        return STATUS_NO_MEMORY;
    }
    if (!reader->is_over && (reader->root == NULL || is_nothing(reader->root))) {
        stop(reader, CODE_YAML_EMPTY,
             reader->root == NULL ? span_at(reader, reader->lead, 0)
                                  : reader->root->where,
             "this file holds no document", "a map of facts or rules");
    }
    *out = reader->root;
    return reader->is_wrong || reader->root == NULL ? STATUS_INVALID : STATUS_OK;
}
