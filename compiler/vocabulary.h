/* The words of the language as a table (vocabulary.def): what may stand where, and what it holds. */
#ifndef GROUNDROW_VOCABULARY_H
#define GROUNDROW_VOCABULARY_H

#include "plan/scene.h"
#include "quantity.h"

#include <stdbool.h>
#include <stddef.h>

typedef enum SectionId {
#define SECTION(id, one, help) SECTION_##id,
#include "vocabulary.def"
    SECTION_COUNT
} SectionId;

typedef enum Holds {
    HOLDS_QUANTITY,
    HOLDS_TEXT,    /* any text */
    HOLDS_CHOICE,  /* one of a few words: detail is a ChoiceId */
    HOLDS_NAME,    /* a name: detail is a NamesId */
    HOLDS_TABLE,   /* words of the section in detail */
    HOLDS_NAMES,   /* a table of names, each with words of the section in detail */
    HOLDS_POINT,   /* `[x, y]` on the drawing */
    HOLDS_LENS,    /* a focal length, or a name of a lens */
    HOLDS_LENSES,  /* a range of focal lengths, or a list of such and of names */
    HOLDS_FREE,    /* a length, or `free` */
    HOLDS_FOCUS,   /* a name of a thing, or words of the section in detail */
    HOLDS_BODIES,  /* a table of cameras of the book, each with a lens or a list of lenses */
    HOLDS_THINGS,  /* a list of things, or of what `sharp` knows of them */
    HOLDS_SIZES,   /* a list of sizes, or of lengths */
    HOLDS_SCENES,  /* a list of scenes of the book */
    HOLDS_LAYERS,  /* a name as of HOLDS_NAME, or a list of such for layers */
    HOLDS_PAGES,   /* `8` or `8-9` */
    HOLDS_FILE,    /* a file inside the book's folder */
    HOLDS_ACCEPTS, /* a list of a thing's name and a warning's word */
    HOLDS_MARKS,   /* a table of points of the set, each with its place in a photograph */
    HOLDS_VERSION  /* the language's number */
} Holds;

typedef enum NamesId {
    NAMES_CAST,
    NAMES_POSE,
    NAMES_BODY,
    NAMES_STOCK,
    NAMES_THING,
    NAMES_PIECE,
    NAMES_FLAT,
    NAMES_SHOT,
    NAMES_CIRCUIT
} NamesId;
typedef enum ChoiceId {
    CHOICE_LENGTHS,
    CHOICE_HELD,
    CHOICE_SHAPE,
    CHOICE_KEEP,
    CHOICE_GRAIN,
    CHOICE_SPLIT,
    CHOICE_FIXED, /* as in Fixing */
    CHOICE_TOP,
    CHOICE_PAPER,
    CHOICE_AGAIN,
    CHOICE_COUNT
} ChoiceId;

enum { LANGUAGE_NUMBER = 1 };

typedef struct SectionRow {
    const char *one; /* `a camera` */
    const char *help;
} SectionRow;

typedef struct WordRow {
    SectionId section;
    const char *word;
    Holds holds;
    int detail;
    QuantitySlot slot; /* HOLDS_QUANTITY; for points, lenses and the like: of the lengths in it */
    bool needed;
    int since; /* the language's number that brought it */
    const char *help;
} WordRow;

extern const SectionRow vocabulary_sections[SECTION_COUNT];
extern const WordRow vocabulary_words[];
extern const size_t vocabulary_word_count;

/* The row of a word in a section, or NULL. */
const WordRow *vocabulary_find(SectionId section, const char *word);
/* The words of a section, in order; at most `most`. */
size_t vocabulary_list(SectionId section, const char **words, size_t most);
enum { SECTION_WORDS_MOST = 32 };

/* What a reference reads of a thing. */
typedef struct ReadableRow {
    Field field;
    const char *words; /* behind the name and a dot: `at.back` */
    QuantityKind kind;
    bool on_drawing;
    unsigned roles; /* a bit (1 << role) for each role that has it */
    const char *help;
} ReadableRow;
extern const ReadableRow vocabulary_readable[];
extern const size_t vocabulary_readable_count;
/* How a reference reads this field of a thing of this role, or NULL: it cannot. */
const ReadableRow *vocabulary_readable_as(ThingRole role, Field field);

/* The choices of a HOLDS_CHOICE, NULL at the end. */
const char *const *vocabulary_choices(ChoiceId choice);

/* Words and meanings of warnings, in the order of warnings.def. */
typedef struct WarningRow {
    const char *word, *meaning;
} WarningRow;
extern const WarningRow vocabulary_warnings[];
extern const size_t vocabulary_warning_count;

/* Whether a name is a word that the language itself uses at the head of a reference or a section. */
bool vocabulary_is_section_word(const char *name);

#endif
