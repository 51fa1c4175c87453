/* SPDX-License-Identifier: MIT */
/* The floor of a cold start: reads files and walks libyaml's events over them, nothing
 * more. */
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <yaml.h>

static unsigned long walk(const char *path)
{
    yaml_parser_t parser;
    yaml_event_t event;
    unsigned long events = 0;
    bool is_end = false;
    FILE *file = fopen(path, "rb");
    if (file == NULL || !yaml_parser_initialize(&parser)) {
        exit(2);
    }
    yaml_parser_set_input_file(&parser, file);
    while (!is_end && yaml_parser_parse(&parser, &event)) {
        is_end = event.type == YAML_STREAM_END_EVENT;
        yaml_event_delete(&event);
        events++;
    }
    yaml_parser_delete(&parser);
    (void)fclose(file);
    return events;
}

int main(int argc, char **argv)
{
    unsigned long events = 0;
    for (int i = 1; i < argc; i++) {
        events += walk(argv[i]);
    }
    printf("%lu events\n", events);
    return 0;
}
