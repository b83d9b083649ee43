/* The page of a shot: how much of it the picture takes, and what else lies on it. docs/geometry.md, rules 1,
 * 2, 45 and 46. */
#include "base/text.h"
#include "plan/resolve.h"

#include <math.h>

static const Span NOWHERE = {0};

static int page_count(const Shot *shot) {
    return shot->first_page > 0 && shot->last_page > shot->first_page ? 2 : 1;
}

/* Even pages lie left, so that they are bound at their right edge. */
static PageFold fold_of(const Shot *shot) {
    if (page_count(shot) == 2) return FOLD_IN_MIDDLE;
    if (shot->first_page == 0) return FOLD_UNKNOWN;
    return shot->first_page % 2 == 0 ? FOLD_AT_RIGHT : FOLD_AT_LEFT;
}

/* --- within the pages
 * --------------------------------------------------------------------------------------- */

typedef struct Pages {
    double wide_mm, tall_mm;
    bool spread;
} Pages;

typedef struct Edges { /* what states each of them */
    Span left, right, low, high;
} Edges;

static bool past(Resolver *r, const Pages *pages, Span span, const char *what, double by_mm,
                 const char *side) {
    const double band = 1e-6;
    if (by_mm <= band) return false;
    diagnostics_error(r->diagnostics, span, "%s reaches %s past the %s trim edge of its %s, %s %s x %s", what,
                      said_length(r, by_mm), side, pages->spread ? "pages" : "page",
                      pages->spread ? "which are" : "which is", said_length(r, pages->wide_mm),
                      said_length(r, pages->tall_mm));
    return true;
}

/* Each edge is said, since each is another word to change; opposite ones are one fault. */
static bool check_on_pages(Resolver *r, const Pages *pages, const char *what, PageArea on_paper,
                           const Edges *edges) {
    const bool across = past(r, pages, edges->left, what, -on_paper.left_mm, "left") ||
                        past(r, pages, edges->right, what, on_paper.right_mm - pages->wide_mm, "right");
    const bool up = past(r, pages, edges->low, what, -on_paper.low_mm, "lower") ||
                    past(r, pages, edges->high, what, on_paper.high_mm - pages->tall_mm, "upper");
    return !across && !up;
}

static Span first_stated(const Resolver *r, int slot, int other) {
    return slot_span(r, slot_stated(r, slot) ? slot : other);
}

/* --- the picture's part
 * ------------------------------------------------------------------------------------- */

static bool states_a_part(const Resolver *r, const Shot *shot) {
    return slot_stated(r, shot->picture_wide) || slot_stated(r, shot->picture_tall) ||
           slot_stated(r, shot->picture_left) || slot_stated(r, shot->picture_low);
}

static bool fits_the_pages(Resolver *r, const Pages *pages, int slot, double size_mm, double most_mm,
                           const char *word) {
    if (size_mm <= most_mm + 1e-6) return true;
    Diagnostic *d = diagnostics_error(r->diagnostics, slot_span(r, slot),
                                      "the picture is %s %s, but its %s only %s", said_length(r, size_mm),
                                      word, pages->spread ? "pages are" : "page is", said_length(r, most_mm));
    diagnostic_help(r->diagnostics, d,
                    "`picture` is measured on paper, without bleed; leave `%s` out where it fills the %s",
                    word, pages->spread ? "pages" : "page");
    return false;
}

static bool part_of_pages(Resolver *r, const Shot *shot, const Pages *pages, PageArea *part) {
    double wide, tall, left, low;
    const SlotInto wanted[] = {{shot->picture_wide, &wide},
                               {shot->picture_tall, &tall},
                               {shot->picture_left, &left},
                               {shot->picture_low, &low}};
    if (!resolve_all(r, wanted, sizeof wanted / sizeof *wanted)) return false;
    const bool wide_fits = fits_the_pages(r, pages, shot->picture_wide, wide, pages->wide_mm, "wide");
    const bool tall_fits = fits_the_pages(r, pages, shot->picture_tall, tall, pages->tall_mm, "tall");
    if (!wide_fits || !tall_fits) return false;
    *part = (PageArea){left, left + wide, low, low + tall};
    const Edges edges = {first_stated(r, shot->picture_left, shot->picture_wide),
                         first_stated(r, shot->picture_left, shot->picture_wide),
                         first_stated(r, shot->picture_low, shot->picture_tall),
                         first_stated(r, shot->picture_low, shot->picture_tall)};
    return check_on_pages(r, pages, "the picture", *part, &edges);
}

bool make_page(Resolver *r, int index, PictureWishes *wishes) {
    const Shot *shot = &r->scene->shots[index];
    wishes->pages = page_count(shot);
    if (!states_a_part(r, shot)) return true;
    const Pages pages = {wishes->pages * wishes->page_wide_mm, wishes->page_tall_mm, wishes->pages == 2};
    PageArea part;
    if (!part_of_pages(r, shot, &pages, &part)) return false;
    const PictureBleeds bleeds = picture_bleeds(&part, pages.wide_mm, pages.tall_mm);
    wishes->part_wide_mm = part.right_mm - part.left_mm;
    wishes->part_tall_mm = part.high_mm - part.low_mm;
    wishes->no_bleed_across = !bleeds.across;
    wishes->no_bleed_up = !bleeds.up;
    return true;
}

/* Defaults of the part: all of the pages, in the middle. */
bool page_default(Resolver *r, int index, int slot, bool *handled, double *value) {
    const Shot *shot = &r->scene->shots[index];
    double whole, taken;
    *handled = slot == shot->picture_wide || slot == shot->picture_tall || slot == shot->picture_left ||
               slot == shot->picture_low;
    if (!*handled) return false;
    const bool across = slot == shot->picture_wide || slot == shot->picture_left;
    if (!resolve_slot(r, across ? shot->page_wide : shot->page_tall, NOWHERE, &whole)) return false;
    whole *= across ? page_count(shot) : 1;
    if (slot == shot->picture_wide || slot == shot->picture_tall) {
        resolve_because(r, "rule 45", "unstated: all of the pages");
        *value = whole;
        return true;
    }
    if (!resolve_slot(r, across ? shot->picture_wide : shot->picture_tall, NOWHERE, &taken)) return false;
    resolve_because(r, "rule 45", "unstated: in the middle of the pages");
    *value = (whole - taken) / 2;
    return true;
}

/* --- what lies on the pages
 * --------------------------------------------------------------------------------- */

static bool text_on_paper(Resolver *r, const Pages *pages, const TextArea *text, PageText *area) {
    double left, low, wide, tall;
    const SlotInto wanted[] = {
        {text->left, &left}, {text->low, &low}, {text->wide, &wide}, {text->tall, &tall}};
    if (!resolve_all(r, wanted, sizeof wanted / sizeof *wanted)) return false;
    *area = (PageText){text->name, {left, left + wide, low, low + tall}};
    const Edges edges = {slot_span(r, text->left), slot_span(r, text->wide), slot_span(r, text->low),
                         slot_span(r, text->tall)};
    return check_on_pages(r, pages, arena_format(r->arena, "text area `%s`", text->name), area->area, &edges);
}

void make_page_areas(Resolver *r, int index) {
    const Shot *shot = &r->scene->shots[index];
    PlanShot *planned = &r->plan->shots[index];
    PageWishes wishes = {.page_count = (size_t)page_count(shot), .fold = fold_of(shot)};
    PageText *texts = ARENA_ARRAY(r->arena, PageText, shot->text_count);
    const SlotInto wanted[] = {{shot->page_wide, &wishes.page_wide_mm},
                               {shot->page_tall, &wishes.page_tall_mm},
                               {shot->safe, &wishes.safe_mm},
                               {shot->gutter, &wishes.gutter_mm},
                               {shot->picture_left, &wishes.picture_left_mm},
                               {shot->picture_low, &wishes.picture_low_mm}};
    if (!resolve_all(r, wanted, sizeof wanted / sizeof *wanted)) return;
    const Pages pages = {(double)wishes.page_count * wishes.page_wide_mm, wishes.page_tall_mm,
                         wishes.page_count == 2};
    bool sound = true;
    for (size_t i = 0; i < shot->text_count; i++)
        sound = text_on_paper(r, &pages, &shot->texts[i], &texts[i]) && sound;
    if (!sound || !resolve(r, NODE_PICTURE, index, NOWHERE)) return;
    wishes.texts = texts;
    wishes.text_count = shot->text_count;
    planned->areas = page_areas_new(r->arena, &wishes, &planned->picture);
}
