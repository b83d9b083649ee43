#include "picture/summaries_to_sheets.h"

#include "picture/book_pages.h"
#include "picture/pdf_join.h"
#include "report/summaries_to_book.h"

/* The contents say on which page each scene begins, so that how many the book's own are must be known before
 * they are drawn. They are few, and the first guess is right as to how wide its numbers are. */
enum { OWN_FIRST_GUESS = 12, DRAWN_MOST = 4 };
/* Under the title block, and not in the quarter of an inch that printers leave bare. */
#define STAMP_UP_PX 20.5

static void draw_pages(Sheets *sheets, const void *context) {
    BookPages pages = *(const BookPages *)context;
    if (sheets->pages > 0) pages.own_count = sheets->pages;
    book_contents(sheets, &pages);
    book_to_mind(sheets, &pages);
    book_to_buy(sheets, &pages);
    book_cameras(sheets, &pages);
    book_puppets(sheets, &pages);
    book_room(sheets, &pages);
    book_circuits(sheets, &pages);
    book_cut(sheets, &pages);
}

/* Returns how many they are. */
static int draw_own(Arena *arena, BookPages *pages, Buffer *pdf) {
    const BookSheets *book = pages->book;
    Sheets sheets = {.arena = arena, .lengths = book->lengths};
    sheets.title = (SheetTitle){.book = book->title && book->title[0] ? book->title : "shop sheets",
                                .title = "The whole book",
                                .pages = "",
                                .numbers = "book.txt"};
    for (int i = 0; i < DRAWN_MOST; i++) {
        *pdf = buffer_new(arena);
        sheets_to_pdf(&sheets, book->paper, draw_pages, pages, pdf);
        if (sheets.page == sheets.pages) break;
        pages->own_count = sheets.page;
    }
    return sheets.page;
}

/* The number of each page in the whole, in the rim under the title block. */
static void draw_stamps(Arena *arena, const BookSheets *book, int count, Buffer *pdf) {
    const SheetPaper paper = sheet_paper(book->paper);
    Canvas *canvas = canvas_new_sheets(arena, paper.wide_mm, paper.tall_mm, "");
    const CanvasBox area = sheet_area(&(Sheets){.arena = arena, .canvas = canvas});
    TextStyle style = SHEET_TEXT;
    style.align = TEXT_TO_RIGHT;
    for (int i = 1; i <= count; i++) {
        if (i > 1) canvas_next_sheet(canvas);
        canvas_text(canvas, area.right_px, canvas_tall_px(canvas) - STAMP_UP_PX, &style,
                    arena_format(arena, "book.pdf, page %d of %d", i, count));
    }
    canvas_to_pdf(canvas, pdf);
    canvas_free(canvas);
}

static PdfPiece piece_of_scene(Arena *arena, const Summary *summary, const Buffer *sheets) {
    const char *scene = summary->scene, *title = book_title_of(summary);
    return (PdfPiece){.bytes = sheets->bytes,
                      .count = sheets->count,
                      .title = title[0] ? arena_format(arena, "%s: %s", scene, title) : scene,
                      .label = arena_format(arena, "%s ", scene)};
}

static bool join(Arena *arena, Buffer *pdf, const BookSheets *book, const Buffer *own, int page_count,
                 const char **trouble) {
    PdfPiece *pieces = ARENA_ARRAY(arena, PdfPiece, book->count + 1);
    pieces[0] = (PdfPiece){.bytes = own->bytes, .count = own->count, .label = "book "};
    for (size_t s = 0; s < book->count; s++)
        pieces[s + 1] = piece_of_scene(arena, &book->summaries[s], &book->scenes[s]);
    Buffer stamps = buffer_new(arena);
    draw_stamps(arena, book, page_count, &stamps);
    const char *title = book->title && book->title[0] ? book->title : "groundrow";
    return pdf_join(arena, pdf, title, pieces, book->count + 1, &stamps, trouble);
}

bool summaries_to_sheets(Arena *arena, Buffer *pdf, const BookSheets *book, const char **trouble) {
    Arena *own = arena_new();
    int *counts = ARENA_ARRAY(own, int, book->count), all = 0;
    for (size_t s = 0; s < book->count; s++) {
        counts[s] = pdf_page_count(book->scenes[s].bytes, book->scenes[s].count);
        all += counts[s];
    }
    BookPages pages = {.book = book,
                       .facts = book->facts->facts,
                       .cutting = book->facts->cutting,
                       .sheet_counts = counts,
                       .own_count = OWN_FIRST_GUESS};
    Buffer first = buffer_new(own);
    all += draw_own(own, &pages, &first);
    const char *reason = NULL;
    const bool joined = join(own, pdf, book, &first, all, &reason);
    if (!joined) *trouble = arena_string(arena, reason);
    arena_free(own);
    return joined;
}
