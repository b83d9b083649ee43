#include "base/number.h"
#include "picture/canvas_own.h"
#include "picture/image_blend.h"
#include "picture/png_write.h"

#include <assert.h>
#include <cairo.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What can go wrong here is a lack of memory alone: the machine's fault. */
void canvas_insist(const Canvas *canvas) {
    if (cairo_surface_status(canvas->surface) == CAIRO_STATUS_SUCCESS &&
        cairo_status(canvas->cairo) == CAIRO_STATUS_SUCCESS)
        return;
    fputs("groundrow: a picture could not be drawn\n", stderr);
    exit(3);
}

static double red(uint32_t color) {
    return (color >> 16 & 255) / 255.0;
}

static double green(uint32_t color) {
    return (color >> 8 & 255) / 255.0;
}

static double blue(uint32_t color) {
    return (color & 255) / 255.0;
}

void canvas_ink(Canvas *canvas, uint32_t color, double strength) {
    cairo_set_source_rgba(canvas->cairo, red(color), green(color), blue(color), strength);
}

/* Rows of 4 bytes a pixel are as cairo wants them: its strides are multiples of 4. */
Canvas *canvas_new(Arena *arena, int wide_px, int tall_px, uint32_t paper) {
    assert(wide_px >= 1 && tall_px >= 1 && wide_px <= CANVAS_SIDE_MOST_PX && tall_px <= CANVAS_SIDE_MOST_PX);
    Canvas *canvas = ARENA_NEW(arena, Canvas);
    *canvas = (Canvas){.arena = arena, .wide_px = wide_px, .tall_px = tall_px, .font = font_new()};
    const size_t count = (size_t)wide_px * (size_t)tall_px;
    canvas->pixels = ARENA_ARRAY(arena, uint32_t, count);
    for (size_t i = 0; i < count; i++)
        canvas->pixels[i] = 0xFF000000U | paper;
    canvas->surface = cairo_image_surface_create_for_data((unsigned char *)canvas->pixels, CAIRO_FORMAT_RGB24,
                                                          wide_px, tall_px, wide_px * 4);
    canvas->cairo = cairo_create(canvas->surface);
    cairo_set_antialias(canvas->cairo, CAIRO_ANTIALIAS_GRAY);
    canvas_insist(canvas);
    return canvas;
}

void canvas_free(Canvas *canvas) {
    if (!canvas) return;
    cairo_destroy(canvas->cairo);
    cairo_surface_destroy(canvas->surface);
    for (int face = 0; face < FACE_COUNT; face++) {
        if (canvas->faces[face]) cairo_font_face_destroy(canvas->faces[face]);
    }
    font_free(canvas->font);
}

int canvas_wide_px(const Canvas *canvas) {
    return canvas->wide_px;
}

int canvas_tall_px(const Canvas *canvas) {
    return canvas->tall_px;
}

void canvas_cut(Canvas *canvas, int tall_px) {
    assert(tall_px >= 1 && tall_px <= canvas->tall_px);
    cairo_surface_flush(canvas->surface);
    canvas->tall_px = tall_px;
}

void canvas_mute(Canvas *canvas, bool muted) {
    canvas->muted = muted;
}

bool canvas_is_muted(const Canvas *canvas) {
    return canvas->muted;
}

uint32_t *canvas_pixels(Canvas *canvas) {
    assert(canvas->pixels);
    cairo_surface_flush(canvas->surface);
    return canvas->pixels;
}

void canvas_pixels_done(Canvas *canvas) {
    cairo_surface_mark_dirty(canvas->surface);
}

void canvas_to_png(Canvas *canvas, double wide_mm, Buffer *png) {
    canvas_insist(canvas);
    png_write(png, canvas_pixels(canvas), (size_t)canvas->wide_px, (unsigned)canvas->wide_px,
              (unsigned)canvas->tall_px, wide_mm);
}

/* ---- Boxes */

bool canvas_boxes_meet(CanvasBox a, CanvasBox b) {
    return a.left_px < b.right_px && b.left_px < a.right_px && a.top_px < b.bottom_px &&
           b.top_px < a.bottom_px;
}

CanvasBox canvas_box_grown(CanvasBox box, double by_px) {
    return (CanvasBox){box.left_px - by_px, box.top_px - by_px, box.right_px + by_px, box.bottom_px + by_px};
}

/* Narrows [from, to] of a line's way to where start + t * way is at most `limit` (`sign` 1) or at least it.
 */
static void narrow(double start, double way, double sign, double limit, double *from, double *to) {
    const double room = sign * (limit - start), speed = sign * way;
    if (speed > 0) *to = fmin(*to, room / speed);
    if (speed < 0) *from = fmax(*from, room / speed);
    if (speed == 0 && room < 0) *to = -1;
}

bool canvas_line_meets(CanvasPoint a, CanvasPoint b, CanvasBox box) {
    double from = 0, to = 1;
    narrow(a.x_px, b.x_px - a.x_px, 1, box.right_px, &from, &to);
    narrow(a.x_px, b.x_px - a.x_px, -1, box.left_px, &from, &to);
    narrow(a.y_px, b.y_px - a.y_px, 1, box.bottom_px, &from, &to);
    narrow(a.y_px, b.y_px - a.y_px, -1, box.top_px, &from, &to);
    return from < to;
}

static void box_path(Canvas *canvas, CanvasBox box) {
    cairo_rectangle(canvas->cairo, box.left_px, box.top_px, box.right_px - box.left_px,
                    box.bottom_px - box.top_px);
}

void canvas_clip(Canvas *canvas, CanvasBox box) {
    if (canvas->muted) return;
    cairo_save(canvas->cairo);
    box_path(canvas, box);
    cairo_clip(canvas->cairo);
}

void canvas_unclip(Canvas *canvas) {
    if (canvas->muted) return;
    cairo_restore(canvas->cairo);
}

/* ---- Lines */

static void set_dash(Canvas *canvas, Dash dash, double wide_px) {
    static const double patterns[DASH_COUNT][4] = {
        [DASH_LONG] = {8, 4}, [DASH_SHORT] = {4, 3}, [DASH_DOT] = {1, 2}, [DASH_LONG_DOT] = {9, 3, 1, 3}};
    double lengths[4];
    int count = 0;
    const double unit = wide_px < 1.5 ? 1.5 : wide_px;
    while (count < 4 && patterns[dash][count] > 0) {
        lengths[count] = patterns[dash][count] * unit;
        count++;
    }
    cairo_set_dash(canvas->cairo, lengths, count, 0);
}

/* Strokes the path, first its halo. */
static void stroke(Canvas *canvas, const LineStyle *style) {
    const double strength = style->strength > 0 ? style->strength : 1;
    if (style->halo_px > 0) {
        cairo_set_dash(canvas->cairo, NULL, 0, 0);
        cairo_set_line_width(canvas->cairo, style->wide_px + 2 * style->halo_px);
        canvas_ink(canvas, style->halo, strength);
        cairo_stroke_preserve(canvas->cairo);
    }
    set_dash(canvas, style->dash, style->wide_px);
    cairo_set_line_width(canvas->cairo, style->wide_px);
    canvas_ink(canvas, style->color, strength);
    cairo_stroke(canvas->cairo);
}

void canvas_line(Canvas *canvas, double x0, double y0, double x1, double y1, const LineStyle *style) {
    if (canvas->muted) return;
    cairo_move_to(canvas->cairo, x0, y0);
    cairo_line_to(canvas->cairo, x1, y1);
    stroke(canvas, style);
}

static void points_path(Canvas *canvas, const CanvasPoint *points, size_t count, bool closed) {
    for (size_t i = 0; i < count; i++) {
        if (i == 0)
            cairo_move_to(canvas->cairo, points[i].x_px, points[i].y_px);
        else
            cairo_line_to(canvas->cairo, points[i].x_px, points[i].y_px);
    }
    if (closed) cairo_close_path(canvas->cairo);
}

void canvas_path(Canvas *canvas, const CanvasPoint *points, size_t count, bool closed,
                 const LineStyle *style) {
    if (canvas->muted) return;
    points_path(canvas, points, count, closed);
    stroke(canvas, style);
}

void canvas_rectangle(Canvas *canvas, CanvasBox box, const LineStyle *style) {
    if (canvas->muted) return;
    box_path(canvas, box);
    stroke(canvas, style);
}

static void circle_path(Canvas *canvas, double x, double y, double radius_px) {
    cairo_new_sub_path(canvas->cairo);
    cairo_arc(canvas->cairo, x, y, radius_px, 0, 2 * PI);
    cairo_close_path(canvas->cairo);
}

void canvas_circle(Canvas *canvas, double x, double y, double radius_px, const LineStyle *style) {
    if (canvas->muted) return;
    circle_path(canvas, x, y, radius_px);
    stroke(canvas, style);
}

static void head_path(Canvas *canvas, double x0, double y0, double x1, double y1, double head_px) {
    const double length = hypot(x1 - x0, y1 - y0);
    if (length <= 0) return;
    const double dx = (x1 - x0) / length * head_px, dy = (y1 - y0) / length * head_px;
    cairo_move_to(canvas->cairo, x1, y1);
    cairo_line_to(canvas->cairo, x1 - dx - dy * 0.35, y1 - dy + dx * 0.35);
    cairo_line_to(canvas->cairo, x1 - dx + dy * 0.35, y1 - dy - dx * 0.35);
    cairo_close_path(canvas->cairo);
}

/* The shaft ends within the head, so that a wide line does not blunt the point. */
void canvas_arrow(Canvas *canvas, double x0, double y0, double x1, double y1, double head_px, bool both,
                  const LineStyle *style) {
    if (canvas->muted) return;
    const double length = hypot(x1 - x0, y1 - y0);
    if (length <= 0) return;
    const double dx = (x1 - x0) / length * head_px / 2, dy = (y1 - y0) / length * head_px / 2;
    canvas_line(canvas, both ? x0 + dx : x0, both ? y0 + dy : y0, x1 - dx, y1 - dy, style);
    head_path(canvas, x0, y0, x1, y1, head_px);
    if (both) head_path(canvas, x1, y1, x0, y0, head_px);
    if (style->halo_px > 0) {
        cairo_set_dash(canvas->cairo, NULL, 0, 0);
        cairo_set_line_width(canvas->cairo, 2 * style->halo_px);
        canvas_ink(canvas, style->halo, 1);
        cairo_stroke_preserve(canvas->cairo);
    }
    canvas_ink(canvas, style->color, style->strength > 0 ? style->strength : 1);
    cairo_fill(canvas->cairo);
}

void canvas_cross(Canvas *canvas, double x, double y, double arm_px, bool slanted, const LineStyle *style) {
    if (canvas->muted) return;
    const double arm = slanted ? arm_px * 0.75 : arm_px, other = slanted ? arm : 0;
    cairo_move_to(canvas->cairo, x - arm, y - other);
    cairo_line_to(canvas->cairo, x + arm, y + other);
    cairo_move_to(canvas->cairo, x - other, y + arm);
    cairo_line_to(canvas->cairo, x + other, y - arm);
    stroke(canvas, style);
}

/* ---- Surfaces */

void canvas_fill_box(Canvas *canvas, CanvasBox box, uint32_t color, double strength) {
    if (canvas->muted) return;
    box_path(canvas, box);
    canvas_ink(canvas, color, strength);
    cairo_fill(canvas->cairo);
}

void canvas_fill_path(Canvas *canvas, const CanvasPoint *points, size_t count, uint32_t color,
                      double strength) {
    if (canvas->muted) return;
    points_path(canvas, points, count, true);
    canvas_ink(canvas, color, strength);
    cairo_fill(canvas->cairo);
}

void canvas_fill_circle(Canvas *canvas, double x, double y, double radius_px, uint32_t color,
                        double strength) {
    if (canvas->muted) return;
    circle_path(canvas, x, y, radius_px);
    canvas_ink(canvas, color, strength);
    cairo_fill(canvas->cairo);
}

void canvas_hatch(Canvas *canvas, CanvasBox box, double every_px, const LineStyle *style) {
    if (canvas->muted) return;
    const double step = every_px * sqrt(2), tall = box.bottom_px - box.top_px;
    canvas_clip(canvas, box);
    for (double x = box.left_px - tall + step / 2; x < box.right_px; x += step) {
        cairo_move_to(canvas->cairo, x, box.bottom_px);
        cairo_line_to(canvas->cairo, x + tall, box.top_px);
    }
    stroke(canvas, style);
    canvas_unclip(canvas);
}

/* ---- Images */

/* On sheets the image goes along as it is. */
static void place_image(Canvas *canvas, const ImagePixels *image, CanvasBox box, ImageBlend blend,
                        double strength) {
    const size_t count = (size_t)image->wide_px * (size_t)image->tall_px;
    uint32_t *copy = ARENA_ARRAY(canvas->arena, uint32_t, count);
    memcpy(copy, image->pixels, count * sizeof *copy);
    cairo_surface_t *surface = cairo_image_surface_create_for_data(
        (unsigned char *)copy, CAIRO_FORMAT_RGB24, image->wide_px, image->tall_px, image->wide_px * 4);
    cairo_save(canvas->cairo);
    cairo_rectangle(canvas->cairo, box.left_px, box.top_px, box.right_px - box.left_px,
                    box.bottom_px - box.top_px);
    cairo_clip(canvas->cairo);
    cairo_translate(canvas->cairo, box.left_px, box.top_px);
    cairo_scale(canvas->cairo, (box.right_px - box.left_px) / image->wide_px,
                (box.bottom_px - box.top_px) / image->tall_px);
    cairo_set_source_surface(canvas->cairo, surface, 0, 0);
    if (blend == BLEND_MULTIPLY) cairo_set_operator(canvas->cairo, CAIRO_OPERATOR_MULTIPLY);
    cairo_paint_with_alpha(canvas->cairo, strength);
    cairo_restore(canvas->cairo);
    cairo_surface_destroy(surface);
}

void canvas_image(Canvas *canvas, const uint32_t *image, int wide_px, int tall_px, CanvasBox box,
                  ImageBlend blend, double strength) {
    if (canvas->muted || box.right_px <= box.left_px || box.bottom_px <= box.top_px) return;
    const ImagePixels from = {image, wide_px, tall_px};
    if (!canvas->pixels) {
        place_image(canvas, &from, box, blend, strength);
        return;
    }
    image_blend(canvas->arena, canvas_pixels(canvas), canvas->wide_px, canvas->tall_px, &from, box, blend,
                strength);
    canvas_pixels_done(canvas);
}

/* ---- Text */

static const double PLATE_PX = 3; /* beside the letters */

double canvas_text_wide_px(Canvas *canvas, const TextStyle *style, const char *text) {
    return style->size_px * font_wide(canvas->font, style->face, text);
}

static double most(double a, double b) {
    return a > b ? a : b;
}

/* In the text's own frame: from its start on the line it stands on. Usual letters take the same height
 * whatever they are, so that plates in a row are alike. */
static CanvasBox own_box(Canvas *canvas, const TextStyle *style, const char *text) {
    const FontInk ink_ems = font_ink(canvas->font, style->face, text);
    const double size = style->size_px, out = style->plate > 0 ? PLATE_PX : style->halo_px;
    return (CanvasBox){-most(0, -ink_ems.left * size) - out, -size * most(ink_ems.above, 0.76) - out,
                       size * most(ink_ems.right, font_wide(canvas->font, style->face, text)) + out,
                       size * most(ink_ems.below, 0.22) + out};
}

/* From where it is wanted to the start of the line it stands on. */
static void text_start(Canvas *canvas, const TextStyle *style, const char *text, double *along,
                       double *down) {
    const double wide = canvas_text_wide_px(canvas, style, text);
    *along = style->align == TEXT_CENTRED ? -wide / 2 : style->align == TEXT_TO_RIGHT ? -wide : 0;
    *down = style->middle ? style->size_px * font_cap_tall(canvas->font, style->face) / 2 : 0;
}

CanvasBox canvas_text_box(Canvas *canvas, double x, double y, const TextStyle *style, const char *text) {
    double along, down;
    text_start(canvas, style, text, &along, &down);
    const CanvasBox own = own_box(canvas, style, text);
    const double left = own.left_px + along, right = own.right_px + along, top = own.top_px + down,
                 bottom = own.bottom_px + down;
    if (style->upright) return (CanvasBox){x + top, y - right, x + bottom, y - left};
    return (CanvasBox){x + left, y + top, x + right, y + bottom};
}

static void pen_move(void *context, double x, double y) {
    cairo_move_to(context, x, -y);
}

static void pen_line(void *context, double x, double y) {
    cairo_line_to(context, x, -y);
}

static void pen_curve(void *context, double x1, double y1, double x2, double y2, double x, double y) {
    cairo_curve_to(context, x1, -y1, x2, -y2, x, -y);
}

static void pen_close(void *context) {
    cairo_close_path(context);
}

static void draw_plate(Canvas *canvas, CanvasBox box, const TextStyle *style) {
    canvas_fill_box(canvas, box, style->plate_color, style->plate);
    if (style->rim_px <= 0) return;
    canvas_rectangle(canvas, canvas_box_grown(box, -style->rim_px / 2),
                     &(LineStyle){.color = style->rim_color, .wide_px = style->rim_px});
}

/* Letters are filled as outlines: no rasteriser of fonts, and none of its caches, which threads would share.
 */
static void draw_letters(Canvas *canvas, const TextStyle *style, const char *text) {
    cairo_t *cairo = canvas->cairo;
    if (!canvas->pixels && style->halo_px <= 0) {
        canvas_ink(canvas, style->color, 1);
        sheet_letters(canvas, style, text);
        return;
    }
    cairo_save(cairo);
    cairo_scale(cairo, style->size_px, style->size_px);
    const FontPen pen = {cairo, pen_move, pen_line, pen_curve, pen_close};
    font_outline(canvas->font, style->face, text, &pen);
    cairo_restore(cairo);
    if (style->halo_px > 0) {
        cairo_set_dash(cairo, NULL, 0, 0);
        cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
        cairo_set_line_width(cairo, 2 * style->halo_px);
        canvas_ink(canvas, style->halo, 1);
        cairo_stroke_preserve(cairo);
        cairo_set_line_join(cairo, CAIRO_LINE_JOIN_MITER);
    }
    canvas_ink(canvas, style->color, 1);
    if (canvas->pixels) {
        cairo_fill(cairo);
        return;
    }
    cairo_new_path(cairo);
    sheet_letters(canvas, style, text);
}

CanvasBox canvas_text(Canvas *canvas, double x, double y, const TextStyle *style, const char *text) {
    assert(style->size_px >= (canvas->pixels ? TEXT_LEAST_PX : SHEET_TEXT_LEAST_PX));
    const CanvasBox box = canvas_text_box(canvas, x, y, style, text);
    if (canvas->muted) return box;
    if (style->plate > 0) draw_plate(canvas, box, style);
    double along, down;
    text_start(canvas, style, text, &along, &down);
    cairo_save(canvas->cairo);
    cairo_translate(canvas->cairo, x, y);
    if (style->upright) cairo_rotate(canvas->cairo, -PI / 2);
    cairo_translate(canvas->cairo, along, down);
    draw_letters(canvas, style, text);
    cairo_restore(canvas->cairo);
    return box;
}

const char *canvas_text_fitted(Canvas *canvas, const TextStyle *style, const char *text, double wide_px) {
    if (canvas_text_wide_px(canvas, style, text) <= wide_px) return text;
    const size_t count = strlen(text);
    for (size_t letters = utf8_length(text, count); letters > 0; letters--) {
        size_t end = utf8_offset(text, count, letters - 1);
        while (end > 0 && text[end - 1] == ' ')
            end--;
        const char *cut = arena_format(canvas->arena, "%.*s...", (int)end, text);
        if (end == 0 || canvas_text_wide_px(canvas, style, cut) <= wide_px) return cut;
    }
    return "...";
}
