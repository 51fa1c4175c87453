/* SPDX-License-Identifier: MIT */
/* The program: finds the subcommand and hands the words on. */
#include "command.h"

#include <stdio.h>
#include <string.h>

static const struct command *const commands[] = {
    &command_swap,    &command_upgrade, &command_leaks,    &command_why,
    &command_why_not, &command_compare, &command_identify, &command_measure,
    &command_sheet,   &command_listing, &command_lint,     &command_trial,
    &command_reckon,  &command_fit,     &command_show,     &command_prepare,
    &command_serve};
enum {
    COMMAND_COUNT = sizeof commands / sizeof *commands,
    USAGE_WIDTH = 42
};

/* Letters of a text in UTF-8, one column each. */
static size_t letters_of(const char *utf8)
{
    size_t count = 0;
    for (; *utf8 != '\0'; utf8++) {
        count += ((unsigned char)*utf8 & 0xc0u) != 0x80u;
    }
    return count;
}

static void print_overview(FILE *to)
{
    fputs("whyfit: will this part go into that machine, and why?\n\n", to);
    for (int i = 0; i < COMMAND_COUNT; i++) {
        const size_t letters = letters_of(commands[i]->usage);
        fprintf(to, "  whyfit %s%*s %s\n", commands[i]->usage,
                letters < USAGE_WIDTH ? (int)(USAGE_WIDTH - letters) : 0, "",
                commands[i]->says);
    }
    fputs("\nFor every command:\n"
          "  --with DIR          facts and rules on top of the shipped ones (may be "
          "repeated)\n"
          "  --without RULE      leaves a rule out, to see what depends on it (may be "
          "repeated)\n"
          "  --knowledge DIR     another folder that holds rules/ and facts/\n"
          "  --prepared FILE     start from what `whyfit prepare` wrote\n"
          "  --format text|json|html|svg  how to answer\n"
          "  --out FILE          where to write the answer\n"
          "  --help              more about a command\n\n"
          "Exit status: 0 fits or answered, 4 fits with work, 1 does not fit, 3 not "
          "known,\n"
          "2 the question or the knowledge is at fault, 5 the machine is.\n",
          to);
}

static void print_help(const struct command *command)
{
    printf("whyfit %s\n\n%s\n", command->usage, command->help);
}

static const struct command *find_command(const char *name)
{
    for (int i = 0; i < COMMAND_COUNT; i++) {
        if (strcmp(commands[i]->name, name) == 0) {
            return commands[i];
        }
    }
    return NULL;
}

static void say_no_command(const char *name)
{
    const char *names[COMMAND_COUNT];
    fprintf(stderr, "error: there is no command \"%s\"\n  expected: ", name);
    for (int i = 0; i < COMMAND_COUNT; i++) {
        names[i] = commands[i]->name;
        fprintf(stderr, "%s%s",
                i == 0                   ? ""
                : i == COMMAND_COUNT - 1 ? " or "
                                         : ", ",
                commands[i]->name);
    }
    fputs("\n", stderr);
    say_nearest(name, names, COMMAND_COUNT);
}

int main(int argc, char **argv)
{
    struct options options = {.depth = 1};
    if (argc < 2) {
        print_overview(stderr);
        return EXIT_FAULT;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "help") == 0) {
        print_overview(stdout);
        return EXIT_FITS;
    }
    if (strcmp(argv[1], "--version") == 0) {
        puts("whyfit " WHYFIT_VERSION);
        return EXIT_FITS;
    }
    const struct command *command = find_command(argv[1]);
    if (command == NULL) {
        say_no_command(argv[1]);
        return EXIT_FAULT;
    }
    if (!options_read(&options, command->name, argc - 2, argv + 2)) {
        return EXIT_FAULT;
    }
    if (options.wants_help) {
        print_help(command);
        return EXIT_FITS;
    }
    if (options.format == WHYFIT_SVG && !command->has_pictures) {
        fprintf(stderr,
                "error: there is no picture of what `%s` answers\n"
                "  expected: --format svg with swap, leaks, measure, sheet or show\n",
                command->name);
        return EXIT_FAULT;
    }
    if (options.format == WHYFIT_HTML && !command->has_report) {
        fprintf(stderr,
                "error: %s has no report in HTML\n  expected: --format text or json\n",
                command->name);
        return EXIT_FAULT;
    }
    return command->run(&options);
}
