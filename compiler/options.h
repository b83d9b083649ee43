/* The command line as data. One table of commands and one of options drive parsing, the help text and the
 * test of the man page. */
#ifndef GROUNDROW_OPTIONS_H
#define GROUNDROW_OPTIONS_H

#include "base/text.h"
#include "output_kinds.h"

enum { JOBS_MOST = 64 };

typedef enum Command {
    COMMAND_COMPILE,
    COMMAND_CHECK,
    COMMAND_WHY,
    COMMAND_WORDS,
    COMMAND_NEW,
    COMMAND_HELP,
    COMMAND_VERSION
} Command;

typedef enum ColorWish { COLOR_AUTO, COLOR_ALWAYS, COLOR_NEVER } ColorWish;

typedef enum DumpWish { DUMP_NONE, DUMP_TREE, DUMP_FACTS } DumpWish;

typedef struct Options {
    Command command;
    const char *book;   /* its folder, without `/` at the end; of `new`: the folder to make */
    const char *output; /* NULL: `output` beside the book's folder */
    size_t jobs;        /* 0: as many as there are processors */
    const char **scenes;
    size_t scene_count; /* 0: all */
    bool with_book;     /* `--book`: the book's own files too (alone: only they) */
    OutputKinds outputs;
    bool strict, errors_json, prune, quiet, schema, points;
    ColorWish color;
    DumpWish dump;
    const char *quantity; /* of `why`: `far bank.tall`; its scene is the only one in `scenes` */
} Options;

/* One row of the table of options. */
typedef struct OptionRow {
    char letter;       /* 0: none */
    const char *word;  /* without the dashes */
    const char *value; /* what follows it, as help and man page show it; NULL: nothing */
    bool value_may_be_missing;
    unsigned commands; /* a bit (1 << command) each to which it means something */
    const char *help;
} OptionRow;

const OptionRow *options_table(size_t *count);

/* Reads the arguments, the program's name not among them; the book's folder defaults to `specs` where that
 * holds a book. False: a usage fault, and `*trouble` says which, in one line without the program's name. */
bool options_parse(Arena *arena, int count, char *const *arguments, Options *options, const char **trouble);

/* What `--help` prints. */
void options_help(Buffer *out);

#endif
