#include "base/files.h"
#include "options.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

static Arena *arena;
static Options options;
static const char *trouble;

static void set_up(void) {
    arena = arena_new();
}

static void tear_down(void) {
    arena_free(arena);
}

TestSuite(options, .init = set_up, .fini = tear_down);

/* Parses words parted by blanks. */
static bool parse(const char *line) {
    char *arguments[16];
    int count = 0;
    for (char *word = strtok(arena_string(arena, line), " "); word; word = strtok(NULL, " "))
        arguments[count++] = word;
    return options_parse(arena, count, arguments, &options, &trouble);
}

static void refused(const char *line, const char *why) {
    cr_assert(!parse(line), "%s", line);
    cr_assert_str_eq(trouble, why);
}

Test(options, compile_is_what_is_meant_without_a_command) {
    cr_assert(parse("specs/"));
    cr_assert_eq(options.command, COMMAND_COMPILE);
    cr_assert_str_eq(options.book, "specs");
    cr_assert_null(options.output);
    cr_assert_eq(options.jobs, 0);
    cr_assert(parse("compile check"), "a book may be called like a command");
    cr_assert_str_eq(options.book, "check");
    cr_assert(parse("specs/book.yaml"));
    cr_assert_str_eq(options.book, "specs");
    cr_assert(parse("/book.yaml"));
    cr_assert_str_eq(options.book, "/");
}

Test(options, values_stand_in_three_places) {
    cr_assert(parse("specs -o out -j4 --scene 08-fog --scene=11-dawn -q --json --strict"));
    cr_assert_str_eq(options.output, "out");
    cr_assert_eq(options.jobs, 4);
    cr_assert_eq(options.scene_count, 2);
    cr_assert_str_eq(options.scenes[0], "08-fog");
    cr_assert_str_eq(options.scenes[1], "11-dawn");
    cr_assert(options.quiet && options.outputs & OUTPUT_DATA && options.strict && !options.prune);
    cr_assert(parse("-qj 3 -oout/deep -- -specs"));
    cr_assert_eq(options.jobs, 3);
    cr_assert_str_eq(options.output, "out/deep");
    cr_assert_str_eq(options.book, "-specs");
}

Test(options, color_and_errors) {
    cr_assert(parse("specs"));
    cr_assert_eq(options.color, COLOR_AUTO);
    cr_assert(parse("--color specs"));
    cr_assert_eq(options.color, COLOR_ALWAYS);
    cr_assert_str_eq(options.book, "specs");
    cr_assert(parse("specs --color=never --errors=json"));
    cr_assert_eq(options.color, COLOR_NEVER);
    cr_assert(options.errors_json);
    refused("specs --color=blue", "`--color` is `auto`, `always` or `never`, not `blue`");
    refused("specs --errors=xml", "`--errors` is `json`, not `xml`");
}

Test(options, only_takes_kinds) {
    cr_assert(parse("specs"));
    cr_assert_eq(options.outputs,
                 OUTPUT_MODELS | OUTPUT_REPORTS | OUTPUT_PICTURES | OUTPUT_SHEETS | OUTPUT_PAGE);
    cr_assert(parse("specs --only models,reports"));
    cr_assert_eq(options.outputs, OUTPUT_MODELS | OUTPUT_REPORTS);
    cr_assert(parse("specs --only=page --only pictures"));
    cr_assert_eq(options.outputs, OUTPUT_PAGE | OUTPUT_PICTURES);
    cr_assert(parse("specs --only sheets"));
    cr_assert_eq(options.outputs, OUTPUT_SHEETS);
    cr_assert(parse("specs --only reports --json"));
    cr_assert_eq(options.outputs, OUTPUT_REPORTS | OUTPUT_DATA);
    cr_assert(parse("specs --only page --scene 08-fog --book"));
    cr_assert(parse("specs --only models --patterns"), "they come in addition");
    cr_assert_eq(options.outputs, OUTPUT_MODELS | OUTPUT_PATTERNS);
    cr_assert(parse("specs --patterns=backdrop --only models"));
    cr_assert_eq(options.outputs, OUTPUT_MODELS | OUTPUT_PATTERNS | OUTPUT_BACKDROP);
    refused("specs --patterns=wall", "`--patterns` is `backdrop`, not `wall`");
    refused("check specs --patterns", "`--patterns` means nothing to `check`");
    refused("specs --only model,reports", "`--only` knows no `model`; did you mean `models`?");
    refused("specs --only models,",
            "`--only` knows no ``; it takes `models`, `reports`, `pictures`, `sheets` and `page`");
    refused("specs --only meshes",
            "`--only` knows no `meshes`; it takes `models`, `reports`, `pictures`, `sheets` and `page`");
    refused("specs --only models --json", "`--json` gives reports, and `--only` leaves them out");
    refused("specs --only models --book",
            "`--book` gives book.txt, book.pdf and the page, and `--only` leaves them out");
    refused("specs --only page --scene 08-fog",
            "the page is of the whole book: add `--book`, or leave `--scene` out");
    refused("check specs --only models", "`--only` means nothing to `check`");
}

Test(options, help_names_every_kind) {
    Buffer help = buffer_new(arena);
    options_help(&help);
    const char *only = strstr(buffer_text(&help), "--only");
    const char *end = strchr(only, '\n');
    for (size_t i = 0; i < OUTPUT_ROWS; i++) {
        const char *word = strstr(only, output_rows[i].word);
        cr_assert(word && word < end, "%s", output_rows[i].word);
    }
}

Test(options, why_takes_a_scene_and_the_rest_as_a_name) {
    cr_assert(parse("why specs/08-fog.yaml far bank.tall"));
    cr_assert_eq(options.command, COMMAND_WHY);
    cr_assert_str_eq(options.book, "specs");
    cr_assert_eq(options.scene_count, 1);
    cr_assert_str_eq(options.scenes[0], "08-fog");
    cr_assert_str_eq(options.quantity, "far bank.tall");
    cr_assert(parse("why 08-fog.yaml camera"));
    cr_assert_str_eq(options.book, ".");
    cr_assert(parse("why 08-fog camera.height"));
    cr_assert_str_eq(options.book, "specs");
    cr_assert(parse("why / 08-fog camera.height"), "a folder first");
    cr_assert_str_eq(options.book, "/");
    cr_assert_str_eq(options.scenes[0], "08-fog");
    refused("why specs/08-fog.yaml",
            "`why` wants a scene and a name in it: `why specs/08-fog.yaml far bank.tall`");
}

Test(options, usage_faults) {
    refused("specs --prnue", "unknown option `--prnue`; did you mean `--prune`?");
    refused("specs --frobnicate=3", "unknown option `--frobnicate`");
    refused("specs -x", "unknown option `-x`");
    refused("specs -j 0", "`--jobs` is a number from 1 to 64, not `0`");
    refused("specs -j -3", "`--jobs` is a number from 1 to 64, not `-3`");
    refused("specs -j 4x", "`--jobs` is a number from 1 to 64, not `4x`");
    refused("specs -j 99999999999999999999", "`--jobs` is a number from 1 to 64, not `99999999999999999999`");
    refused("specs -o", "`--output` wants a value: DIR");
    refused("specs --output=", "`--output` wants a value: DIR");
    refused("specs --json=yes", "`--json` takes no value");
    refused("specs more", "one book at a time, not `specs` and `more`");
    refused("chekc specs", "unknown command `chekc`; did you mean `check`?");
    refused("specs/08-fog.yaml", "`specs/08-fog.yaml` is a scene, not a book; write `specs --scene 08-fog`");
    refused("check specs --prune", "`--prune` means nothing to `check`");
    refused("words --schema specs", "`words` takes no `specs`");
    refused("new", "`new` wants one folder: `new specs`");
}

Test(options, help_and_version_need_nothing_else) {
    cr_assert(parse("--help"));
    cr_assert_eq(options.command, COMMAND_HELP);
    cr_assert(parse("check --version"));
    cr_assert_eq(options.command, COMMAND_VERSION);
}

Test(options, each_row_is_told_apart_and_helped) {
    size_t count;
    const OptionRow *rows = options_table(&count);
    Buffer help = buffer_new(arena);
    options_help(&help);
    for (size_t i = 0; i < count; i++) {
        cr_assert(strstr(buffer_text(&help), arena_format(arena, "--%s", rows[i].word)));
        cr_assert(strstr(buffer_text(&help), rows[i].help));
        for (size_t j = 0; j < i; j++) {
            cr_assert_str_neq(rows[i].word, rows[j].word);
            cr_assert(rows[i].letter == 0 || rows[i].letter != rows[j].letter);
        }
    }
}

Test(options, no_line_of_help_is_wider_than_a_terminal) {
    Buffer help = buffer_new(arena);
    options_help(&help);
    for (const char *line = buffer_text(&help); *line; line += strcspn(line, "\n") + 1)
        cr_assert_leq(strcspn(line, "\n"), 100);
}

Test(options, the_man_page_names_every_option) {
    const char *page;
    size_t bytes, count;
    cr_assert_eq(file_read(arena, TESTS_DIR "/../docs/groundrow.1", 1 << 20, &page, &bytes).status, FILE_OK);
    const OptionRow *rows = options_table(&count);
    for (size_t i = 0; i < count; i++) {
        /* A tag of its own, and its value in the same line. */
        Buffer word = buffer_new(arena);
        for (const char *letter = rows[i].word; *letter; letter++)
            buffer_format(&word, *letter == '-' ? "\\-" : "%c", *letter);
        const char *tag = arena_format(arena, "\\-\\-%s\\fR", buffer_text(&word));
        const char *found = strstr(page, tag);
        cr_assert(found, "docs/groundrow.1 lacks %s", tag);
        const char *line = arena_copy(arena, found, strcspn(found, "\n"));
        if (rows[i].value) cr_assert(strstr(line, rows[i].value), "%s lacks %s", tag, rows[i].value);
        if (rows[i].letter) {
            const char *letter = arena_format(arena, "\\-%c", rows[i].letter);
            cr_assert(strstr(page, letter), "docs/groundrow.1 lacks %s", letter);
        }
    }
}
