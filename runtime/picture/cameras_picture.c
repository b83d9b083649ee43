/* The allowed cameras side by side, to choose from: each one's frame, and over it, dotted, how the planned
 * one draws the same things. */
#include "picture/pictures.h"

#include <math.h>

static const uint32_t GHOST_COLOR = 0xA01080, PLANNED_COLOR = 0x0A4FA0, BARE_TEXT_COLOR = 0xA3124A;
enum { GAP_PX = 20, TEXT_LINE_PX = 25, CELL_TALLEST_PX = 520, COLUMNS_MOST = 3 };

typedef struct Board {
    const PictureTask *task;
    const PlanShot *shot;
    Canvas *canvas;
    Arena *own;
    int columns;
    int words_px;           /* under each frame */
    int wide_px, tall_px;   /* of a frame */
    double left_px;         /* of the first column */
    const SetView *planned; /* once that is painted */
    bool bare;              /* some frame shoots off */
} Board;

/* Two beside each other where they are wide, three where they are tall; there words take a line more. */
static void lay_out(Board *board) {
    const RasterWindow mm = raster_frame(&board->shot->picture, 0);
    const double aspect = (mm.high_mm - mm.low_mm) / (mm.right_mm - mm.left_mm);
    const int room = PICTURE_WIDE_PX - 2 * PICTURE_SIDE_PX;
    board->columns = aspect > 0.7 && board->shot->camera_count > 2 ? COLUMNS_MOST : 2;
    board->words_px = (board->columns == COLUMNS_MOST ? 5 : 4) * TEXT_LINE_PX + 24;
    const int column = (room - (board->columns - 1) * GAP_PX) / board->columns;
    const double wide = fmin(column, floor(CELL_TALLEST_PX / aspect));
    board->wide_px = (int)fmax(wide, 1);
    board->tall_px = (int)fmax(floor(wide * aspect + 0.5), 1);
    board->left_px = PICTURE_SIDE_PX;
}

static Window cell_window(const Board *board, size_t index) {
    const int column = (PICTURE_WIDE_PX - 2 * PICTURE_SIDE_PX + GAP_PX) / board->columns;
    const int at = (int)index % board->columns, row = (int)index / board->columns;
    const double left = board->left_px + at * column,
                 top = PICTURE_HEAD_PX + row * (board->tall_px + board->words_px);
    return (Window){raster_frame(&board->shot->picture, 0),
                    {left, top, left + board->wide_px, top + board->tall_px}};
}

static double foot_px(const Board *board) {
    const size_t rows = (board->shot->camera_count + (size_t)board->columns - 1) / (size_t)board->columns;
    return PICTURE_HEAD_PX + (double)rows * (board->tall_px + board->words_px);
}

/* ---- What shifts */

static bool is_dot(int x, int y) {
    return (x + y) % 6 < 3;
}

/* Where one thing ends before another in the planned picture. */
static bool is_outline(const SetView *view, int x, int y) {
    const int32_t *here = view->nearest + (size_t)y * (size_t)view->wide_px + (size_t)x;
    return (x + 1 < view->wide_px && here[0] != here[1]) ||
           (y + 1 < view->tall_px && here[0] != here[view->wide_px]);
}

static void draw_ghost(const Board *board, const Window *window) {
    uint32_t *pixels = canvas_pixels(board->canvas);
    const size_t stride = (size_t)canvas_wide_px(board->canvas);
    const int left = (int)window->px.left_px, top = (int)window->px.top_px;
    for (int y = 0; y < board->tall_px; y++) {
        for (int x = 0; x < board->wide_px; x++) {
            if (!is_outline(board->planned, x, y)) continue;
            pixels[(size_t)(top + y) * stride + (size_t)(left + x)] =
                0xFF000000U | (is_dot(x, y) ? GHOST_COLOR : 0xFFFFFF);
        }
    }
    canvas_pixels_done(board->canvas);
}

/* ---- Words */

static const char *heading_of(const Board *board, size_t index) {
    Arena *arena = board->task->arena;
    const char *name = board->shot->cameras[index].name, *shot = board->shot->name;
    if (index == 0) return picture_heading(board->task);
    return shot[0] ? arena_format(arena, "allowed %s in %s", name, shot)
                   : arena_format(arena, "allowed %s", name);
}

static const char *seen_heading(const Board *board, size_t index) {
    if (index > 0) return heading_of(board, index);
    const char *shot = board->shot->name;
    return shot[0] ? arena_format(board->task->arena, "seen %s", shot) : "seen";
}

static const char *value(const Board *board, const char *heading, const char *key, const char *part) {
    const char *text = picture_value(board->task, heading, key, part);
    return text ? text : "?";
}

/* `shoots off 2.1 %: left, top`; NULL where it shoots off nowhere. */
static const char *bare_words(const Board *board, const char *heading, const char *key) {
    static const char *const sides[] = {"left", "right", "top", "bottom"};
    const char *all = picture_value(board->task, heading, key, "all");
    if (!all) return NULL;
    Buffer words = buffer_new(board->task->arena);
    buffer_format(&words, "shoots off %s", all);
    const char *before = ": ";
    for (size_t i = 0; i < sizeof sides / sizeof *sides; i++) {
        if (!picture_value(board->task, heading, key, sides[i])) continue;
        buffer_format(&words, "%s%s", before, sides[i]);
        before = ", ";
    }
    return buffer_text(&words);
}

static const char *name_of(const Board *board, size_t index) {
    const char *heading = heading_of(board, index);
    const char *lens = picture_value(board->task, heading, "lens", "name");
    return arena_format(board->task->arena, "%s%s%s%s, %s up", value(board, heading, "lens", "focal"),
                        lens ? " (" : "", lens ? lens : "", lens ? ")" : "",
                        value(board, heading, "height", NULL));
}

/* Lines under a frame, from the first on. */
typedef struct Words {
    const Board *board;
    double x_px, y_px;
} Words;

static void write_line(Words *words, const TextStyle *style, const char *text) {
    words->y_px += TEXT_LINE_PX;
    canvas_text(words->board->canvas, words->x_px, words->y_px, style,
                canvas_text_fitted(words->board->canvas, style, text, words->board->wide_px - 4));
}

static void write_stand(Words *words, const char *heading) {
    const Board *board = words->board;
    Arena *arena = board->task->arena;
    const char *distance = arena_format(arena, "%s from the mark", value(board, heading, "distance", NULL)),
               *tilt = value(board, heading, "tilt", NULL);
    if (!text_equal(tilt, "level")) tilt = arena_format(arena, "tilt %s", tilt);
    if (board->columns == COLUMNS_MOST) {
        write_line(words, &PLAIN_TEXT, distance);
        write_line(words, &PLAIN_TEXT, tilt);
    } else {
        write_line(words, &PLAIN_TEXT, arena_format(arena, "%s, %s", distance, tilt));
    }
}

static void write_seen(Words *words, const char *heading) {
    const Board *board = words->board;
    Arena *arena = board->task->arena;
    const char *bare = bare_words(board, heading, "shoots_off"),
               *spare = bare_words(board, heading, "shoots_off_spare");
    write_line(words, &PLAIN_TEXT,
               arena_format(arena, "ground %s of the frame", value(board, heading, "ground", NULL)));
    TextStyle style = PLAIN_TEXT;
    if (bare || spare) {
        style.color = BARE_TEXT_COLOR;
        style.face = FACE_BOLD;
    }
    write_line(words, &style,
               bare    ? bare
               : spare ? arena_format(arena, "with the spare %s", spare)
                       : "shoots off nowhere");
}

static void write_words(const Board *board, const Window *window, size_t index) {
    Words words = {board, window->px.left_px + 2, window->px.bottom_px + 1};
    TextStyle style = PLAIN_TEXT;
    style.face = FACE_BOLD;
    if (index == 0) style.color = PLANNED_COLOR;
    write_line(&words, &style, name_of(board, index));
    write_stand(&words, heading_of(board, index));
    write_seen(&words, seen_heading(board, index));
}

static void mark_planned(const Board *board, const Window *window) {
    const LineStyle rim = {.color = PLANNED_COLOR, .wide_px = 4};
    canvas_rectangle(board->canvas, canvas_box_grown(window->px, 2), &rim);
    TextStyle style = PLAIN_TEXT;
    style.face = FACE_BOLD;
    style.color = 0xFFFFFF;
    style.plate = 1;
    style.plate_color = PLANNED_COLOR;
    canvas_text(board->canvas, window->px.left_px + 8, window->px.top_px + 22, &style, "planned");
}

/* ---- The whole */

static void draw_cell(Board *board, size_t index) {
    const Window window = cell_window(board, index);
    const SetView *view = set_view_paint(board->own, board->canvas, board->task->scenery,
                                         (int)board->task->shot, &board->shot->cameras[index].camera, window);
    board->bare = board->bare || view->bare_px > 0;
    if (index == 0) {
        board->planned = view;
        mark_planned(board, &window);
    } else {
        draw_ghost(board, &window);
        canvas_rectangle(board->canvas, canvas_box_grown(window.px, 0.5),
                         &(LineStyle){.color = 0x8A9098, .wide_px = 1});
    }
    write_words(board, &window, index);
}

static void sample_ghost(Canvas *canvas, CanvasBox box) {
    const double y = (box.top_px + box.bottom_px) / 2;
    canvas_line(canvas, box.left_px, y, box.right_px, y,
                &(LineStyle){.color = GHOST_COLOR, .wide_px = 2, .dash = DASH_SHORT});
}

static const char *lead_of(const Board *board) {
    return board->shot->lead >= 0 ? board->task->plan->scene->things[board->shot->lead].name
                                  : "what stands at the mark";
}

static double draw_legend(const Board *board, double top_px) {
    LegendEntry entries[2];
    size_t count = 0;
    entries[count++] = (LegendEntry){
        .sample = sample_ghost,
        .text = arena_format(board->task->arena,
                             "as the planned camera sees it; all have %s in the same place", lead_of(board))};
    if (board->bare) entries[count++] = (LegendEntry){.sample = set_view_stripes, .text = "shoots off"};
    return picture_legend(board->canvas, entries, count, top_px);
}

static const char *alt_of(const Board *board) {
    Buffer alt = buffer_new(board->task->arena);
    buffer_format(&alt, "%zu cameras side by side, each with its frame of the set",
                  board->shot->camera_count);
    for (size_t i = 0; i < board->shot->camera_count; i++) {
        const char *bare = bare_words(board, seen_heading(board, i), "shoots_off");
        buffer_format(&alt, "%s%s%s, %s", i == 0 ? ": " : "; ", i == 0 ? "planned " : "", name_of(board, i),
                      bare ? bare : "shoots off nowhere");
    }
    return buffer_text(&alt);
}

bool cameras_picture(const PictureTask *task, PictureFile *file) {
    Board board = {.task = task, .shot = &task->plan->shots[task->shot]};
    if (board.shot->camera_count < 2) return false;
    board.own = arena_new();
    lay_out(&board);
    const double foot = foot_px(&board);
    board.canvas = canvas_new(board.own, PICTURE_WIDE_PX, (int)foot + 3 * PICTURE_LINE_PX, PAPER_COLOR);
    const size_t others = board.shot->camera_count - 1;
    picture_head(task, board.canvas,
                 others == 1 ? "the planned camera and the other one that is allowed, to choose from"
                             : arena_format(task->arena,
                                            "the planned camera and %zu that are allowed too, to choose from",
                                            others));
    for (size_t i = 0; i < board.shot->camera_count; i++)
        draw_cell(&board, i);
    canvas_cut(board.canvas, (int)(foot + draw_legend(&board, foot)) + 14);
    *file = picture_file(task, board.canvas, ".cameras.png", "The allowed cameras", alt_of(&board));
    arena_free(board.own);
    return true;
}
