#include "vocabulary.h"

#include "base/text.h"

const SectionRow vocabulary_sections[SECTION_COUNT] = {
#define SECTION(id, one, help) [SECTION_##id] = {one, help},
#include "vocabulary.def"
};

const WordRow vocabulary_words[] = {
#define WORD(section, word, holds, detail, kind, form, place, cover, needed, since, help)                    \
    {SECTION_##section,                                                                                      \
     word,                                                                                                   \
     holds,                                                                                                  \
     detail,                                                                                                 \
     {form, kind, place, !(cover), (place) != PLACE_NO_DEPTH, NULL, SECTION_##section != SECTION_AT, NULL},  \
     needed,                                                                                                 \
     since,                                                                                                  \
     help},
#include "vocabulary.def"
};
const size_t vocabulary_word_count = sizeof vocabulary_words / sizeof *vocabulary_words;

const ReadableRow vocabulary_readable[] = {
#define READABLE(field, words, kind, on_drawing, roles, help)                                                \
    {FIELD_##field, words, kind, on_drawing, roles, help},
#include "vocabulary.def"
};
const size_t vocabulary_readable_count = sizeof vocabulary_readable / sizeof *vocabulary_readable;

const WarningRow vocabulary_warnings[] = {
#define WARNING(word, meaning) {word, meaning},
#include "plan/warnings.def"
};
const size_t vocabulary_warning_count = sizeof vocabulary_warnings / sizeof *vocabulary_warnings;

const WordRow *vocabulary_find(SectionId section, const char *word) {
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        if (vocabulary_words[i].section == section && text_equal(vocabulary_words[i].word, word))
            return &vocabulary_words[i];
    }
    return NULL;
}

size_t vocabulary_list(SectionId section, const char **words, size_t most) {
    size_t count = 0;
    for (size_t i = 0; i < vocabulary_word_count && count < most; i++) {
        if (vocabulary_words[i].section == section) words[count++] = vocabulary_words[i].word;
    }
    return count;
}

const ReadableRow *vocabulary_readable_as(ThingRole role, Field field) {
    for (size_t i = 0; i < vocabulary_readable_count; i++) {
        const ReadableRow *row = &vocabulary_readable[i];
        if (row->field == field && row->roles >> role & 1u) return row;
    }
    return NULL;
}

const char *const *vocabulary_choices(ChoiceId choice) {
    static const char *const lengths[] = {"feet-inches", "millimetres", NULL};
    static const char *const held[] = {"level", "upright", NULL};
    static const char *const keep[] = {"camera", NULL};
    static const char *const grain[] = {"none", "along", NULL};
    static const char *const split[] = {"on", "off", NULL};
    static const char *const fixed[] = {"below", "above", "off", NULL}; /* as in Fixing */
    static const char *const top[] = {"open", "whole", NULL};
    static const char *const paper[] = {"A4", "Letter", "A3", "Tabloid", NULL}; /* as in ShopPaper */
    static const char *const again[] = {"never", "whole", "cut", NULL};         /* as in UseAgain */
    static const char *const shape[] = {"box", "post", "cone", "wedge", "steps", "cutout", NULL};
    switch (choice) {
    case CHOICE_LENGTHS:
        return lengths;
    case CHOICE_HELD:
        return held;
    case CHOICE_KEEP:
        return keep;
    case CHOICE_GRAIN:
        return grain;
    case CHOICE_SPLIT:
        return split;
    case CHOICE_FIXED:
        return fixed;
    case CHOICE_TOP:
        return top;
    case CHOICE_PAPER:
        return paper;
    case CHOICE_AGAIN:
        return again;
    case CHOICE_SHAPE:
    case CHOICE_COUNT:
        break;
    }
    return shape;
}

bool vocabulary_is_section_word(const char *name) {
    static const char *const more[] = {"book", "the"};
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        const WordRow *row = &vocabulary_words[i];
        if ((row->holds == HOLDS_TABLE || row->holds == HOLDS_NAMES) && text_equal(row->word, name))
            return true;
    }
    for (size_t i = 0; i < sizeof more / sizeof *more; i++) {
        if (text_equal(more[i], name)) return true;
    }
    return false;
}
