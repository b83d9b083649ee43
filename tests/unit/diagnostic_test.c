/* The shape of messages: the first samples are those of the documentation, to the character. JSON is read
 * back by jansson, which checks it against RFC 8259. */
#include "base/diagnostic.h"

#include <criterion/criterion.h>
#include <jansson.h>
#include <string.h>

static Arena *arena;
static Source files[2];
static const Sources sources = {files, 2};
static Diagnostics list;

static void set_up(void) {
    arena = arena_new();
    list = diagnostics_new(arena);
}

static void tear_down(void) {
    arena_free(arena);
}

TestSuite(diagnostic, .init = set_up, .fini = tear_down);

static void give(uint32_t file, const char *path, const char *text) {
    files[file] = source_new(arena, path, text, strlen(text));
}

static const char *text_with(DiagnosticStyle style) {
    diagnostics_sort(&list);
    Buffer out = buffer_new(arena);
    diagnostics_to_text(&out, &list, &sources, style);
    return buffer_text(&out);
}

static const char *text(void) {
    return text_with((DiagnosticStyle){0});
}

static const char *json(void) {
    Buffer out = buffer_new(arena);
    diagnostics_to_json(&out, &list, &sources);
    return buffer_text(&out);
}

Test(diagnostic, error_with_help) {
    give(1, "specs/08-fog.yaml", "scene: Fog\ncamera:\n  lens: 85 mm\n  height: 9 inn\n");
    Diagnostic *fault =
        diagnostics_error(&list, (Span){1, 4, 13, 3}, "unknown unit `%s` in `height` of the camera", "inn");
    diagnostic_help(&list, fault, "did you mean `in`?");
    cr_assert_str_eq(text(), "specs/08-fog.yaml:4:13: error: unknown unit `inn` in `height` of the camera\n"
                             "    4 |   height: 9 inn\n"
                             "      |             ^~~\n"
                             "  help: did you mean `in`?\n");
}

Test(diagnostic, note_in_another_file) {
    give(0, "specs/book.yaml", "book: The Lantern Ferry\ncast:\n  heron: {tall: 17 in}\n");
    give(1, "specs/08-fog.yaml", "scene: Fog\npieces:\n  heron: {shape: box, tall: 5 in}\n");
    Diagnostic *fault =
        diagnostics_error(&list, (Span){1, 3, 3, 5}, "a piece called `heron`, which is a puppet of the book");
    diagnostic_note(&list, fault, (Span){0, 3, 3, 5}, "the puppet");
    diagnostic_help(&list, fault, "a puppet is put on the set under `puppets`");
    cr_assert_str_eq(text(),
                     "specs/08-fog.yaml:3:3: error: a piece called `heron`, which is a puppet of the book\n"
                     "    3 |   heron: {shape: box, tall: 5 in}\n"
                     "      |   ^~~~~\n"
                     "specs/book.yaml:3:3: note: the puppet\n"
                     "    3 |   heron: {tall: 17 in}\n"
                     "      |   ^~~~~\n"
                     "  help: a puppet is put on the set under `puppets`\n");
}

Test(diagnostic, said_once_and_counted) {
    give(1, "specs/08-fog.yaml",
         "scene: Fog\nflats:\n  far bank: {back: 48 in, tall: 9 in}\npieces:\n"
         "  a: {tall: far bnak.tall}\n  b: {tall: far bnak.tall - 2 in}\n  c: {tall: 2 * far bnak.tall}\n");
    /* in any order: things are resolved by what they need, not by line */
    const Span spans[] = {{1, 6, 12, 8}, {1, 7, 16, 8}, {1, 5, 13, 8}};
    const char *where[] = {"b", "c", "a"};
    for (size_t i = 0; i < 3; i++) {
        Diagnostic *fault = diagnostics_error_once(
            &list, "far bnak", spans[i], "unknown name `far bnak` in `tall` of piece `%s`", where[i]);
        diagnostic_help(&list, fault, "did you mean `far bank`?");
    }
    cr_assert_str_eq(text(), "specs/08-fog.yaml:5:13: error: unknown name `far bnak` in `tall` of piece `a`\n"
                             "    5 |   a: {tall: far bnak.tall}\n"
                             "      |             ^~~~~~~~\n"
                             "  note: and 2 times more, first at 6:12\n"
                             "  help: did you mean `far bank`?\n");
    cr_assert_eq(list.errors, 1);
}

Test(diagnostic, keys_are_counted_by_file) {
    give(0, "a.yaml", "x: 9 inn\n");
    give(1, "b.yaml", "x: 9 inn\ny: 9 inn\n");
    diagnostics_error_once(&list, "inn", (Span){0, 1, 6, 3}, "unknown unit `inn`");
    diagnostics_error_once(&list, "inn", (Span){1, 1, 6, 3}, "unknown unit `inn`");
    diagnostics_error_once(&list, "inn", (Span){1, 2, 6, 3}, "unknown unit `inn`");
    cr_assert_eq(list.errors, 2);
    cr_assert_eq(list.items.items[0]->repeats, 0);
    cr_assert_str_eq(text(), "a.yaml:1:6: error: unknown unit `inn`\n"
                             "    1 | x: 9 inn\n"
                             "      |      ^~~\n"
                             "b.yaml:1:6: error: unknown unit `inn`\n"
                             "    1 | x: 9 inn\n"
                             "      |      ^~~\n"
                             "  note: and once more, at 2:6\n");
}

Test(diagnostic, tabs_show_as_four_blanks) {
    give(1, "t.yaml", "\tlens:\t85 mm\n");
    diagnostics_error(&list, (Span){1, 1, 1, 0}, "a tab before `lens`");
    diagnostics_error(&list, (Span){1, 1, 8, 2}, "x");
    cr_assert_str_eq(text(), "t.yaml:1:1: error: a tab before `lens`\n"
                             "    1 |     lens:    85 mm\n"
                             "      | ^\n"
                             "t.yaml:1:8: error: x\n"
                             "    1 |     lens:    85 mm\n"
                             "      |              ^~\n");
}

Test(diagnostic, columns_count_code_points) {
    give(1, "t.yaml", "fa\xCC\x88hre: 9 \xE2\x80\xB3 x\n\xE6\xA9\x8B: 9 inn\n");
    diagnostics_error(&list, (Span){1, 1, 12, 1}, "combining");
    diagnostics_error(&list, (Span){1, 2, 6, 3}, "wide");
    cr_assert_str_eq(text(), "t.yaml:1:12: error: combining\n"
                             "    1 | fa\xCC\x88hre: 9 \xE2\x80\xB3 x\n"
                             "      |           ^\n"
                             "t.yaml:2:6: error: wide\n"
                             "    2 | \xE6\xA9\x8B: 9 inn\n"
                             "      |       ^~~\n");
}

Test(diagnostic, nothing_steers_the_terminal) {
    give(1, "t\033.yaml",
         "a\033[31m: \xE4\x07\xE2\x80\xAE"
         "b\n");
    diagnostics_error(&list, (Span){1, 1, 9, 1}, "`\033[2J` is \xFF odd");
    cr_assert_str_eq(text(), "t?.yaml:1:9: error: `?[2J` is ? odd\n"
                             "    1 | a?[31m: ???b\n"
                             "      |         ^\n");
}

Test(diagnostic, places_without_a_line) {
    give(0, "specs/book.yaml", "");
    Diagnostic *fault = diagnostics_error(&list, (Span){0}, "no book.yaml in this folder");
    fault->path = "specs";
    diagnostic_help(&list, fault, "`groundrow new specs` writes a small one");
    diagnostics_error(&list, (Span){0}, "over 1 MiB");
    cr_assert_str_eq(text(), "specs: error: no book.yaml in this folder\n"
                             "  help: `groundrow new specs` writes a small one\n"
                             "specs/book.yaml: error: over 1 MiB\n");
    cr_assert_str_eq(json(),
                     "[\n {\"severity\": \"error\", \"file\": \"specs\", \"message\": "
                     "\"no book.yaml in this folder\", \"notes\": [], \"help\": \"`groundrow new specs` "
                     "writes a small one\"},\n {\"severity\": \"error\", \"file\": \"specs/book.yaml\", "
                     "\"message\": \"over 1 MiB\", \"notes\": []}\n]\n");
}

Test(diagnostic, empty_line_and_span_past_its_end) {
    give(1, "specs/08-fog.yaml", "\nab\n");
    diagnostics_error(&list, (Span){1, 1, 1, 0}, "an empty scene");
    diagnostics_error(&list, (Span){1, 2, 3, 5}, "past");
    diagnostics_error(&list, (Span){1, 9, 1, 1}, "no such line");
    cr_assert_str_eq(text(), "specs/08-fog.yaml:1:1: error: an empty scene\n"
                             "    1 | \n"
                             "      | ^\n"
                             "specs/08-fog.yaml:2:3: error: past\n"
                             "    2 | ab\n"
                             "      |   ^\n"
                             "specs/08-fog.yaml:9:1: error: no such line\n"
                             "    9 | \n"
                             "      | ^\n");
}

Test(diagnostic, gutter_widens) {
    Buffer lines = buffer_new(arena);
    for (int i = 1; i < 123456; i++)
        buffer_add_char(&lines, '\n');
    buffer_add(&lines, "here");
    give(1, "t.yaml", buffer_text(&lines));
    diagnostics_error(&list, (Span){1, 123456, 1, 4}, "far down");
    cr_assert_str_eq(text(), "t.yaml:123456:1: error: far down\n"
                             "123456 | here\n"
                             "       | ^~~~\n");
}

/* The column, on its line, of what a caret line points at. */
static const char *pointed_at(const char *rendered) {
    const char *first = strchr(rendered, '\n') + 1, *second = strchr(first, '\n') + 1;
    return first + strcspn(second, "^");
}

Test(diagnostic, long_lines_are_cut_to_a_window) {
    Buffer line = buffer_new(arena);
    for (int i = 0; i < 1000; i++)
        buffer_format(&line, "%d, ", 1000 + i);
    give(1, "t.yaml", buffer_text(&line));
    for (uint32_t at = 0; at < 1000; at += 37) {
        list = diagnostics_new(arena);
        diagnostics_error(&list, (Span){1, 1, 1 + 6 * at, 4}, "x");
        const char *shown = text();
        char wanted[16];
        snprintf(wanted, sizeof wanted, "%zu", (size_t)(1000 + at));
        cr_assert_eq(strncmp(pointed_at(shown), wanted, 4), 0, "%s", shown);
        cr_assert_lt(strlen(shown), 400, "%s", shown);
    }
}

Test(diagnostic, one_message_a_place_the_first) {
    give(1, "t.yaml", "lens: 85\n");
    diagnostics_warning(&list, "odd", (Span){1, 1, 7, 2}, "a warning");
    diagnostics_warning(&list, "odd", (Span){1, 1, 7, 2}, "the same word again");
    diagnostics_error(&list, (Span){1, 1, 7, 2}, "the fault");
    Diagnostic *dummy = diagnostics_error(&list, (Span){1, 1, 7, 1}, "a second fault");
    diagnostic_help(&list, dummy, "never seen");
    diagnostics_warning(&list, "other", (Span){1, 1, 7, 2}, "a later warning");
    cr_assert_eq(list.errors, 1);
    cr_assert_eq(list.warnings, 1);
    cr_assert_str_eq(text(), "t.yaml:1:7: warning: a warning\n"
                             "    1 | lens: 85\n"
                             "      |       ^~\n"
                             "t.yaml:1:7: error: the fault\n"
                             "    1 | lens: 85\n"
                             "      |       ^~\n");
}

Test(diagnostic, limits) {
    give(0, "a.yaml", "x\n");
    give(1, "b.yaml", "x\n");
    for (uint32_t i = 0; i < 5; i++) {
        diagnostics_error(&list, (Span){0, 1 + i, 1, 1}, "a%zu", (size_t)i);
        diagnostics_error(&list, (Span){1, 1 + i, 1, 1}, "b%zu", (size_t)i);
    }
    const char *shown = text_with((DiagnosticStyle){.most_a_file = 3, .most_a_run = 5});
    cr_assert_not_null(strstr(shown, "a2\n"));
    cr_assert_null(strstr(shown, "a3\n"));
    cr_assert_not_null(strstr(shown, "\na.yaml: and 2 more (see --errors=json)\nb.yaml:1:1: "));
    cr_assert_not_null(strstr(shown, "b1\n"));
    cr_assert_null(strstr(shown, "b2\n"));
    cr_assert(text_ends(shown, "      | ^\nand 3 more (see --errors=json)\n"), "%s", shown);
}

Test(diagnostic, color) {
    give(1, "t.yaml", "lens: 85\n");
    Diagnostic *fault = diagnostics_error(&list, (Span){1, 1, 7, 2}, "x");
    diagnostic_note(&list, fault, (Span){0}, "n");
    diagnostic_help(&list, fault, "h");
    cr_assert_str_eq(text_with((DiagnosticStyle){.color = true}),
                     "\033[1mt.yaml:1:7:\033[0m \033[1;31merror:\033[0m x\n"
                     "    1 | lens: 85\n"
                     "      |       \033[1;31m^~\033[0m\n"
                     "  \033[1;36mnote:\033[0m n\n"
                     "  \033[1;32mhelp:\033[0m h\n");
}

Test(diagnostic, json_is_json) {
    give(1, "a \"b\"\\c\xFF.yaml", "lens: 85\nx\n");
    Diagnostic *fault = diagnostics_warning(&list, "drawn-apart", (Span){1, 1, 7, 2},
                                            "`\"` \\ \n \t \x01 \x7F \xE4 \xE2\x80\xA8 \xC3\xA4");
    diagnostic_note(&list, fault, (Span){1, 2, 1, 1}, "there");
    diagnostic_note(&list, fault, (Span){0}, "a fact");
    diagnostics_error_once(&list, "k", (Span){1, 2, 1, 1}, "k");
    diagnostics_error_once(&list, "k", (Span){1, 2, 3, 1}, "k");
    json_error_t trouble;
    json_t *read = json_loads(json(), JSON_REJECT_DUPLICATES, &trouble);
    cr_assert_not_null(read, "%s: %s", trouble.text, json());
    cr_assert_eq(json_array_size(read), 2);
    const char *severity, *word, *file, *message;
    int line, column, length;
    json_t *notes;
    cr_assert_eq(json_unpack(json_array_get(read, 0), "{s:s,s:s,s:s,s:i,s:i,s:i,s:s,s:o!}", "severity",
                             &severity, "word", &word, "file", &file, "line", &line, "column", &column,
                             "length", &length, "message", &message, "notes", &notes),
                 0);
    cr_assert_str_eq(severity, "warning");
    cr_assert_str_eq(word, "drawn-apart");
    cr_assert_str_eq(file, "a \"b\"\\c\xEF\xBF\xBD.yaml");
    cr_assert_str_eq(message, "`\"` \\ \n \t \x01 \x7F \xEF\xBF\xBD \xE2\x80\xA8 \xC3\xA4");
    cr_assert(line == 1 && column == 7 && length == 2);
    cr_assert_eq(json_array_size(notes), 2);
    cr_assert_eq(json_integer_value(json_object_get(json_array_get(notes, 0), "line")), 2);
    cr_assert_null(json_object_get(json_array_get(notes, 1), "line"));
    json_t *repeats = json_object_get(json_array_get(read, 1), "notes");
    cr_assert_str_eq(json_string_value(json_object_get(json_array_get(repeats, 0), "message")),
                     "and once more, at 2:3");
    json_decref(read);
}

Test(diagnostic, json_of_nothing) {
    cr_assert_str_eq(json(), "[]\n");
    cr_assert_str_eq(text(), "");
}

Test(diagnostic, sorted_by_file_line_column_and_stable) {
    give(0, "a", "x\n");
    give(1, "b", "x\n");
    diagnostics_error(&list, (Span){1, 1, 1, 1}, "4");
    diagnostics_error(&list, (Span){0, 2, 1, 1}, "3");
    diagnostics_error(&list, (Span){0, 1, 9, 1}, "2");
    diagnostics_warning(&list, "b", (Span){0, 1, 2, 1}, "0");
    diagnostics_warning(&list, "a", (Span){0, 1, 2, 1}, "1");
    diagnostics_sort(&list);
    for (size_t i = 0; i < 5; i++)
        cr_assert_eq(list.items.items[i]->message[0], (char)('0' + i));
}

Test(diagnostic, appended_copies_outlive_the_first_list) {
    give(1, "t.yaml", "lens: 85\n");
    Arena *other = arena_new();
    Diagnostics first = diagnostics_new(other);
    Diagnostic *fault = diagnostics_error_once(&first, "k", (Span){1, 1, 7, 2}, "x");
    diagnostics_error_once(&first, "k", (Span){1, 1, 8, 2}, "x");
    diagnostic_note(&first, fault, (Span){0}, "n");
    diagnostic_help(&first, fault, "h");
    diagnostics_append(&list, &first);
    arena_free(other);
    cr_assert_eq(list.errors, 1);
    cr_assert_str_eq(text(), "t.yaml:1:7: error: x\n"
                             "    1 | lens: 85\n"
                             "      |       ^~\n"
                             "  note: n\n"
                             "  note: and once more, at 1:8\n"
                             "  help: h\n");
    diagnostics_error(&list, (Span){1, 1, 7, 2}, "hidden by what was appended");
    cr_assert_eq(list.errors, 1);
}

/* A file full of faults must not take quadratic time: 200,000 at once is far over any limit's sense. */
Test(diagnostic, many, .timeout = 20) {
    give(1, "t.yaml", "x\n");
    for (uint32_t i = 0; i < 200000; i++)
        diagnostics_error(&list, (Span){1, 200000 - i, 1 + i % 7, 1}, "x");
    cr_assert_eq(list.errors, 200000);
    diagnostics_sort(&list);
    cr_assert_eq(list.items.items[0]->span.line, 1);
}
