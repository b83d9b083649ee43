#include "phrase.h"

#include "base/text.h"

#include <string.h>

enum { SHOWN_MOST = 60 };

/* Sections whose words are names: the phrase for one of what they hold. */
typedef struct NamedSection {
    const char *word, *one;
    const char *inside; /* the word it stands in, NULL at the top */
} NamedSection;

static const NamedSection named_sections[] = {
    {"puppets", "puppet", NULL},      {"pieces", "piece", NULL},     {"flats", "flat", NULL},
    {"cast", "puppet", NULL},         {"stock", "stock", NULL},      {"lenses", "lens", NULL},
    {"cameras", "camera", NULL},      {"text", "text area", NULL},   {"shots", "shot", NULL},
    {"openings", "opening", "flats"}, {"poses", "pose", "cast"},     {"mounds", "mound", "ground"},
    {"hollows", "hollow", "ground"},  {"built", "built", NULL},      {"photos", "photograph", NULL},
    {"lamps", "lamp", NULL},          {"circuits", "circuit", NULL},
};

typedef struct Section {
    const char *word, *phrase;
} Section;

static const Section sections[] = {
    {"camera", "the camera"},   {"mark", "the mark"}, {"allow", "what is allowed"},
    {"ground", "the ground"},   {"base", "the base"}, {"backdrop", "the backdrop"},
    {"drawing", "the drawing"}, {"page", "the page"}, {"table", "the table"},
    {"room", "the room"},       {"crop", "the crop"}, {"tripod", "the tripod"},
};

static const char *const inner_tables[] = {"at", "drawn", "row", "picture", "marks", "every scene"};

enum {
    NAMED_COUNT = sizeof named_sections / sizeof *named_sections,
    SECTION_COUNT = sizeof sections / sizeof *sections,
    INNER_COUNT = sizeof inner_tables / sizeof *inner_tables,
};

static const NamedSection *find_named(const char *word, const char *inside) {
    for (size_t i = 0; i < NAMED_COUNT; i++) {
        const NamedSection *section = &named_sections[i];
        if (text_equal(section->word, word) &&
            (!section->inside || (inside && text_equal(section->inside, inside))))
            return section;
    }
    return NULL;
}

static const char *find_section(const char *word) {
    for (size_t i = 0; i < SECTION_COUNT; i++) {
        if (text_equal(sections[i].word, word)) return sections[i].phrase;
    }
    return NULL;
}

bool phrase_is_named_section(const char *word) {
    return find_named(word, NULL) != NULL;
}

bool phrase_is_table(const char *word) {
    for (size_t i = 0; i < INNER_COUNT; i++) {
        if (text_equal(inner_tables[i], word)) return true;
    }
    for (size_t i = 0; i < NAMED_COUNT; i++) {
        if (text_equal(named_sections[i].word, word)) return true;
    }
    return find_section(word) != NULL;
}

const char *phrase_short(Arena *arena, const char *text) {
    const size_t count = strlen(text);
    if (count <= SHOWN_MOST || utf8_length(text, count) <= SHOWN_MOST) return text;
    return arena_format(arena, "%.*s...", (int)utf8_offset(text, count, SHOWN_MOST - 3), text);
}

static const char *joined(Arena *arena, const char *thing, const char *with, const char *holder) {
    return holder ? arena_format(arena, "%s %s %s", thing, with, holder) : thing;
}

static const char *quoted(Arena *arena, const char *word) {
    return arena_format(arena, "`%s`", phrase_short(arena, word));
}

const char *phrase_of_path(Arena *arena, const char *const *words, size_t count) {
    const char *holder = NULL, *inside = NULL, *joint = "of";
    bool at_top = true; /* a section may stand here */
    for (size_t i = 0; i < count; i++) {
        const char *word = words[i];
        const bool last = i + 1 == count;
        if (at_top && !last && i == 0 && text_equal(word, "every scene")) {
            holder = "every scene";
            continue;
        }
        const NamedSection *named = find_named(word, inside);
        if (named && !last && (named->inside || at_top)) {
            const char *one = arena_format(arena, "%s `%s`", named->one, phrase_short(arena, words[++i]));
            holder = joined(arena, one, "of", holder);
            at_top = text_equal(named->word, "shots");
            inside = named->word;
            continue;
        }
        const char *section = at_top ? find_section(word) : NULL;
        at_top = false;
        if (section) {
            holder = joined(arena, section, "of", holder);
            inside = word;
        } else if (last) {
            return joined(arena, quoted(arena, word), joint, holder);
        } else if (!text_equal(word, "at")) {
            holder = joined(arena, quoted(arena, word), joint, holder);
            joint = "in";
        }
    }
    return holder ? holder : "the file";
}
