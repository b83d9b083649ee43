#include "picture/plan_to_patterns.h"

#include "picture/pattern.h"
#include "plan/parts.h"

#include <math.h>

static const double EDGE_MM = 3; /* so that lines on an edge are drawn whole */
static const double TAB_MM = 30;

/* Drawn arms and tails reach past a puppet's planned box. */
static const double BESIDE = 0.2, ABOVE = 0.05;

static const Pixels *drawing_of(const Plan *plan, const PlanShot *shot) {
    const int wanted = shot->shot->image;
    return wanted >= 0 && plan->found ? plan->found[wanted].pixels : NULL;
}

static bool is_on_drawing(const PlanView *view, const Picture *picture) {
    return view->seen && view->foot_x_mm + view->wide_mm / 2 > 0 &&
           view->foot_x_mm - view->wide_mm / 2 < picture->drawing_wide_mm &&
           view->foot_y_mm + view->tall_mm > 0 && view->foot_y_mm < picture->drawing_tall_mm;
}

/* Whether there is a pattern of it. */
static bool pattern_of(Arena *arena, const Plan *plan, const PlanThing *thing, Pattern *pattern) {
    const ThingRole role = thing->thing->role;
    const bool cutout = thing->thing->shape == SHAPE_CUTOUT;
    if (role != ROLE_PUPPET && role != ROLE_FLAT && role != ROLE_BACKDROP && !cutout) return false;
    const PlanShot *shot = &plan->shots[thing->thing->shot >= 0 ? thing->thing->shot : 0];
    const PlanView view = plan_view(thing, &shot->cameras[0].camera, &shot->picture);
    const bool of_shot = thing->thing->shot >= 0 && plan->shot_count > 1;
    const char *name = thing->thing->name;
    *pattern = (Pattern){.name = of_shot ? arena_format(arena, "%s in %s", name, shot->name) : name,
                         .thing = thing,
                         .shot = shot,
                         .enlarged = view.scale};
    if (is_on_drawing(&view, &shot->picture)) pattern->image = drawing_of(plan, shot);
    if (cutout) pattern->outline = plan_cutout(arena, plan, thing);
    if (!pattern->image && pattern->outline.count == 0) return false;
    const bool puppet = role == ROLE_PUPPET;
    const double half = thing->wide_mm * (puppet ? 0.5 + BESIDE : 0.5);
    pattern->tab_mm = puppet && !thing->hung ? TAB_MM : 0;
    pattern->left_mm = -half - EDGE_MM;
    pattern->right_mm = half + EDGE_MM;
    pattern->low_mm = -pattern->tab_mm - EDGE_MM;
    pattern->high_mm = thing->tall_mm * (puppet ? 1 + ABOVE : 1) + EDGE_MM;
    return true;
}

/* A layer of hills that run into each other: its contour, of no shape that is drawn by its sizes. */
static bool pattern_of_contour(Arena *arena, const Plan *plan, const Part *part, Pattern *pattern) {
    const PlanThing *mound = &plan_planned(plan)[part->thing];
    if (part->shape != PART_PROFILE || mound->thing->role != ROLE_MOUND) return false;
    PlanThing *board = ARENA_NEW(arena, PlanThing);
    *board = *mound;
    board->wide_mm = part->wide_mm;
    board->tall_mm = part->tall_mm;
    *pattern = (Pattern){.name = part->name,
                         .thing = board,
                         .shot = &plan->shots[0],
                         .outline = {part->outline, part->outline_count},
                         .left_mm = -part->wide_mm / 2 - EDGE_MM,
                         .right_mm = part->wide_mm / 2 + EDGE_MM,
                         .low_mm = -EDGE_MM,
                         .high_mm = part->tall_mm + EDGE_MM};
    return true;
}

static int tiles(double all_mm, double tile_mm) {
    const double step = tile_mm - PATTERN_OVERLAP_MM;
    return all_mm <= tile_mm ? 1 : (int)ceil((all_mm - PATTERN_OVERLAP_MM) / step - 1e-9);
}

static PatternPaper paper_for(const Plan *plan) {
    const bool mm = plan->scene->lengths == STYLE_MILLIMETRES;
    PatternPaper paper = {mm ? 210 : 8.5 * MM_PER_INCH, mm ? 297 : 11 * MM_PER_INCH, 0, 0};
    paper.tile_wide_mm = paper.wide_mm - 2 * PATTERN_RIM_MM;
    paper.tile_tall_mm = paper.tall_mm - PATTERN_RIM_MM - PATTERN_FOOT_MM;
    return paper;
}

/* Which of a scene's patterns a file has. */
typedef enum PatternSet { SET_OF_THINGS, SET_OF_BACKDROP } PatternSet;

/* How many pages it takes. The backdrop, among the things, is squared up. */
static void lay_out(Pattern *it, const PatternPaper *paper, PatternSet set) {
    it->columns = tiles(it->right_mm - it->left_mm, paper->tile_wide_mm);
    it->rows = tiles(it->high_mm - it->low_mm, paper->tile_tall_mm);
    it->full_tiles = it->columns * it->rows;
    it->squared = it->thing->thing->role == ROLE_BACKDROP && set == SET_OF_THINGS;
    if (it->squared) it->columns = it->rows = 1;
}

static size_t part_count(const Plan *plan) {
    return plan->parts ? plan->parts->items.count : 0;
}

/* The backdrop last. */
static size_t find_patterns(Arena *arena, const Plan *plan, const PatternPaper *paper, PatternSet set,
                            Pattern *patterns) {
    const PlanThing *things = plan_planned(plan);
    size_t count = 0;
    for (int of_backdrop = set == SET_OF_BACKDROP; of_backdrop <= 1; of_backdrop++) {
        for (size_t i = 0; i < plan->scene->thing_count; i++) {
            if ((plan->scene->things[i].role == ROLE_BACKDROP) != (of_backdrop == 1)) continue;
            if (pattern_of(arena, plan, &things[i], &patterns[count]))
                lay_out(&patterns[count++], paper, set);
        }
        for (size_t i = 0; of_backdrop == 0 && i < part_count(plan); i++)
            if (pattern_of_contour(arena, plan, &plan->parts->items.items[i], &patterns[count]))
                lay_out(&patterns[count++], paper, set);
    }
    return count;
}

/* Returns how many pages there are in all. */
static int number_pages(Pattern *patterns, size_t count, int index_pages) {
    int page = index_pages + 1;
    for (size_t i = 0; i < count; i++) {
        patterns[i].first_page = page;
        page += patterns[i].columns * patterns[i].rows;
    }
    return page - 1;
}

static void draw_pages(Canvas *canvas, Arena *arena, const Plan *plan, const PatternPaper *paper,
                       const Pattern *patterns, size_t count) {
    for (size_t i = 0; i < count; i++) {
        for (int tile = 0; tile < patterns[i].columns * patterns[i].rows; tile++) {
            canvas_next_sheet(canvas);
            if (patterns[i].squared)
                pattern_draw_squared(canvas, arena, plan, paper, &patterns[i]);
            else
                pattern_draw_tile(canvas, arena, plan, paper, &patterns[i], tile / patterns[i].columns,
                                  tile % patterns[i].columns);
        }
    }
}

static Buffer draw_file(Arena *arena, const Plan *plan, PatternSet set) {
    Buffer pdf = buffer_new(arena);
    Arena *own = arena_new();
    const PatternPaper paper = paper_for(plan);
    Pattern *patterns = ARENA_ARRAY(own, Pattern, plan->scene->thing_count + part_count(plan) + 1);
    const size_t count = find_patterns(own, plan, &paper, set, patterns);
    if (count > 0) {
        const char *title = plan->scene->title ? plan->scene->title : plan->scene->name;
        const int index_pages = pattern_draw_index(NULL, own, plan, &paper, patterns, count, 0);
        const int pages = number_pages(patterns, count, index_pages);
        Canvas *canvas = canvas_new_sheets(own, paper.wide_mm, paper.tall_mm,
                                           arena_format(own, "%s: full-size patterns", title));
        pattern_draw_index(canvas, own, plan, &paper, patterns, count, pages);
        draw_pages(canvas, own, plan, &paper, patterns, count);
        canvas_to_pdf(canvas, &pdf);
        canvas_free(canvas);
    }
    arena_free(own);
    return pdf;
}

PatternFiles plan_to_patterns(Arena *arena, const Plan *plan, bool full_backdrop) {
    PatternFiles files = {draw_file(arena, plan, SET_OF_THINGS), buffer_new(arena)};
    if (full_backdrop) files.backdrop = draw_file(arena, plan, SET_OF_BACKDROP);
    return files;
}
