/* What lies on a picture besides what is photographed: where it is trimmed, how far it bleeds, what is kept
 * free of what matters, where text will be printed. docs/geometry.md, rules 1 to 3, 45 and 46.
 *
 * All in millimetres on the drawing, from its lower left corner, y up (the frame of camera.h). Pure. */
#ifndef GROUNDROW_PAGE_AREAS_H
#define GROUNDROW_PAGE_AREAS_H

#include "base/arena.h"
#include "optics/camera.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct PageArea {
    double left_mm, right_mm, low_mm, high_mm;
} PageArea;

typedef struct PageText {
    const char *name;
    PageArea area;
} PageText;

/* Where the pages are bound: of a single page the side is known once its number is (even ones lie left). */
typedef enum PageFold { FOLD_UNKNOWN, FOLD_AT_LEFT, FOLD_AT_RIGHT, FOLD_IN_MIDDLE } PageFold;

typedef struct PageAreas {
    PageArea picture; /* what remains of it on the finished page: the drawing, [0, W] x [0, T] */
    PageArea frame;   /* the camera's frame, the bleed with it */
    PageArea pages; /* the trimmed pages, side by side; of a picture that fills them, the same as `picture` */
    size_t page_count;
    PageFold fold;
    bool bleeds; /* the frame reaches beyond the picture on some side */
    /* Within the picture: what is free for what matters, a rectangle a page, the left page's first. None
     * where neither `safe` nor `gutter` is stated, or where nothing is left of it. */
    PageArea safe[2];
    size_t safe_count;
    bool has_gutter;
    PageArea gutter; /* within the picture: the strip along the fold, of both pages where there are two */
    PageText *texts; /* those that lie on the picture, as far as they do */
    size_t text_count;
    const char **beside; /* names of those that lie beside it */
    size_t beside_count;
    double paper_per_drawn;                 /* paper mm for one drawn mm */
    double picture_left_mm, picture_low_mm; /* on paper, from the pages' lower left trim corner */
    double page_wide_mm, page_tall_mm;      /* on paper, one page */
} PageAreas;

/* On paper, millimetres from the pages' lower left trim corner. */
typedef struct PageWishes {
    double page_wide_mm, page_tall_mm; /* one page, trimmed */
    size_t page_count;                 /* 1 or 2 */
    PageFold fold;
    double safe_mm, gutter_mm; /* 0: none; gutter of one page */
    double picture_left_mm, picture_low_mm;
    const PageText *texts; /* their areas on paper */
    size_t text_count;
} PageWishes;

/* The picture's `trim` is what the drawing spans on paper. Texts are copied into `arena`, names are not. */
PageAreas page_areas_new(Arena *arena, const PageWishes *wishes, const Picture *picture);

/* Whether a picture's edges lie on the pages' trim edges, left or right, and top or bottom: there it bleeds
 * (rule 45). */
typedef struct PictureBleeds {
    bool across, up;
} PictureBleeds;
PictureBleeds picture_bleeds(const PageArea *picture_on_paper, double pages_wide_mm, double page_tall_mm);

/* The same place on paper, from the pages' lower left trim corner. */
PageArea page_area_on_paper(const PageAreas *areas, PageArea on_drawing);
/* What two areas share; false (nothing set) where that is nothing. `shared` may be NULL. */
bool page_area_shared(PageArea a, PageArea b, PageArea *shared);
/* Whether the whole of `inner` lies in `outer`; touching counts. */
bool page_area_within(PageArea inner, PageArea outer);

#endif
