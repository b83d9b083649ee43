#include "see/slack.h"

#include <math.h>

/* Ways to take in more: the frame slides to one of the four sides, or grows all round. */
enum { WIDER = SIDE_COUNT, WAYS };

/* The frame and what surrounds it, in a raster whose pixels begin and end at the frame's edges. */
typedef struct Around {
    const Scenery *scenery;
    const PlanShot *shot;
    int shot_index;
    const Camera *camera;
    Raster *raster;
    int left, right, top, bottom; /* the frame's pixels: from the first to before the last */
} Around;

/* Of a very tall frame pixels are taller than wide: no strip of finer ones is larger than a raster may be. */
enum { TALL_MOST_PX = RASTER_SIDE_MOST_PX / 5 };

static Around look_around(Arena *arena, const Scenery *scenery, int shot, int wide_px) {
    const PlanShot *planned = &scenery->plan->shots[shot];
    const Picture *picture = &planned->picture;
    const double tall = round(wide_px * picture->frame_tall_mm / picture->frame_wide_mm);
    const int tall_px = (int)fmin(fmax(tall, 1), TALL_MOST_PX);
    const int out_x = (int)ceil(SLACK_MOST * wide_px), out_y = (int)ceil(SLACK_MOST * tall_px);
    const RasterWindow frame = raster_frame(picture, 0);
    const double px_x = (frame.right_mm - frame.left_mm) / wide_px,
                 px_y = (frame.high_mm - frame.low_mm) / tall_px;
    const RasterWindow window = {frame.left_mm - out_x * px_x, frame.right_mm + out_x * px_x,
                                 frame.low_mm - out_y * px_y, frame.high_mm + out_y * px_y};
    Around around = {.scenery = scenery,
                     .shot = planned,
                     .shot_index = shot,
                     .camera = &planned->cameras[0].camera,
                     .left = out_x,
                     .right = out_x + wide_px,
                     .top = out_y,
                     .bottom = out_y + tall_px};
    around.raster =
        raster_new(arena, around.camera, picture, window, wide_px + 2 * out_x, tall_px + 2 * out_y);
    raster_keep_facets(around.raster);
    scenery_draw(scenery, around.raster, shot);
    return around;
}

static bool is_bare_at(const Around *around, const Raster *raster, int x, int y) {
    return scenery_bare(around->scenery, raster, (size_t)y * (size_t)raster->wide_px + (size_t)x);
}

/* A place in shares of the frame from its upper left corner: inside, both are between 0 and 1. */
typedef struct Spread {
    double left, right, top, bottom;
} Spread;

/* How far the frame goes, in a way, until it touches something: a share of its own side. */
static double reach(int way, const Spread *s) {
    const double left = -s->right, right = s->left - 1, up = -s->bottom, down = s->top - 1;
    const double middle_x = (s->left + s->right) / 2, middle_y = (s->top + s->bottom) / 2;
    const bool abreast = middle_y >= 0 && middle_y <= 1, in_line = middle_x >= 0 && middle_x <= 1;
    switch (way) {
    case SIDE_LEFT:
        return abreast && middle_x < 0 ? fmax(left, 0) : INFINITY;
    case SIDE_RIGHT:
        return abreast && middle_x > 1 ? fmax(right, 0) : INFINITY;
    case SIDE_TOP:
        return in_line && middle_y < 0 ? fmax(up, 0) : INFINITY;
    case SIDE_BOTTOM:
        return in_line && middle_y > 1 ? fmax(down, 0) : INFINITY;
    default:
        return fmax(fmax(left, right), fmax(up, down));
    }
}

static Spread spread_of(const Around *around, int x, int y) {
    const double wide = around->right - around->left, tall = around->bottom - around->top;
    return (Spread){(x - around->left) / wide, (x + 1 - around->left) / wide, (y - around->top) / tall,
                    (y + 1 - around->top) / tall};
}

/* --- by pixels */

/* What has been found: in each way the least reach, and of the wider one at each side too. */
typedef struct Found {
    double least[WAYS];
    double wider_at[SIDE_COUNT];
} Found;

static FrameSide side_of_spread(const Spread *s) {
    const double out[SIDE_COUNT] = {[SIDE_LEFT] = -s->right,
                                    [SIDE_RIGHT] = s->left - 1,
                                    [SIDE_TOP] = -s->bottom,
                                    [SIDE_BOTTOM] = s->top - 1};
    int most = 0;
    for (int side = 1; side < SIDE_COUNT; side++)
        most = out[side] > out[most] ? side : most;
    return (FrameSide)most;
}

static void find(Found *found, Spread spread) {
    const Spread *const s = &spread;
    for (int way = 0; way < WAYS; way++)
        found->least[way] = fmin(found->least[way], reach(way, s));
    const FrameSide side = side_of_spread(s);
    found->wider_at[side] = fmin(found->wider_at[side], reach(WIDER, s));
}

/* The first bare pixel of a row from `x` on, to the left or to the right; false: none before its end. */
static bool first_bare(const Around *around, int x, int y, int step, int *at) {
    for (; x >= 0 && x < around->raster->wide_px; x += step) {
        if (!is_bare_at(around, around->raster, x, y)) continue;
        *at = x;
        return true;
    }
    return false;
}

/* Beside the frame, row by row, the nearest is what it touches first; above and below it, anything in line
 * with it too. */
static void find_in_row(const Around *around, int y, Found *found) {
    int x;
    if (first_bare(around, around->left - 1, y, -1, &x)) find(found, spread_of(around, x, y));
    if (first_bare(around, around->right, y, 1, &x)) find(found, spread_of(around, x, y));
    if (y >= around->top && y < around->bottom) return;
    if (first_bare(around, around->left, y, 1, &x) && x < around->right) find(found, spread_of(around, x, y));
}

/* --- by finer pixels, where the first bare ones lie */

enum { FINER = 32, ALONG = 2 }; /* pixels to one of those: outwards, and along the edge */

/* A strip a little wider than the pixel that was found, as long as the edge that reaches it: a growing edge
 * is longer by as much, and a pixel found at its very end may lie past it. */
static Spread strip_of(const Around *around, int way, FrameSide side, double found) {
    const double px_x = 1.0 / (around->right - around->left), px_y = 1.0 / (around->bottom - around->top);
    const double more_x = way == WIDER ? found + 1.25 * px_x : 0,
                 more_y = way == WIDER ? found + 1.25 * px_y : 0;
    const Spread all = {-more_x, 1 + more_x, -more_y, 1 + more_y};
    switch (side) {
    case SIDE_LEFT:
        return (Spread){-found - 1.25 * px_x, -found + px_x, all.top, all.bottom};
    case SIDE_RIGHT:
        return (Spread){1 + found - px_x, 1 + found + 1.25 * px_x, all.top, all.bottom};
    case SIDE_TOP:
        return (Spread){all.left, all.right, -found - 1.25 * px_y, -found + px_y};
    default:
        return (Spread){all.left, all.right, 1 + found - px_y, 1 + found + 1.25 * px_y};
    }
}

static Raster *strip_raster(Arena *arena, const Around *around, const Spread *strip, int wide_px,
                            int tall_px) {
    const RasterWindow frame = raster_frame(&around->shot->picture, 0);
    const double wide = frame.right_mm - frame.left_mm, tall = frame.high_mm - frame.low_mm;
    const RasterWindow window = {frame.left_mm + strip->left * wide, frame.left_mm + strip->right * wide,
                                 frame.high_mm - strip->bottom * tall, frame.high_mm - strip->top * tall};
    Raster *raster = raster_new(arena, around->camera, &around->shot->picture, window, wide_px, tall_px);
    raster_keep_facets(raster);
    scenery_draw(around->scenery, raster, around->shot_index);
    return raster;
}

/* Along the edge the outermost centres lie on its very ends (or a hair inside): a slanting border is met
 * there first. */
static void end_on_centres(double *from, double *to, int count) {
    const double inset = 1e-4 * (*to - *from) / count;
    const double half = (*to - *from - 2 * inset) / (count - 1) / 2;
    *from += inset - half;
    *to -= inset - half;
}

/* Outwards line by line, until nothing farther out could be reached sooner. */
static double nearest_in(const Around *around, const Raster *raster, int way, FrameSide side,
                         const Spread *strip) {
    const bool sideways = side == SIDE_LEFT || side == SIDE_RIGHT;
    const int wide = raster->wide_px, tall = raster->tall_px;
    const int lines = sideways ? wide : tall, along = sideways ? tall : wide;
    const double begins[SIDE_COUNT] = {-strip->right, strip->left - 1, -strip->bottom, strip->top - 1};
    const double step_x = (strip->right - strip->left) / wide, step_y = (strip->bottom - strip->top) / tall;
    double least = INFINITY;
    for (int line = 0; line < lines; line++) {
        if (begins[side] + line * (sideways ? step_x : step_y) >= least) return least;
        const int out = side == SIDE_LEFT || side == SIDE_TOP ? lines - 1 - line : line;
        for (int i = 0; i < along; i++) {
            const int x = sideways ? out : i, y = sideways ? i : out;
            if (!is_bare_at(around, raster, x, y)) continue;
            /* as wide as it is outwards; along the edge its middle counts */
            const double at_x = strip->left + (x + 0.5) * step_x, at_y = strip->top + (y + 0.5) * step_y;
            const double half_x = sideways ? step_x / 2 : 0, half_y = sideways ? 0 : step_y / 2;
            const Spread s = {at_x - half_x, at_x + half_x, at_y - half_y, at_y + half_y};
            least = fmin(least, reach(way, &s));
            if (way != WIDER) return least;
        }
    }
    return least;
}

static double refine(const Around *around, int way, FrameSide side, double found) {
    Spread strip = strip_of(around, way, side, found);
    const bool sideways = side == SIDE_LEFT || side == SIDE_RIGHT;
    const int across =
        (int)lround((strip.right - strip.left) * (around->right - around->left) * (sideways ? FINER : ALONG));
    const int down =
        (int)lround((strip.bottom - strip.top) * (around->bottom - around->top) * (sideways ? ALONG : FINER));
    const int wide_px = across < 2 ? 2 : across, tall_px = down < 2 ? 2 : down;
    if (sideways)
        end_on_centres(&strip.top, &strip.bottom, tall_px);
    else
        end_on_centres(&strip.left, &strip.right, wide_px);
    Arena *own = arena_new();
    const Raster *raster = strip_raster(own, around, &strip, wide_px, tall_px);
    const double least = nearest_in(around, raster, way, side, &strip);
    arena_free(own);
    return isfinite(least) ? least : found;
}

static double refine_wider(const Around *around, const Found *found) {
    double least = INFINITY;
    const double near = 2.0 / (around->bottom - around->top);
    for (int side = 0; side < SIDE_COUNT; side++) {
        if (found->wider_at[side] <= found->least[WIDER] + near)
            least = fmin(least, refine(around, WIDER, (FrameSide)side, found->wider_at[side]));
    }
    return least;
}

/* --- where it shoots off as it is */

/* A pixel at least: something is bare, be it between two of them. Half a pixel past those that are, up to the
 * centres of those that are not. */
static double tighter_of(const Around *around) {
    const double half_x = 0.5 / (around->right - around->left), half_y = 0.5 / (around->bottom - around->top);
    double most = 2 * half_x;
    for (int y = around->top; y < around->bottom; y++) {
        for (int x = around->left; x < around->right; x++) {
            if (!is_bare_at(around, around->raster, x, y)) continue;
            const Spread s = spread_of(around, x, y);
            most = fmax(most, fmin(fmin(s.right, 1 - s.left) + half_x, fmin(s.bottom, 1 - s.top) + half_y));
        }
    }
    return fmin(most, 0.5);
}

static void set_share(double found, double *share, bool *at_least) {
    *at_least = !(found < SLACK_MOST);
    *share = *at_least ? SLACK_MOST : found;
}

static SeenSlack room_around(const Around *around) {
    SeenSlack slack = {.known = true};
    Found found = {.least = {INFINITY, INFINITY, INFINITY, INFINITY, INFINITY},
                   .wider_at = {INFINITY, INFINITY, INFINITY, INFINITY}};
    for (int y = 0; y < around->raster->tall_px; y++)
        find_in_row(around, y, &found);
    for (int side = 0; side < SIDE_COUNT; side++) {
        if (found.least[side] < SLACK_MOST)
            found.least[side] = refine(around, side, (FrameSide)side, found.least[side]);
        set_share(found.least[side], &slack.move[side], &slack.move_at_least[side]);
    }
    if (found.least[WIDER] < SLACK_MOST) found.least[WIDER] = refine_wider(around, &found);
    set_share(found.least[WIDER], &slack.wider, &slack.wider_at_least);
    return slack;
}

SeenSlack slack_of(const Scenery *scenery, int shot_index, int wide_px, bool shoots_off) {
    Arena *own = arena_new();
    const Around around = look_around(own, scenery, shot_index, wide_px);
    const PlanShot *shot = around.shot;
    SeenSlack slack = {.known = true};
    if (shoots_off)
        slack.tighter = tighter_of(&around);
    else
        slack = room_around(&around);
    slack.frame_wide_mm =
        camera_frame_mm(around.camera, &shot->picture, shot->mark.back_mm, shot->mark.up_mm);
    slack.frame_tall_mm = slack.frame_wide_mm * shot->picture.frame_tall_mm / shot->picture.frame_wide_mm;
    arena_free(own);
    return slack;
}
