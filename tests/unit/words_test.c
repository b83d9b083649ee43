/* The table of words, and what is told from it. The JSON Schema is held to validators in
 * tests/external/schema/. */
#include "vocabulary.h"
#include "words.h"

#include <criterion/criterion.h>
#include <string.h>

static Arena *arena;

static void setup(void) {
    arena = arena_new();
}

static void teardown(void) {
    arena_free(arena);
}

TestSuite(words, .init = setup, .fini = teardown);

Test(words, no_word_twice_in_a_section) {
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        const WordRow *row = &vocabulary_words[i];
        cr_assert_eq(vocabulary_find(row->section, row->word), row, "`%s` stands twice", row->word);
    }
}

Test(words, sections_fit_their_list) {
    const char *words[SECTION_WORDS_MOST + 1];
    for (int section = 0; section < SECTION_COUNT; section++) {
        const size_t count = vocabulary_list((SectionId)section, words, SECTION_WORDS_MOST + 1);
        cr_assert_geq(count, 1);
        cr_assert_leq(count, (size_t)SECTION_WORDS_MOST);
    }
}

/* YAML 1.1 reads these as booleans or nothing (yaml.org/type/bool.html, yaml.org/type/null.html). */
Test(words, none_that_other_readers_take_for_something_else) {
    static const char *const taken[] = {"y", "n", "yes", "no", "on", "off", "true", "false", "null", "~"};
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        for (size_t t = 0; t < sizeof taken / sizeof *taken; t++)
            cr_assert_str_neq(vocabulary_words[i].word, taken[t]);
    }
}

Test(words, every_field_of_a_thing_is_readable_but_its_drawn_foot) {
    for (int field = 0; field < FIELD_COUNT; field++) {
        bool readable = false;
        for (int role = 0; role < ROLE_COUNT; role++)
            readable |= vocabulary_readable_as((ThingRole)role, (Field)field) != NULL;
        cr_assert_eq(readable, field != FIELD_DRAWN_X && field != FIELD_DRAWN_Y, "field %d", field);
    }
}

Test(words, reference_names_every_word) {
    Buffer out = buffer_new(arena);
    words_to_reference(&out);
    const char *page = buffer_text(&out);
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        const char *cell = arena_format(arena, "\n| `%s` | ", vocabulary_words[i].word);
        cr_assert(strstr(page, cell), "%s", vocabulary_words[i].word);
        cr_assert(strstr(page, vocabulary_words[i].help), "%s", vocabulary_words[i].help);
    }
    cr_assert(strstr(page, "| `lens` | a length, or a lens of the book | "));
    cr_assert(strstr(page, "| `wide` | a length, also `drawn`, `% frame`, `cover` | width, or `cover` |"));
    cr_assert(strstr(page, "| a weight of an area | `lb/ft2`, `kg/m2` |"));
    cr_assert(strstr(page, "| `sensor` | a size (`36 x 24 mm`) | width x height of the sensor; needed |"));
}

Test(words, links_of_the_reference_lead_to_its_headings) {
    Buffer out = buffer_new(arena);
    words_to_reference(&out);
    const char *page = buffer_text(&out);
    size_t links = 0;
    for (const char *at = page; (at = strstr(at, "](#")) != NULL; links++) {
        at += 3;
        const char *anchor = arena_copy(arena, at, strcspn(at, ")"));
        bool found = false;
        for (int section = 0; section < SECTION_COUNT; section++) {
            char *heading = arena_string(arena, vocabulary_sections[section].one);
            for (char *c = heading; *c; c++) {
                if (*c == ' ') *c = '-';
            }
            found |= strcmp(heading, anchor) == 0;
        }
        cr_assert(found, "%s", anchor);
    }
    cr_assert_geq(links, 20);
}
