/* A thin layer over cairo for everything that is drawn flat: pictures as PNG, and sheets as PDF. A canvas
 * belongs to one thread, different ones may be drawn on side by side; what comes out depends on nothing but
 * what was drawn.
 *
 * Places and sizes are px of the picture as it is seen (of sheets: points, 1/72 in), from the upper left
 * corner, y down; the middle of the first pixel is (0.5, 0.5). Colours are written 0xRRGGBB, as on a screen;
 * `strength` is 1 for solid and 0 for nothing. Text is UTF-8 and keeps its letters: what the font lacks is an
 * empty box. */
#ifndef GROUNDROW_CANVAS_H
#define GROUNDROW_CANVAS_H

#include "base/arena.h"
#include "base/text.h"
#include "picture/font.h"

#include <stdbool.h>
#include <stdint.h>

typedef struct Canvas Canvas;

/* Sides of at least 1 and at most CANVAS_SIDE_MOST_PX. Ends with canvas_free, before its arena goes. */
enum { CANVAS_SIDE_MOST_PX = 16384 };
Canvas *canvas_new(Arena *arena, int wide_px, int tall_px, uint32_t paper);
void canvas_free(Canvas *canvas);
int canvas_wide_px(const Canvas *canvas);
int canvas_tall_px(const Canvas *canvas);
/* Leaves out what is below; nothing is drawn afterwards. */
void canvas_cut(Canvas *canvas, int tall_px);

/* The picture as a PNG, appended: 8 bits of red, green, blue; says `Software: groundrow`, and that it is
 * `wide_mm` wide on paper. */
void canvas_to_png(Canvas *canvas, double wide_mm, Buffer *png);

/* Sheets of paper, any number of them, all of one size: lines stay lines and text is text, in fonts that the
 * file brings along. It ends with canvas_to_pdf, which appends the file, and canvas_free. */
#define POINTS_PER_MM (72 / 25.4)
enum { SHEET_TEXT_LEAST_PX = 6 };
Canvas *canvas_new_sheets(Arena *arena, double wide_mm, double tall_mm, const char *title);
void canvas_next_sheet(Canvas *canvas);
/* A bookmark (ISO 32000-1, 12.3.3) to a place on the sheet that is being drawn. Where the text is none,
 * nothing. */
void canvas_bookmark(Canvas *canvas, const char *title, double y_px);
void canvas_to_pdf(Canvas *canvas, Buffer *pdf);

/* While a canvas is muted nothing is drawn, though everything is measured as usual: to find out how much room
 * something takes. */
void canvas_mute(Canvas *canvas, bool muted);
bool canvas_is_muted(const Canvas *canvas);

/* Of pictures alone: direct work on pixels: rows of 0xffRRGGBB from the top, `canvas_wide_px` each. Between
 * canvas_pixels and canvas_pixels_done nothing else is called for the canvas. */
uint32_t *canvas_pixels(Canvas *canvas);
void canvas_pixels_done(Canvas *canvas);

/* ---- Places and boxes */

typedef struct CanvasBox {
    double left_px, top_px, right_px, bottom_px;
} CanvasBox;
typedef struct CanvasPoint {
    double x_px, y_px;
} CanvasPoint;
bool canvas_boxes_meet(CanvasBox a, CanvasBox b);
/* Whether a straight line goes through a box. */
bool canvas_line_meets(CanvasPoint a, CanvasPoint b, CanvasBox box);
CanvasBox canvas_box_grown(CanvasBox box, double by_px);

/* What is drawn until canvas_unclip stays in the box. Not nested. */
void canvas_clip(Canvas *canvas, CanvasBox box);
void canvas_unclip(Canvas *canvas);

/* ---- Lines */

typedef enum Dash { DASH_NONE, DASH_LONG, DASH_SHORT, DASH_DOT, DASH_LONG_DOT, DASH_COUNT } Dash;

typedef struct LineStyle {
    uint32_t color;
    double wide_px;
    Dash dash;
    double strength; /* 0 counts as 1 */
    uint32_t halo;   /* beside it and in the gaps of dashes, so that it shows over anything */
    double halo_px;  /* on each side; 0: none */
} LineStyle;

void canvas_line(Canvas *canvas, double x0, double y0, double x1, double y1, const LineStyle *style);
void canvas_path(Canvas *canvas, const CanvasPoint *points, size_t count, bool closed,
                 const LineStyle *style);
void canvas_rectangle(Canvas *canvas, CanvasBox box, const LineStyle *style);
void canvas_circle(Canvas *canvas, double x, double y, double radius_px, const LineStyle *style);
/* A line with a head of `head_px` at its end; `both`: at its start too. */
void canvas_arrow(Canvas *canvas, double x0, double y0, double x1, double y1, double head_px, bool both,
                  const LineStyle *style);
/* Two strokes that cross in (x, y) and reach `arm_px` from it: upright, or `slanted`. */
void canvas_cross(Canvas *canvas, double x, double y, double arm_px, bool slanted, const LineStyle *style);

/* ---- Surfaces */

void canvas_fill_box(Canvas *canvas, CanvasBox box, uint32_t color, double strength);
void canvas_fill_path(Canvas *canvas, const CanvasPoint *points, size_t count, uint32_t color,
                      double strength);
void canvas_fill_circle(Canvas *canvas, double x, double y, double radius_px, uint32_t color,
                        double strength);
/* Slanted lines over a box, `every_px` apart measured square to them. */
void canvas_hatch(Canvas *canvas, CanvasBox box, double every_px, const LineStyle *style);

/* ---- Images */

typedef enum ImageBlend {
    BLEND_OVER,    /* mixed in at its strength */
    BLEND_MULTIPLY /* white leaves what is under it, dark stays dark; at its strength */
} ImageBlend;

/* An image (rows of 0x??RRGGBB from the top, as in base/pixels.h), scaled by the mean of the area of each
 * pixel (never sharpened, and the same everywhere) into the box. */
void canvas_image(Canvas *canvas, const uint32_t *image, int wide_px, int tall_px, CanvasBox box,
                  ImageBlend blend, double strength);

/* ---- Text */

typedef enum TextAlign { TEXT_FROM_LEFT, TEXT_CENTRED, TEXT_TO_RIGHT } TextAlign;

typedef struct TextStyle {
    FontFace face;
    double size_px; /* of an em, as seen; at least TEXT_LEAST_PX, on sheets SHEET_TEXT_LEAST_PX */
    uint32_t color;
    TextAlign align;
    bool middle;    /* y is the middle of its capitals; else the line it stands on */
    double halo_px; /* letters have a rim of `halo` so wide; 0: none */
    uint32_t halo;  /* colour of the rim */
    double plate;   /* strength of a plate behind it; 0: none */
    uint32_t plate_color;
    uint32_t rim_color; /* of the plate; drawn where `rim_px` is more than nothing */
    double rim_px;
    bool upright; /* runs from below upwards, x and y turned with it */
} TextStyle;

/* Legible where a picture 1200 px wide is shown 800 px wide, and on paper. */
enum { TEXT_LEAST_PX = 18 };

double canvas_text_wide_px(Canvas *canvas, const TextStyle *style, const char *text);
/* What the text takes with its plate or halo, were it drawn at (x, y). */
CanvasBox canvas_text_box(Canvas *canvas, double x, double y, const TextStyle *style, const char *text);
/* Draws one line of it, and returns that box. */
CanvasBox canvas_text(Canvas *canvas, double x, double y, const TextStyle *style, const char *text);
/* The text, or as much of it as fits with `...` behind it. */
const char *canvas_text_fitted(Canvas *canvas, const TextStyle *style, const char *text, double wide_px);

#endif
