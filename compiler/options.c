#include "options.h"

#include "base/files.h"

#include <stdlib.h>
#include <string.h>

/* ---- The tables */

typedef struct CommandRow {
    const char *word;
    Command command;
    const char *values;
    const char *help;
} CommandRow;

static const CommandRow commands[] = {
    {"compile", COMMAND_COMPILE, "BOOK",
     "models, reports, pictures and sheets of every scene in the folder BOOK"},
    {"check", COMMAND_CHECK, "BOOK", "the faults and warnings alone; writes nothing"},
    {"why", COMMAND_WHY, "SCENE NAME", "how a number came about: why specs/08-fog.yaml far bank.tall"},
    {"words", COMMAND_WORDS, "", "the words of the language; with --points SCENE, its points"},
    {"new", COMMAND_NEW, "DIR", "write a small book to begin with into the new folder DIR"},
};
enum { COMMAND_ROWS = sizeof commands / sizeof *commands };

typedef enum OptionId {
    OPTION_OUTPUT,
    OPTION_JOBS,
    OPTION_SCENE,
    OPTION_BOOK,
    OPTION_ONLY,
    OPTION_JSON,
    OPTION_PATTERNS,
    OPTION_STRICT,
    OPTION_PRUNE,
    OPTION_QUIET,
    OPTION_ERRORS,
    OPTION_COLOR,
    OPTION_SCHEMA,
    OPTION_POINTS,
    OPTION_DUMP,
    OPTION_HELP,
    OPTION_VERSION,
    OPTION_ROWS
} OptionId;

#define OF(command) (1u << (command))
#define OF_BOOK (OF(COMMAND_COMPILE) | OF(COMMAND_CHECK))
#define OF_ALL (~0u)

static const OptionRow options_rows[OPTION_ROWS] = {
    [OPTION_OUTPUT] = {'o', "output", "DIR", false, OF(COMMAND_COMPILE),
                       "write into DIR (`output` beside the book's folder)"},
    [OPTION_JOBS] = {'j', "jobs", "N", false, OF_BOOK,
                     "N scenes at a time (as many as there are processors)"},
    [OPTION_SCENE] = {0, "scene", "NAME", false, OF_BOOK, "only this scene; may be said again"},
    [OPTION_BOOK] = {0, "book", NULL, false, OF(COMMAND_COMPILE),
                     "only what is of the whole book; with --scene, that scene too"},
    [OPTION_ONLY] = {0, "only", "KINDS", false, OF(COMMAND_COMPILE),
                     "only these, with commas: models, reports, pictures, sheets, page"},
    [OPTION_JSON] = {0, "json", NULL, false, OF(COMMAND_COMPILE), "each report as data too, in a .json"},
    [OPTION_PATTERNS] = {0, "patterns", "WHAT", true, OF(COMMAND_COMPILE),
                         "full-size patterns too, on tiled pages; =backdrop: of the backdrop too"},
    [OPTION_STRICT] = {0, "strict", NULL, false, OF_BOOK, "warnings are faults"},
    [OPTION_PRUNE] = {0, "prune", NULL, false, OF(COMMAND_COMPILE),
                      "delete what earlier runs wrote and none writes any more"},
    [OPTION_QUIET] = {'q', "quiet", NULL, false, OF_ALL, "say only faults and warnings"},
    [OPTION_ERRORS] = {0, "errors", "json", false, OF_BOOK | OF(COMMAND_WHY),
                       "faults and warnings as JSON, on standard output"},
    [OPTION_COLOR] = {0, "color", "WHEN", true, OF_ALL, "colours in messages: auto, always or never"},
    [OPTION_SCHEMA] = {0, "schema", NULL, false, OF(COMMAND_WORDS), "of `words`: as a JSON Schema"},
    [OPTION_POINTS] = {0, "points", NULL, false, OF(COMMAND_WORDS),
                       "of `words`: what can be marked in photographs of a SCENE"},
    [OPTION_DUMP] = {0, "dump", "STAGE", false, OF(COMMAND_COMPILE),
                     "print what a stage made of each scene: tree or facts"},
    [OPTION_HELP] = {'h', "help", NULL, false, OF_ALL, "this text"},
    [OPTION_VERSION] = {0, "version", NULL, false, OF_ALL, "the version"},
};

const OptionRow *options_table(size_t *count) {
    *count = OPTION_ROWS;
    return options_rows;
}

/* ---- Reading */

typedef struct Reader {
    Arena *arena;
    int count, next;
    char *const *arguments;
    Options *options;
    LIST(const char *) values; /* what is no option */
    LIST(const char *) scenes;
    unsigned given; /* a bit an option */
    OutputKinds only;
    const char *trouble;
} Reader;

static bool refuse(Reader *reader, const char *format, ...) __attribute__((format(printf, 2, 3)));
static bool refuse(Reader *reader, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    reader->trouble = arena_vformat(reader->arena, format, arguments);
    va_end(arguments);
    return false;
}

static bool read_jobs(Reader *reader, const char *value) {
    char *end;
    const unsigned long jobs = strtoul(value, &end, 10);
    if (value[0] < '0' || value[0] > '9' || *end != '\0' || jobs == 0 || jobs > JOBS_MOST)
        return refuse(reader, "`--jobs` is a number from 1 to %d, not `%s`", JOBS_MOST, value);
    reader->options->jobs = jobs;
    return true;
}

/* "`a`, `b` or `c`". */
static const char *list_choices(Arena *arena, const char *const *words, int count, const char *last) {
    Buffer list = buffer_new(arena);
    for (int i = 0; i < count; i++) {
        const char *between = i == 0 ? "" : i == count - 1 ? arena_format(arena, " %s ", last) : ", ";
        buffer_format(&list, "%s`%s`", between, words[i]);
    }
    return buffer_text(&list);
}

/* The index of `value` among `words`; -1 and a refusal when it is none. */
static int read_choice(Reader *reader, OptionId id, const char *value, const char *const *words, int count) {
    const OptionRow *row = &options_rows[id];
    for (int i = 0; i < count; i++) {
        if (text_equal(value, words[i])) return i;
    }
    refuse(reader, "`--%s` is %s, not `%s`", row->word, list_choices(reader->arena, words, count, "or"),
           value);
    return -1;
}

static bool read_kind(Reader *reader, const char *word) {
    const char *words[OUTPUT_ROWS];
    for (size_t i = 0; i < OUTPUT_ROWS; i++) {
        words[i] = output_rows[i].word;
        if (!text_equal(word, words[i])) continue;
        reader->only |= output_rows[i].kind;
        return true;
    }
    const char *near = text_nearest(word, words, OUTPUT_ROWS);
    return near ? refuse(reader, "`--only` knows no `%s`; did you mean `%s`?", word, near)
                : refuse(reader, "`--only` knows no `%s`; it takes %s", word,
                         list_choices(reader->arena, words, OUTPUT_ROWS, "and"));
}

/* `models,reports`, also in several options. */
static bool read_only(Reader *reader, const char *value) {
    for (;;) {
        const size_t length = strcspn(value, ",");
        if (!read_kind(reader, arena_copy(reader->arena, value, length))) return false;
        if (value[length] == '\0') return true;
        value += length + 1;
    }
}

static bool read_option(Reader *reader, OptionId id, const char *value) {
    static const char *const color_words[] = {"auto", "always", "never"};
    static const char *const dump_words[] = {"tree", "facts"};
    static const char *const errors_words[] = {"json"};
    static const char *const patterns_words[] = {"backdrop"};
    Options *options = reader->options;
    int choice = 0;
    reader->given |= 1u << id;
    switch (id) {
    case OPTION_OUTPUT:
        options->output = value;
        break;
    case OPTION_JOBS:
        return read_jobs(reader, value);
    case OPTION_SCENE:
        LIST_PUSH(reader->arena, reader->scenes, value);
        break;
    case OPTION_BOOK:
        options->with_book = true;
        break;
    case OPTION_ONLY:
        return read_only(reader, value);
    case OPTION_JSON:
        options->outputs |= OUTPUT_DATA;
        break;
    case OPTION_PATTERNS:
        options->outputs |= OUTPUT_PATTERNS;
        if (value) options->outputs |= OUTPUT_BACKDROP;
        choice = value ? read_choice(reader, id, value, patterns_words, 1) : 0;
        break;
    case OPTION_STRICT:
        options->strict = true;
        break;
    case OPTION_PRUNE:
        options->prune = true;
        break;
    case OPTION_QUIET:
        options->quiet = true;
        break;
    case OPTION_SCHEMA:
        options->schema = true;
        break;
    case OPTION_POINTS:
        options->points = true;
        break;
    case OPTION_HELP:
        options->command = COMMAND_HELP;
        break;
    case OPTION_VERSION:
        options->command = COMMAND_VERSION;
        break;
    case OPTION_ERRORS:
        choice = read_choice(reader, id, value, errors_words, 1);
        options->errors_json = true;
        break;
    case OPTION_COLOR:
        choice = value ? read_choice(reader, id, value, color_words, 3) : COLOR_ALWAYS;
        options->color = choice == 1 ? COLOR_ALWAYS : choice == 2 ? COLOR_NEVER : COLOR_AUTO;
        break;
    case OPTION_DUMP:
        choice = read_choice(reader, id, value, dump_words, 2);
        options->dump = choice == 1 ? DUMP_FACTS : DUMP_TREE;
        break;
    case OPTION_ROWS:
        break;
    }
    return choice >= 0;
}

static bool refuse_unknown(Reader *reader, const char *shown, const char *word, size_t count) {
    const char *words[OPTION_ROWS];
    for (size_t i = 0; i < OPTION_ROWS; i++)
        words[i] = options_rows[i].word;
    const char *near = word ? text_nearest(arena_copy(reader->arena, word, count), words, OPTION_ROWS) : NULL;
    return near ? refuse(reader, "unknown option `%s`; did you mean `--%s`?", shown, near)
                : refuse(reader, "unknown option `%s`", shown);
}

/* The value of an option that needs one: what stands behind it in the same argument, or the next argument. */
static bool read_with_value(Reader *reader, OptionId id, const char *attached) {
    const OptionRow *row = &options_rows[id];
    if (!row->value) {
        if (attached) return refuse(reader, "`--%s` takes no value", row->word);
        return read_option(reader, id, NULL);
    }
    const char *value = attached;
    if (!value && !row->value_may_be_missing) {
        if (reader->next == reader->count)
            return refuse(reader, "`--%s` wants a value: %s", row->word, row->value);
        value = reader->arguments[reader->next++];
    }
    if (value && value[0] == '\0') return refuse(reader, "`--%s` wants a value: %s", row->word, row->value);
    return read_option(reader, id, value);
}

static bool read_word(Reader *reader, const char *argument) {
    const char *word = argument + 2;
    const size_t length = strcspn(word, "=");
    for (int id = 0; id < OPTION_ROWS; id++) {
        if (strlen(options_rows[id].word) == length && strncmp(options_rows[id].word, word, length) == 0)
            return read_with_value(reader, (OptionId)id, word[length] ? word + length + 1 : NULL);
    }
    const char *shown = arena_format(reader->arena, "%.*s", (int)length + 2, argument);
    return refuse_unknown(reader, shown, word, length);
}

/* `-q`, `-j4`, `-qj4`, `-o DIR`. */
static bool read_letters(Reader *reader, const char *argument) {
    for (const char *letter = argument + 1; *letter; letter++) {
        int id = 0;
        while (id < OPTION_ROWS && options_rows[id].letter != *letter)
            id++;
        if (id == OPTION_ROWS) {
            uint32_t sign;
            const size_t used = utf8_decode(letter, strlen(letter), &sign);
            const char *shown = arena_format(reader->arena, "-%.*s", used > 0 ? (int)used : 1, letter);
            return refuse_unknown(reader, shown, NULL, 0);
        }
        if (options_rows[id].value)
            return read_with_value(reader, (OptionId)id, letter[1] ? letter + 1 : NULL);
        if (!read_option(reader, (OptionId)id, NULL)) return false;
    }
    return true;
}

static bool read_arguments(Reader *reader) {
    bool options_over = false;
    while (reader->next < reader->count) {
        const char *argument = reader->arguments[reader->next++];
        if (options_over || argument[0] != '-' || argument[1] == '\0') {
            LIST_PUSH(reader->arena, reader->values, argument);
        } else if (text_equal(argument, "--")) {
            options_over = true;
        } else if (argument[1] == '-' ? !read_word(reader, argument) : !read_letters(reader, argument)) {
            return false;
        }
    }
    return true;
}

/* ---- What the values mean */

static const char *without_slashes(Arena *arena, const char *path) {
    size_t length = strlen(path);
    while (length > 1 && path[length - 1] == '/')
        length--;
    return arena_copy(arena, path, length);
}

static const char *const default_book = "specs";

static bool has_book(Arena *arena, const char *folder) {
    return file_exists(path_join(arena, folder, "book.yaml"));
}

/* The folder that a path is in, as it was written: `.` for a bare name. */
static const char *folder_of(Arena *arena, const char *path) {
    const char *slash = strrchr(path, '/');
    if (!slash) return ".";
    return slash == path ? "/" : without_slashes(arena, arena_copy(arena, path, (size_t)(slash - path)));
}

static const char *last_part(const char *path) {
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

static const char *command_word(Command command) {
    for (size_t i = 0; i < COMMAND_ROWS; i++) {
        if (commands[i].command == command) return commands[i].word;
    }
    return "";
}

/* The command that a word was meant to be, or NULL. */
static const char *near_command(const char *word) {
    const char *words[COMMAND_ROWS];
    for (size_t i = 0; i < COMMAND_ROWS; i++)
        words[i] = commands[i].word;
    return text_nearest(word, words, COMMAND_ROWS);
}

static bool settle_book(Reader *reader, const char *const *values, size_t count) {
    Options *options = reader->options;
    if (count > 1) {
        const char *near = near_command(values[0]);
        if (near && !folder_exists(values[0]))
            return refuse(reader, "unknown command `%s`; did you mean `%s`?", values[0], near);
        return refuse(reader, "one book at a time, not `%s` and `%s`", values[0], values[1]);
    }
    if (count == 0 && !has_book(reader->arena, default_book))
        return refuse(reader, "which book? Name its folder, or stand where `specs/book.yaml` is");
    const char *book = without_slashes(reader->arena, count == 0 ? default_book : values[0]);
    if (text_equal(last_part(book), "book.yaml")) {
        book = folder_of(reader->arena, book);
    } else if (text_ends(book, ".yaml")) {
        const char *name = last_part(book);
        return refuse(reader, "`%s` is a scene, not a book; write `%s --scene %.*s`", book,
                      folder_of(reader->arena, book), (int)(strlen(name) - strlen(".yaml")), name);
    }
    options->book = book;
    return true;
}

/* The scene that the first values name: `specs/08-fog.yaml`, `specs 08-fog`, or in the default book `08-fog`.
 * Returns how many that takes. */
static size_t settle_scene(Reader *reader, const char *const *values, size_t count) {
    Options *options = reader->options;
    Arena *arena = reader->arena;
    size_t used = 1;
    const char *scene = count > 0 ? values[0] : "";
    if (text_ends(scene, ".yaml")) {
        options->book = folder_of(arena, scene);
        scene = last_part(scene);
        scene = arena_copy(arena, scene, strlen(scene) - strlen(".yaml"));
    } else if (count > 1 && folder_exists(scene)) {
        options->book = without_slashes(arena, scene);
        scene = values[1];
        used = 2;
    } else {
        options->book = default_book;
    }
    reader->scenes.count = 0;
    LIST_PUSH(arena, reader->scenes, scene);
    return used;
}

static bool settle_why(Reader *reader, const char *const *values, size_t count) {
    Arena *arena = reader->arena;
    const size_t used = settle_scene(reader, values, count);
    if (count <= used)
        return refuse(reader, "`why` wants a scene and a name in it: `why specs/08-fog.yaml far bank.tall`");
    Buffer quantity = buffer_new(arena);
    for (size_t i = used; i < count; i++)
        buffer_format(&quantity, "%s%s", i > used ? " " : "", values[i]);
    reader->options->quantity = buffer_text(&quantity);
    return true;
}

static bool settle_words(Reader *reader, const char *const *values, size_t count) {
    const Options *options = reader->options;
    if (!options->points) return count == 0 || refuse(reader, "`words` takes no `%s`", values[0]);
    if (options->schema) return refuse(reader, "either `--schema` or `--points`");
    if (count > 0 && settle_scene(reader, values, count) == count) return true;
    return refuse(reader, "`words --points` wants a scene: `words --points specs/08-fog.yaml`");
}

static bool settle_new(Reader *reader, const char *const *values, size_t count) {
    if (count != 1) return refuse(reader, "`new` wants one folder: `new specs`");
    reader->options->book = without_slashes(reader->arena, values[0]);
    return true;
}

static bool refuse_idle(Reader *reader) {
    const Command command = reader->options->command;
    for (int id = 0; id < OPTION_ROWS; id++) {
        if ((reader->given & 1u << id) && !(options_rows[id].commands & OF(command)))
            return refuse(reader, "`--%s` means nothing to `%s`", options_rows[id].word,
                          command_word(command));
    }
    return true;
}

/* What is asked for, or a refusal of what would come to nothing. */
static bool settle_outputs(Reader *reader) {
    Options *options = reader->options;
    const bool reports = reader->only & OUTPUT_REPORTS;
    if (!reader->only)
        for (size_t i = 0; i < OUTPUT_ROWS; i++)
            reader->only |= output_rows[i].kind;
    else if (options->outputs & OUTPUT_DATA && !reports)
        return refuse(reader, "`--json` gives reports, and `--only` leaves them out");
    options->outputs |= reader->only;
    if (options->with_book && options->scene_count == 0 && !(options->outputs & OUTPUTS_OF_BOOK))
        return refuse(reader, "`--book` gives book.txt, book.pdf and the page, and `--only` leaves them out");
    if (options->scene_count > 0 && !options->with_book && !(options->outputs & OUTPUTS_OF_SCENE))
        return refuse(reader, "the page is of the whole book: add `--book`, or leave `--scene` out");
    return true;
}

static bool settle(Reader *reader) {
    Options *options = reader->options;
    const char *const *values = reader->values.items;
    size_t count = reader->values.count;
    if (options->command == COMMAND_HELP || options->command == COMMAND_VERSION) return true;
    for (size_t i = 0; i < COMMAND_ROWS && count > 0; i++) {
        if (!text_equal(values[0], commands[i].word)) continue;
        options->command = commands[i].command;
        values++;
        count--;
        break;
    }
    if (!refuse_idle(reader)) return false;
    switch (options->command) {
    case COMMAND_WHY:
        return settle_why(reader, values, count);
    case COMMAND_NEW:
        return settle_new(reader, values, count);
    case COMMAND_WORDS:
        return settle_words(reader, values, count);
    default:
        return settle_book(reader, values, count);
    }
}

bool options_parse(Arena *arena, int count, char *const *arguments, Options *options, const char **trouble) {
    *options = (Options){.command = COMMAND_COMPILE};
    Reader reader = {.arena = arena, .count = count, .arguments = arguments, .options = options};
    bool sound = read_arguments(&reader) && settle(&reader);
    options->scenes = reader.scenes.items;
    options->scene_count = reader.scenes.count;
    sound = sound && settle_outputs(&reader);
    *trouble = reader.trouble;
    return sound;
}

/* ---- Help */

static void add_row(Buffer *out, const char *left, const char *right) {
    buffer_format(out, "  %-26s %s\n", left, right);
}

void options_help(Buffer *out) {
    buffer_add(out, "groundrow: how large to build the sets of a picture book that is photographed from\n"
                    "handmade puppets, where everything stands, and where the camera.\n\n");
    for (size_t i = 0; i < COMMAND_ROWS; i++) {
        const CommandRow *row = &commands[i];
        const char *word = row->command == COMMAND_COMPILE ? "[compile]" : row->word;
        add_row(out, arena_format(out->arena, "groundrow %s %s", word, row->values), row->help);
    }
    buffer_add(out, "\nBOOK may be left out where `specs/book.yaml` is.\n\n");
    for (size_t i = 0; i < OPTION_ROWS; i++) {
        const OptionRow *row = &options_rows[i];
        const char *letter = row->letter ? arena_format(out->arena, "-%c, ", row->letter) : "    ";
        const char *value =
            !row->value ? ""
            : row->value_may_be_missing
                ? arena_format(out->arena, "[=%s]", row->value)
                : arena_format(out->arena, "%s%s", i == OPTION_ERRORS ? "=" : " ", row->value);
        add_row(out, arena_format(out->arena, "%s--%s%s", letter, row->word, value), row->help);
    }
    buffer_add(
        out, "\nExit codes: 0 done, warnings included; 1 faults in a spec; 2 usage; 3 cannot read or write.\n"
             "The language is in docs/language.md, the command line in `man docs/groundrow.1`.\n");
}
