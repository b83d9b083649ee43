#include "plan/page_areas.h"

#include <assert.h>
#include <math.h>

/* Edges that are stated alike may differ by what inches leave behind. */
static const double SAME_EDGE_MM = 1e-6;

bool page_area_shared(PageArea a, PageArea b, PageArea *shared) {
    const PageArea both = {fmax(a.left_mm, b.left_mm), fmin(a.right_mm, b.right_mm), fmax(a.low_mm, b.low_mm),
                           fmin(a.high_mm, b.high_mm)};
    if (both.right_mm - both.left_mm <= SAME_EDGE_MM || both.high_mm - both.low_mm <= SAME_EDGE_MM)
        return false;
    if (shared) *shared = both;
    return true;
}

bool page_area_within(PageArea inner, PageArea outer) {
    return inner.left_mm >= outer.left_mm - SAME_EDGE_MM && inner.right_mm <= outer.right_mm + SAME_EDGE_MM &&
           inner.low_mm >= outer.low_mm - SAME_EDGE_MM && inner.high_mm <= outer.high_mm + SAME_EDGE_MM;
}

PictureBleeds picture_bleeds(const PageArea *picture_on_paper, double pages_wide_mm, double page_tall_mm) {
    return (PictureBleeds){
        .across = picture_on_paper->left_mm <= SAME_EDGE_MM ||
                  picture_on_paper->right_mm >= pages_wide_mm - SAME_EDGE_MM,
        .up = picture_on_paper->low_mm <= SAME_EDGE_MM ||
              picture_on_paper->high_mm >= page_tall_mm - SAME_EDGE_MM,
    };
}

PageArea page_area_on_paper(const PageAreas *areas, PageArea on_drawing) {
    const double scale = areas->paper_per_drawn;
    return (PageArea){areas->picture_left_mm + on_drawing.left_mm * scale,
                      areas->picture_left_mm + on_drawing.right_mm * scale,
                      areas->picture_low_mm + on_drawing.low_mm * scale,
                      areas->picture_low_mm + on_drawing.high_mm * scale};
}

static PageArea on_drawing(const PageAreas *areas, PageArea on_paper) {
    const double scale = areas->paper_per_drawn;
    return (PageArea){(on_paper.left_mm - areas->picture_left_mm) / scale,
                      (on_paper.right_mm - areas->picture_left_mm) / scale,
                      (on_paper.low_mm - areas->picture_low_mm) / scale,
                      (on_paper.high_mm - areas->picture_low_mm) / scale};
}

/* How far from its left edge a page of these is bound; INFINITY where that is not known. */
static double fold_at_mm(const PageWishes *wishes) {
    switch (wishes->fold) {
    case FOLD_AT_LEFT:
        return 0;
    case FOLD_AT_RIGHT:
    case FOLD_IN_MIDDLE:
        return wishes->page_wide_mm;
    case FOLD_UNKNOWN:
        break;
    }
    return INFINITY;
}

/* One page without its margins: `safe` along the trim, `gutter` along the fold where that is stated. */
static PageArea safe_of_page(const PageWishes *wishes, size_t page) {
    const double left = (double)page * wishes->page_wide_mm, right = left + wishes->page_wide_mm;
    const double fold = fold_at_mm(wishes);
    return (PageArea){left + (left == fold ? wishes->gutter_mm : wishes->safe_mm),
                      right - (right == fold ? wishes->gutter_mm : wishes->safe_mm), wishes->safe_mm,
                      wishes->page_tall_mm - wishes->safe_mm};
}

static void add_safe(PageAreas *areas, PageArea on_paper) {
    if (page_area_shared(on_drawing(areas, on_paper), areas->picture, &areas->safe[areas->safe_count]))
        areas->safe_count++;
}

static void find_safe(PageAreas *areas, const PageWishes *wishes) {
    if (!(wishes->safe_mm > 0 || wishes->gutter_mm > 0)) return;
    PageArea first = safe_of_page(wishes, 0), last = safe_of_page(wishes, wishes->page_count - 1);
    if (wishes->page_count == 2 && !(wishes->gutter_mm > 0)) { /* nothing parts the two */
        first.right_mm = last.right_mm;
        add_safe(areas, first);
        return;
    }
    add_safe(areas, first);
    if (wishes->page_count == 2) add_safe(areas, last);
}

static void find_gutter(PageAreas *areas, const PageWishes *wishes) {
    const double fold = fold_at_mm(wishes);
    if (!(wishes->gutter_mm > 0) || !isfinite(fold)) return;
    const PageArea strip = {wishes->fold == FOLD_AT_LEFT ? fold : fold - wishes->gutter_mm,
                            wishes->fold == FOLD_AT_RIGHT ? fold : fold + wishes->gutter_mm, 0,
                            wishes->page_tall_mm};
    areas->has_gutter = page_area_shared(on_drawing(areas, strip), areas->picture, &areas->gutter);
}

static void find_texts(Arena *arena, PageAreas *areas, const PageWishes *wishes) {
    areas->texts = ARENA_ARRAY(arena, PageText, wishes->text_count);
    areas->beside = ARENA_ARRAY(arena, const char *, wishes->text_count);
    for (size_t i = 0; i < wishes->text_count; i++) {
        PageText text = {wishes->texts[i].name, on_drawing(areas, wishes->texts[i].area)};
        if (page_area_shared(text.area, areas->picture, &text.area))
            areas->texts[areas->text_count++] = text;
        else
            areas->beside[areas->beside_count++] = text.name;
    }
}

PageAreas page_areas_new(Arena *arena, const PageWishes *wishes, const Picture *picture) {
    assert(wishes->page_count == 1 || wishes->page_count == 2);
    assert((wishes->fold == FOLD_IN_MIDDLE) == (wishes->page_count == 2));
    const double wide = picture->drawing_wide_mm, tall = picture->drawing_tall_mm;
    const double scale = picture->trim_wide_mm / wide;
    const double over_x = (picture->frame_wide_mm - picture->trim_wide_mm) / 2 / scale;
    const double over_y = (picture->frame_tall_mm - picture->trim_tall_mm) / 2 / scale;
    PageAreas areas = {
        .picture = {0, wide, 0, tall},
        .frame = {-over_x, wide + over_x, -over_y, tall + over_y},
        .page_count = wishes->page_count,
        .fold = wishes->fold,
        .bleeds = over_x > 0 || over_y > 0,
        .paper_per_drawn = scale,
        .picture_left_mm = wishes->picture_left_mm,
        .picture_low_mm = wishes->picture_low_mm,
        .page_wide_mm = wishes->page_wide_mm,
        .page_tall_mm = wishes->page_tall_mm,
    };
    areas.pages = on_drawing(
        &areas, (PageArea){0, (double)wishes->page_count * wishes->page_wide_mm, 0, wishes->page_tall_mm});
    find_safe(&areas, wishes);
    find_gutter(&areas, wishes);
    find_texts(arena, &areas, wishes);
    return areas;
}
