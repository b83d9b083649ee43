/* The kinds of what a run writes, a bit each, and the words that `--only` takes for them. */
#ifndef GROUNDROW_OUTPUT_KINDS_H
#define GROUNDROW_OUTPUT_KINDS_H

typedef enum OutputKind {
    OUTPUT_MODELS = 1,
    OUTPUT_REPORTS = 2, /* of scenes and of the book */
    OUTPUT_PICTURES = 4,
    OUTPUT_PAGE = 8,      /* the book's */
    OUTPUT_DATA = 16,     /* the reports as JSON: `--json` asks for it */
    OUTPUT_SHEETS = 32,   /* for the workshop's wall; of scenes and of the book */
    OUTPUT_PATTERNS = 64, /* full-size: `--patterns` asks for them */
    OUTPUT_BACKDROP = 128 /* the backdrop full-size too: `--patterns=backdrop` */
} OutputKind;

typedef unsigned OutputKinds;

/* What `--only` can name; without it, all of them. */
typedef struct OutputRow {
    const char *word;
    OutputKind kind;
} OutputRow;
static const OutputRow output_rows[] = {{"models", OUTPUT_MODELS},
                                        {"reports", OUTPUT_REPORTS},
                                        {"pictures", OUTPUT_PICTURES},
                                        {"sheets", OUTPUT_SHEETS},
                                        {"page", OUTPUT_PAGE}};
enum { OUTPUT_ROWS = sizeof output_rows / sizeof *output_rows };

/* Made of one scene; the others of the book. */
enum {
    OUTPUTS_OF_SCENE = OUTPUT_MODELS | OUTPUT_REPORTS | OUTPUT_PICTURES | OUTPUT_SHEETS | OUTPUT_DATA |
                       OUTPUT_PATTERNS | OUTPUT_BACKDROP
};
/* For which images are decoded. */
enum { OUTPUTS_WITH_IMAGES = OUTPUT_PICTURES | OUTPUT_MODELS | OUTPUT_SHEETS | OUTPUT_PATTERNS };
enum { OUTPUTS_OF_BOOK = OUTPUT_REPORTS | OUTPUT_PAGE | OUTPUT_SHEETS };
/* The book's are made of every scene's. */
enum { OUTPUTS_FOR_BOOK = OUTPUT_SHEETS };

#endif
