/* Stage: the summaries of a book's scenes, and the files that lie in the output folder, into index.html: the
 * whole book at a glance. One page in HTML without scripts and without anything from elsewhere, for a screen,
 * for paper and for a screen reader; what it says is said by the same facts as reports and book.txt. */
#ifndef GROUNDROW_SUMMARIES_TO_PAGE_H
#define GROUNDROW_SUMMARIES_TO_PAGE_H

#include "base/number.h"
#include "base/text.h"
#include "report/summary.h"

typedef struct PagePicture {
    const char *ending; /* `.cameras.png`; of a scene with shots `.whole.png`, by the shot's id */
    const char *title, *alt;
    unsigned wide_px, tall_px;
} PagePicture;

/* A scene and which of its files there are. */
typedef struct PageScene {
    const Summary *summary;
    bool report, data, model, notes_model, sheets, patterns, backdrop;
    const PagePicture *pictures; /* of each shot in the order of the page */
    size_t picture_count;
} PageScene;

typedef struct Page {
    const char *title; /* the book's; may be NULL */
    const Facts *book; /* what concerns all scenes (summaries_to_book) */
    LengthStyle lengths;
    const PageScene *scenes; /* in the order of the book */
    size_t scene_count;
    bool book_text;   /* book.txt is there */
    bool book_sheets; /* and book.pdf */
} Page;

/* `arena` is for what is worked out meanwhile. */
void summaries_to_page(Buffer *out, Arena *arena, const Page *page);

#endif
