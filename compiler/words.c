#include "words.h"

#include "quantity_fault.h"
#include "quantity_signs.h"
#include "vocabulary.h"

/* ---- The reference page */

static char upper(char letter) {
    return letter >= 'a' && letter <= 'z' ? (char)(letter - 'a' + 'A') : letter;
}

/* A text as a sentence: its first letter large, a stop at its end. */
static void add_sentence(Buffer *out, const char *text) {
    buffer_add_char(out, upper(text[0]));
    buffer_format(out, "%s.\n", text + 1);
}

static void add_heading(Buffer *out, const char *text) {
    buffer_format(out, "\n## %c%s\n\n", upper(text[0]), text + 1);
}

/* `[a page](#a-page)`: how headings of Markdown are linked to. */
static void add_link(Buffer *out, SectionId section) {
    const char *one = vocabulary_sections[section].one;
    buffer_format(out, "[%s](#", one);
    for (const char *letter = one; *letter; letter++)
        buffer_add_char(out, *letter == ' ' ? '-' : *letter);
    buffer_add_char(out, ')');
}

static void add_choices(Buffer *out, ChoiceId choice) {
    const char *const *choices = vocabulary_choices(choice);
    for (size_t i = 0; choices[i]; i++)
        buffer_format(out, "%s`%s`", i == 0 ? "" : choices[i + 1] ? ", " : " or ", choices[i]);
}

static void add_quantity(Buffer *out, const QuantitySlot *slot) {
    switch (slot->form) {
    case FORM_RANGE:
        buffer_add(out, "a range of lengths");
        return;
    case FORM_SIZE:
    case FORM_SIZE3:
        buffer_add(out, "a size (`36 x 24 mm`)");
        return;
    case FORM_PIXELS:
        buffer_add(out, "pixels (`8000 x 5333`)");
        return;
    case FORM_ONE:
        break;
    }
    if (slot->kind != KIND_LENGTH)
        buffer_add(out, kind_name_shown(slot->kind));
    else if (slot->place == PLACE_ON_DRAWING)
        buffer_add(out, "a length on the drawing");
    else if (slot->place == PLACE_NO_DEPTH)
        buffer_add(out, "a length");
    else
        buffer_format(out, "a length, also `drawn`, `%% frame`%s", slot->no_cover ? "" : ", `cover`");
}

static void add_name(Buffer *out, NamesId names) {
    static const char *const held[] = {[NAMES_CAST] = "a puppet of the cast",
                                       [NAMES_POSE] = "a pose of the puppet",
                                       [NAMES_BODY] = "a camera of the book",
                                       [NAMES_STOCK] = "a stock of the book",
                                       [NAMES_THING] = "a thing on the set",
                                       [NAMES_PIECE] = "a piece",
                                       [NAMES_FLAT] = "a flat",
                                       [NAMES_SHOT] = "a shot of the scene",
                                       [NAMES_CIRCUIT] = "a circuit of the book"};
    buffer_add(out, held[names]);
}

static void add_held(Buffer *out, const WordRow *row) {
    switch (row->holds) {
    case HOLDS_QUANTITY:
        add_quantity(out, &row->slot);
        return;
    case HOLDS_TEXT:
        buffer_add(out, "a text");
        return;
    case HOLDS_CHOICE:
        add_choices(out, (ChoiceId)row->detail);
        return;
    case HOLDS_NAME:
        add_name(out, (NamesId)row->detail);
        return;
    case HOLDS_LAYERS:
        add_name(out, (NamesId)row->detail);
        buffer_add(out, ", or a list of such");
        return;
    case HOLDS_TABLE:
        buffer_add(out, "words of ");
        add_link(out, (SectionId)row->detail);
        return;
    case HOLDS_NAMES:
        buffer_add(out, "names, each with words of ");
        add_link(out, (SectionId)row->detail);
        return;
    case HOLDS_POINT:
        buffer_add(out, "`[x, y]`, two lengths on the drawing");
        return;
    case HOLDS_LENS:
        buffer_add(out, "a length, or a lens of the book");
        return;
    case HOLDS_LENSES:
        buffer_add(out, "a range of lengths, or a list of lengths and lenses");
        return;
    case HOLDS_FREE:
        buffer_add(out, "a length, or `free`");
        return;
    case HOLDS_FOCUS:
        buffer_add(out, "a thing on the set, or words of ");
        add_link(out, (SectionId)row->detail);
        return;
    case HOLDS_BODIES:
        buffer_add(out, "cameras of the book, each with a lens or a list of lenses");
        return;
    case HOLDS_THINGS:
        buffer_add(out, "a list of things, or their `front`, `rear` or `eyes`");
        return;
    case HOLDS_SIZES:
        buffer_add(out, "a list of sizes, or of lengths");
        return;
    case HOLDS_SCENES:
        buffer_add(out, "a list of scenes, by their files' names without `.yaml`");
        return;
    case HOLDS_PAGES:
        buffer_add(out, "`8` or `8-9`");
        return;
    case HOLDS_FILE:
        buffer_add(out, "a path inside the book's folder");
        return;
    case HOLDS_MARKS:
        buffer_add(out, "points of the set, each with `[x, y]` in pixels");
        return;
    case HOLDS_ACCEPTS:
        buffer_add(out, "a list of things and warnings");
        return;
    case HOLDS_VERSION:
        buffer_format(out, "`%d`", LANGUAGE_NUMBER);
        return;
    }
}

static void add_section(Buffer *out, SectionId section) {
    add_heading(out, vocabulary_sections[section].one);
    add_sentence(out, vocabulary_sections[section].help);
    buffer_add(out, "\n| word | holds | what it is |\n|---|---|---|\n");
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        const WordRow *row = &vocabulary_words[i];
        if (row->section != section) continue;
        buffer_format(out, "| `%s` | ", row->word);
        add_held(out, row);
        buffer_format(out, " | %s%s", row->help, row->needed ? "; needed" : "");
        if (row->since > 1) buffer_format(out, " (since %d)", row->since);
        buffer_add(out, " |\n");
    }
}

static void add_roles(Buffer *out, unsigned roles) {
    static const char *const names[ROLE_COUNT] = {
        [ROLE_PUPPET] = "puppets",    [ROLE_PIECE] = "pieces",   [ROLE_FLAT] = "flats",
        [ROLE_BACKDROP] = "backdrop", [ROLE_GROUND] = "ground",  [ROLE_BASE] = "base",
        [ROLE_MOUND] = "mounds",      [ROLE_HOLLOW] = "hollows", [ROLE_OPENING] = "openings"};
    const char *between = "";
    for (int role = 0; role < ROLE_COUNT; role++) {
        if (!(roles >> role & 1u)) continue;
        buffer_format(out, "%s%s", between, names[role]);
        between = ", ";
    }
}

static void add_readable(Buffer *out) {
    add_heading(out, "what references read");
    buffer_add(out,
               "A reference is a name, a dot and words: `ferry.tall`, `heron.at.back`. An opening is named "
               "behind its flat:\n"
               "`wall.window.wide`. `mark` is the leading thing. Sections are read by their own word: "
               "`camera.height`,\n"
               "`page.wide`, `drawing.wide`, `allow.spare`, `crop.up`, `book.cut`, `table.tall`, "
               "`room.ceiling`; so are\n"
               "puppets of the cast (`otter.eyes`), lenses (`portrait.focal`) and stock (`ply.thick`).\n\n"
               "| behind the dot | of | what it is |\n|---|---|---|\n");
    for (size_t i = 0; i < vocabulary_readable_count; i++) {
        const ReadableRow *row = &vocabulary_readable[i];
        buffer_format(out, "| `%s` | ", row->words);
        add_roles(out, row->roles);
        buffer_format(out, " | %s |\n", row->help);
    }
}

static void add_unit(Buffer *out, const Unit *unit, int kind, const char **between) {
    if (unit->kind != kind) return;
    if (!**between) buffer_format(out, "| %s | ", kind_name((QuantityKind)kind));
    buffer_format(out, "%s`%s`", *between, unit->word);
    *between = ", ";
}

static void add_units(Buffer *out) {
    add_heading(out, "units");
    buffer_add(
        out,
        "`'` and `\"` are feet and inches. The name of a puppet of the cast is a unit too: its height.\n\n"
        "| kind | units |\n|---|---|\n");
    for (int kind = 0; kind < KIND_COUNT; kind++) {
        const char *between = "";
        for (const Unit *unit = units_all(); unit->word; unit++)
            add_unit(out, unit, kind, &between);
        for (const Unit *unit = units_joined(); unit->word; unit++)
            add_unit(out, unit, kind, &between);
        if (*between) buffer_add(out, " |\n");
    }
}

static void add_warnings(Buffer *out) {
    add_heading(out, "warnings");
    buffer_add(out, "What is meant can be accepted: `accept: [heron drawn-apart]`.\n\n"
                    "| word | what it says |\n|---|---|\n");
    for (size_t i = 0; i < vocabulary_warning_count; i++)
        buffer_format(out, "| `%s` | %s |\n", vocabulary_warnings[i].word, vocabulary_warnings[i].meaning);
}

void words_to_reference(Buffer *out) {
    buffer_format(out, "# The words of the language, number %d\n\n", LANGUAGE_NUMBER);
    buffer_add(out, "Every section with its words; docs/language.md tells how they work together.\n");
    for (int section = 0; section < SECTION_COUNT; section++)
        add_section(out, (SectionId)section);
    add_readable(out);
    add_units(out);
    add_warnings(out);
}

/* ---- The JSON Schema */

typedef struct Json {
    Buffer *out;
    int depth;
    bool first; /* nothing stands in the innermost bracket yet */
} Json;

static void json_text(Buffer *out, const char *text) {
    buffer_add_char(out, '"');
    for (const char *letter = text; *letter; letter++) {
        if (*letter == '"' || *letter == '\\') buffer_add_char(out, '\\');
        buffer_add_char(out, *letter);
    }
    buffer_add_char(out, '"');
}

/* A new line for the next entry; `key` is NULL in a list. */
static void json_next(Json *json, const char *key) {
    if (json->depth > 0) buffer_format(json->out, "%s\n%*s", json->first ? "" : ",", 2 * json->depth, "");
    json->first = false;
    if (!key) return;
    json_text(json->out, key);
    buffer_add(json->out, ": ");
}

static void json_open(Json *json, const char *key, char bracket) {
    json_next(json, key);
    buffer_add_char(json->out, bracket);
    json->depth++;
    json->first = true;
}

static void json_close(Json *json, char bracket) {
    json->depth--;
    if (!json->first) buffer_format(json->out, "\n%*s", 2 * json->depth, "");
    json->first = false;
    buffer_add_char(json->out, bracket);
}

static void json_string(Json *json, const char *key, const char *text) {
    json_next(json, key);
    json_text(json->out, text);
}

/* Parts of a schema that are short enough for one line, ready as JSON. */
static void json_raw(Json *json, const char *key, const char *value) {
    json_next(json, key);
    buffer_add(json->out, value);
}

/* What a section is called under `$defs`: `cast`. */
static const char *definition(Arena *arena, SectionId section) {
    static const char *const names[SECTION_COUNT] = {
#define SECTION(id, one, help) [SECTION_##id] = #id,
#include "vocabulary.def"
    };
    char *name = arena_string(arena, names[section]);
    for (char *letter = name; *letter; letter++) {
        if (*letter >= 'A' && *letter <= 'Z') *letter = (char)(*letter - 'A' + 'a');
    }
    return name;
}

static void add_reference_to(Json *json, SectionId section) {
    Arena *arena = json->out->arena;
    json_string(json, "$ref", arena_format(arena, "#/$defs/%s", definition(arena, section)));
}

/* Quantities are texts; what is `0`, or a plain number, is a number to other tools. */
static void add_quantity_schema(Json *json, const QuantitySlot *slot) {
    if (slot->form != FORM_ONE && slot->form != FORM_RANGE)
        json_string(json, "$ref", "#/$defs/any measure");
    else if (slot->kind == KIND_NUMBER)
        json_string(json, "$ref", "#/$defs/any number");
    else if (slot->kind == KIND_STOP || slot->kind == KIND_PRINT)
        json_string(json, "$ref", "#/$defs/any measure"); /* `0` is none of these */
    else
        json_string(json, "$ref", "#/$defs/any quantity");
}

static void add_choice_schema(Json *json, ChoiceId choice) {
    const char *const *choices = vocabulary_choices(choice);
    json_open(json, "enum", '[');
    for (size_t i = 0; choices[i]; i++)
        json_string(json, NULL, choices[i]);
    for (size_t i = 0; choices[i]; i++) { /* what readers of YAML 1.1 take for truths */
        if (text_equal(choices[i], "on")) json_raw(json, NULL, "true");
        if (text_equal(choices[i], "off")) json_raw(json, NULL, "false");
    }
    json_close(json, ']');
}

static void add_accepts_schema(Json *json) {
    json_string(json, "type", "array");
    json_open(json, "items", '{');
    json_string(json, "type", "string");
    Buffer pattern = buffer_new(json->out->arena);
    buffer_add(&pattern, "\\S +(");
    for (size_t i = 0; i < vocabulary_warning_count; i++)
        buffer_format(&pattern, "%s%s", i > 0 ? "|" : "", vocabulary_warnings[i].word);
    buffer_add(&pattern, ")$");
    json_string(json, "pattern", buffer_text(&pattern));
    json_close(json, '}');
}

static void add_names_schema(Json *json, SectionId section) {
    json_string(json, "type", "object");
    json_open(json, "additionalProperties", '{');
    add_reference_to(json, section);
    json_close(json, '}');
}

static void add_pair_schema(Json *json) {
    json_string(json, "type", "array");
    json_raw(json, "items", "{\"$ref\": \"#/$defs/any quantity\"}");
    json_raw(json, "minItems", "2");
    json_raw(json, "maxItems", "2");
}

static void add_word_schema(Json *json, const WordRow *row) {
    json_open(json, row->word, '{');
    json_string(json, "description", row->help);
    switch (row->holds) {
    case HOLDS_QUANTITY:
        add_quantity_schema(json, &row->slot);
        break;
    case HOLDS_TEXT:
        json_string(json, "$ref", "#/$defs/any text");
        break;
    case HOLDS_CHOICE:
        add_choice_schema(json, (ChoiceId)row->detail);
        break;
    case HOLDS_NAME:
        json_string(json, "$ref", "#/$defs/any name");
        break;
    case HOLDS_LAYERS:
        json_raw(json, "anyOf",
                 arena_format(json->out->arena,
                              "[{\"$ref\": \"#/$defs/any name\"}, {\"type\": \"array\", \"items\": "
                              "{\"$ref\": \"#/$defs/any name\"}, \"minItems\": 1, \"maxItems\": %d}]",
                              LAYER_STOCKS_MOST));
        break;
    case HOLDS_TABLE:
        add_reference_to(json, (SectionId)row->detail);
        break;
    case HOLDS_NAMES:
        add_names_schema(json, (SectionId)row->detail);
        break;
    case HOLDS_POINT:
        add_pair_schema(json);
        break;
    case HOLDS_MARKS:
        json_string(json, "type", "object");
        json_open(json, "additionalProperties", '{');
        add_pair_schema(json);
        json_close(json, '}');
        break;
    case HOLDS_LENS:
    case HOLDS_FREE:
        json_string(json, "$ref", "#/$defs/any quantity");
        break;
    case HOLDS_FOCUS:
        json_raw(json, "anyOf",
                 arena_format(json->out->arena,
                              "[{\"$ref\": \"#/$defs/any name\"}, {\"$ref\": \"#/$defs/%s\"}]",
                              definition(json->out->arena, (SectionId)row->detail)));
        break;
    case HOLDS_BODIES:
        json_string(json, "type", "object");
        json_raw(json, "additionalProperties",
                 "{\"anyOf\": [{\"$ref\": \"#/$defs/any quantity\"}, {\"type\": \"array\", \"items\": "
                 "{\"type\": \"string\"}, \"minItems\": 1}]}");
        break;
    case HOLDS_THINGS:
    case HOLDS_SCENES:
        json_string(json, "type", "array");
        json_raw(json, "items", "{\"$ref\": \"#/$defs/any name\"}");
        break;
    case HOLDS_SIZES:
        json_string(json, "type", "array");
        json_raw(json, "items", "{\"type\": \"string\"}");
        break;
    case HOLDS_LENSES:
        json_raw(json, "anyOf",
                 "[{\"type\": \"string\"}, {\"type\": \"array\", \"items\": {\"type\": \"string\"}}]");
        break;
    case HOLDS_PAGES:
        json_raw(json, "type", "[\"string\", \"integer\"]");
        json_raw(json, "minimum", "1");
        json_string(json, "pattern", "^[0-9]{1,5}(-[0-9]{1,5})?$");
        break;
    case HOLDS_FILE:
        json_string(json, "type", "string");
        json_string(json, "pattern", "^(?!/)(?!(.*/)?\\.\\.(/|$))[^\\\\]+$");
        break;
    case HOLDS_ACCEPTS:
        add_accepts_schema(json);
        break;
    case HOLDS_VERSION:
        json_raw(json, "enum",
                 arena_format(json->out->arena, "[%d, \"%d\"]", LANGUAGE_NUMBER, LANGUAGE_NUMBER));
        break;
    }
    json_close(json, '}');
}

/* Whether a scene can hold the section: its words may then be said in `every scene` instead, so that none is
 * missing from a file that leaves it out. */
static bool stands_in_scenes(SectionId section) {
    bool reached[SECTION_COUNT] = {[SECTION_SCENE] = true};
    for (bool more = true; more;) {
        more = false;
        for (size_t i = 0; i < vocabulary_word_count; i++) {
            const WordRow *row = &vocabulary_words[i];
            if ((row->holds != HOLDS_TABLE && row->holds != HOLDS_NAMES) || !reached[row->section] ||
                reached[row->detail])
                continue;
            reached[row->detail] = more = true;
        }
    }
    return reached[section];
}

static void add_needed(Json *json, SectionId section) {
    bool any = false;
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        const WordRow *row = &vocabulary_words[i];
        if (row->section != section || !row->needed) continue;
        if (!any) json_open(json, "required", '[');
        any = true;
        json_string(json, NULL, row->word);
    }
    if (any) json_close(json, ']');
}

static void add_section_schema(Json *json, SectionId section) {
    json_open(json, definition(json->out->arena, section), '{');
    json_string(json, "description", vocabulary_sections[section].help);
    json_string(json, "type", "object");
    json_open(json, "properties", '{');
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        if (vocabulary_words[i].section == section) add_word_schema(json, &vocabulary_words[i]);
    }
    json_close(json, '}');
    if (!stands_in_scenes(section)) add_needed(json, section);
    json_raw(json, "additionalProperties", "false");
    json_close(json, '}');
}

/* The words by which a book is told from a scene. */
static void add_words_of_books(Json *json) {
    json_open(json, "anyOf", '[');
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        const WordRow *row = &vocabulary_words[i];
        if (row->section != SECTION_BOOK || vocabulary_find(SECTION_SCENE, row->word)) continue;
        json_next(json, NULL);
        buffer_add(json->out, "{\"type\": \"object\", \"required\": [");
        json_text(json->out, row->word);
        buffer_add(json->out, "]}");
    }
    json_close(json, ']');
}

static void add_plain_definitions(Json *json) {
    json_raw(json, "any text", "{\"type\": [\"string\", \"number\", \"boolean\"]}");
    json_raw(json, "any name", "{\"type\": [\"string\", \"boolean\"]}");
    json_raw(json, "any measure", "{\"type\": \"string\", \"minLength\": 1}");
    json_raw(json, "any number", "{\"type\": [\"string\", \"number\"]}");
    json_raw(json, "any quantity", "{\"anyOf\": [{\"type\": \"string\", \"minLength\": 1}, {\"const\": 0}]}");
}

void words_to_schema(Buffer *out) {
    Json json = {.out = out};
    json_open(&json, NULL, '{');
    json_string(&json, "$schema", "https://json-schema.org/draft/2020-12/schema");
    json_string(&json, "title", arena_format(out->arena, "groundrow language %d", LANGUAGE_NUMBER));
    json_string(&json, "type", "object");
    json_open(&json, "if", '{');
    add_words_of_books(&json);
    json_close(&json, '}');
    json_raw(&json, "then", "{\"$ref\": \"#/$defs/book\"}");
    json_raw(&json, "else", "{\"$ref\": \"#/$defs/scene\"}");
    json_open(&json, "$defs", '{');
    add_plain_definitions(&json);
    for (int section = 0; section < SECTION_COUNT; section++)
        add_section_schema(&json, (SectionId)section);
    json_close(&json, '}');
    json_close(&json, '}');
    buffer_add_char(out, '\n');
}
