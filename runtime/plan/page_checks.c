/* Where a shot would not print as it should: too few pixels, faces where the page is bound, cut or written
 * on. docs/geometry.md, rules 41 and 45 to 47. */
#include "base/text.h"
#include "plan/plan_face.h"
#include "plan/resolve.h"

#include <math.h>

/* ` in shot `near``, where there are several. */
static const char *in_shot_words(const Resolver *r, const PlanShot *shot) {
    return r->plan->shot_count > 1 ? arena_format(r->arena, ", in shot `%s`", shot->name) : "";
}

/* --- pixels an inch
 * ----------------------------------------------------------------------------------------- */

/* Another body of the book that prints the picture well enough, or -1. */
static int body_that_does(const Resolver *r, const PlanShot *shot, double wanted) {
    for (size_t i = 0; i < r->scene->body_count; i++) {
        const double has = plan_pixels_an_inch(r->plan, shot, (int)i);
        if ((int)i != shot->body && has >= wanted) return (int)i;
    }
    return -1;
}

static const char *low_print_help(Resolver *r, const PlanShot *shot, double has, double wanted) {
    const int other = body_that_does(r, shot, wanted);
    if (other >= 0)
        return arena_format(r->arena, "`%s` prints it at %s", r->scene->bodies[other].name,
                            number_fixed(r->arena, plan_pixels_an_inch(r->plan, shot, other), 0));
    const Picture *picture = &shot->picture;
    return arena_format(r->arena, "at %s it prints %s x %s with bleed, no larger",
                        number_fixed(r->arena, wanted, 0),
                        said_length(r, picture->frame_wide_mm * has / wanted),
                        said_length(r, picture->frame_tall_mm * has / wanted));
}

static void check_print(Resolver *r, const PlanShot *shot) {
    const double has = plan_pixels_an_inch(r->plan, shot, shot->body);
    const double wanted = r->plan->values[shot->shot->print];
    if (!slot_stated(r, shot->shot->print) || isnan(has) || round(has) >= wanted) return;
    plan_warn(r, "low-print", "camera", shot->shot->camera_span, low_print_help(r, shot, has, wanted),
              arena_format(
                  r->arena, "the picture has %s pixels an inch in print, where the book asks for %s%s",
                  number_fixed(r->arena, has, 0), number_fixed(r->arena, wanted, 0), in_shot_words(r, shot)));
}

/* --- faces
 * --------------------------------------------------------------------------------------------------- */

typedef struct FaceCheck {
    Resolver *r;
    int shot;
    const PlanThing *puppet;
    PlanFace face;
} FaceCheck;

static const char *clear_words(const FaceCheck *check, PageMove move) {
    const char *way = move.up          ? (move.by_mm > 0 ? "higher" : "lower")
                      : move.by_mm > 0 ? "farther right"
                                       : "farther left";
    return arena_format(check->r->arena, "%s %s on the drawing it would be clear",
                        said_drawn(check->r, check->shot, fabs(move.by_mm) + 0.05, 1), way);
}

static double on_paper_mm(const FaceCheck *check, double drawn_mm) {
    return drawn_mm * check->r->plan->shots[check->shot].areas.paper_per_drawn;
}

static void warn_of_face(const FaceCheck *check, const char *word, const char *help, const char *what) {
    const PlanShot *shot = &check->r->plan->shots[check->shot];
    const Thing *thing = check->puppet->thing;
    plan_warn(check->r, word, thing->name, thing->span, help,
              arena_format(check->r->arena, "the face of `%s` %s%s", thing->name, what,
                           in_shot_words(check->r, shot)));
}

/* Into the safe area that it is least out of. */
static PageMove move_into_safe(const PageAreas *areas, PageArea face) {
    PageMove move = page_move_within(face, areas->safe_count > 0 ? areas->safe[0] : areas->picture);
    for (size_t i = 1; i < areas->safe_count; i++) {
        const PageMove other = page_move_within(face, areas->safe[i]);
        if (fabs(other.by_mm) < fabs(move.by_mm)) move = other;
    }
    return move;
}

/* The least way clear of an area that leaves the face in a safe one; NULL: there is none. */
static const char *clear_of(const FaceCheck *check, PageArea area) {
    const PageAreas *areas = &check->r->plan->shots[check->shot].areas;
    PageMove moves[4];
    page_moves_clear(check->face.area, area, moves);
    for (int i = 0; i < 4; i++) {
        const PageArea moved = page_area_moved(check->face.area, moves[i]);
        if (isfinite(moves[i].by_mm) && fabs(move_into_safe(areas, moved).by_mm) < 1e-6)
            return clear_words(check, moves[i]);
    }
    return NULL;
}

static void warn_of_gutter(const FaceCheck *check) {
    const PageAreas *areas = &check->r->plan->shots[check->shot].areas;
    PageArea shared, column = areas->gutter; /* only sideways out of it */
    column.low_mm = -INFINITY;
    column.high_mm = INFINITY;
    page_area_shared(check->face.area, areas->gutter, &shared);
    PageMove moves[4];
    page_moves_clear(check->face.area, column, moves);
    const char *help = clear_of(check, column);
    const bool within =
        shared.right_mm - shared.left_mm >= check->face.area.right_mm - check->face.area.left_mm;
    const char *by = said_length(check->r, on_paper_mm(check, shared.right_mm - shared.left_mm));
    warn_of_face(check, "face-in-gutter", help ? help : clear_words(check, moves[0]),
                 within ? "lies in the gutter"
                        : arena_format(check->r->arena, "reaches %s into the gutter on paper", by));
}

static void warn_of_safe(const FaceCheck *check) {
    const PageAreas *areas = &check->r->plan->shots[check->shot].areas;
    const PageMove move = move_into_safe(areas, check->face.area);
    const PageMove cut = page_move_within(check->face.area, areas->picture);
    const bool part = !page_area_within(areas->pages, areas->picture);
    const char *by = said_length(check->r, on_paper_mm(check, fabs(cut.by_mm != 0 ? cut.by_mm : move.by_mm)));
    warn_of_face(check, "face-off-safe", clear_words(check, move),
                 cut.by_mm == 0
                     ? arena_format(check->r->arena, "reaches %s out of the safe area on paper", by)
                     : arena_format(check->r->arena, "is cut by %s, %s of it on paper",
                                    part ? "the edge of the picture" : "the trim", by));
}

static void warn_of_text(const FaceCheck *check) {
    const PageText *text = &check->r->plan->shots[check->shot].areas.texts[check->face.text];
    const char *help = clear_of(check, text->area);
    warn_of_face(check, "face-under-text", help ? help : "the text needs another place",
                 arena_format(check->r->arena, "lies under text area `%s`", text->name));
}

static void check_face(Resolver *r, size_t shot, const PlanThing *puppet) {
    FaceCheck check = {.r = r, .shot = (int)shot, .puppet = puppet};
    if (!plan_face(puppet, &r->plan->shots[shot], &check.face) || !check.face.in_picture) return;
    if (check.face.in_gutter) warn_of_gutter(&check);
    if (check.face.off_safe) warn_of_safe(&check);
    if (check.face.text >= 0) warn_of_text(&check);
}

void check_pages(Resolver *r) {
    for (size_t s = 0; s < r->plan->shot_count; s++) {
        check_print(r, &r->plan->shots[s]);
        for (size_t i = 0; i < r->scene->thing_count; i++) {
            const Thing *thing = &r->scene->things[i];
            const bool there = thing->shot < 0 || (size_t)thing->shot == s;
            if (thing->role == ROLE_PUPPET && !thing->faulty && there) check_face(r, s, &r->plan->things[i]);
        }
    }
}
