#include "picture/pictures.h"

#include <math.h>

const TextStyle PLAIN_TEXT = {.size_px = 18, .color = TEXT_COLOR};
const TextStyle FAINT_TEXT = {.size_px = 18, .color = FAINT_COLOR};
const TextStyle TITLE_TEXT = {.size_px = 28, .color = TEXT_COLOR, .face = FACE_BOLD};
const TextStyle LABEL_TEXT = {.size_px = 18, .color = TEXT_COLOR, .plate = 0.85, .plate_color = 0xFFFFFF};

Window picture_window(const PlanShot *shot, double top_px) {
    const RasterWindow mm = raster_frame(&shot->picture, 0);
    const double aspect = (mm.high_mm - mm.low_mm) / (mm.right_mm - mm.left_mm);
    double wide = PICTURE_WIDE_PX - 2 * PICTURE_SIDE_PX;
    if (wide * aspect > PICTURE_TALLEST_PX) wide = fmax(floor(PICTURE_TALLEST_PX / aspect), 1);
    const double tall = fmax(floor(wide * aspect + 0.5), 1);
    const double left = floor((PICTURE_WIDE_PX - wide) / 2);
    return (Window){mm, {left, top_px, left + wide, top_px + tall}};
}

const char *picture_heading(const PictureTask *task) {
    const char *shot = task->plan->shots[task->shot].name;
    return shot[0] ? arena_format(task->arena, "shot %s", shot)
                   : arena_format(task->arena, "scene %s", task->plan->scene->name);
}

const char *picture_value(const PictureTask *task, const char *heading, const char *key, const char *part) {
    return facts_label(task->arena, task->facts, heading, key, part, true);
}

static bool is_part_of_its_pages(const PageAreas *areas) {
    return !page_area_within(areas->pages, areas->picture);
}

static const char *pages_of(const PictureTask *task) {
    const char *first = picture_value(task, picture_heading(task), "pages", "first"),
               *last = picture_value(task, picture_heading(task), "pages", "last");
    if (!first) return NULL;
    const char *part = is_part_of_its_pages(&task->plan->shots[task->shot].areas) ? "part of " : "";
    return last ? arena_format(task->arena, "%spages %s and %s", part, first, last)
                : arena_format(task->arena, "%spage %s", part, first);
}

void picture_head(const PictureTask *task, Canvas *canvas, const char *line) {
    const char *shot = task->plan->shots[task->shot].name;
    const char *title = task->facts->title ? task->facts->title : task->plan->scene->name;
    if (shot[0]) title = arena_format(task->arena, "%s: %s", title, shot);
    const double right = PICTURE_WIDE_PX - PICTURE_SIDE_PX;
    double room = right - PICTURE_SIDE_PX;
    const char *pages = pages_of(task);
    if (pages) {
        TextStyle style = FAINT_TEXT;
        style.align = TEXT_TO_RIGHT;
        const CanvasBox box = canvas_text(canvas, right, 40, &style, pages);
        room -= box.right_px - box.left_px + 24;
    }
    canvas_text(canvas, PICTURE_SIDE_PX, 40, &TITLE_TEXT,
                canvas_text_fitted(canvas, &TITLE_TEXT, title, room));
    canvas_text(canvas, PICTURE_SIDE_PX, 69, &PLAIN_TEXT,
                canvas_text_fitted(canvas, &PLAIN_TEXT, line, right - PICTURE_SIDE_PX));
}

static void draw_entry(Canvas *canvas, const LegendEntry *entry, double x, double y, double sample) {
    TextStyle style = PLAIN_TEXT;
    style.middle = true;
    if (entry->sample) entry->sample(canvas, (CanvasBox){x, y + 4, x + sample, y + PICTURE_LINE_PX - 4});
    canvas_text(canvas, x + (entry->sample ? sample + 8 : 0), y + PICTURE_LINE_PX / 2.0, &style, entry->text);
}

double picture_legend(Canvas *canvas, const LegendEntry *entries, size_t count, double top_px) {
    double x = PICTURE_SIDE_PX, y = top_px;
    for (size_t i = 0; i < count; i++) {
        const double sample = entries[i].sample_px > 0 ? entries[i].sample_px : LEGEND_SAMPLE_PX;
        const double wide =
            (entries[i].sample ? sample + 8 : 0) + canvas_text_wide_px(canvas, &PLAIN_TEXT, entries[i].text);
        if (x > PICTURE_SIDE_PX && x + wide > PICTURE_WIDE_PX - PICTURE_SIDE_PX) {
            x = PICTURE_SIDE_PX;
            y += PICTURE_LINE_PX;
        }
        draw_entry(canvas, &entries[i], x, y, sample);
        x += wide + 28;
    }
    return y + (count > 0 ? PICTURE_LINE_PX : 0) - top_px;
}

static void draw_scale(Canvas *canvas, CanvasBox box) {
    const LineStyle line = {.color = TEXT_COLOR, .wide_px = 2};
    const double y = (box.top_px + box.bottom_px) / 2;
    canvas_line(canvas, box.left_px, y, box.right_px, y, &line);
    canvas_line(canvas, box.left_px + 1, y - 7, box.left_px + 1, y + 7, &line);
    canvas_line(canvas, box.right_px - 1, y - 7, box.right_px - 1, y + 7, &line);
}

LegendEntry picture_scale(const PictureTask *task, const Window *window) {
    static const double inches[] = {0.25, 0.5, 1, 2, 3, 6, 12, 24, 48, 96},
                        mms[] = {5, 10, 20, 50, 100, 200, 500, 1000, 2000};
    enum { INCHES = sizeof inches / sizeof *inches, MMS = sizeof mms / sizeof *mms };
    const PlanShot *shot = &task->plan->shots[task->shot];
    const bool feet = task->facts->lengths == STYLE_FEET_INCHES;
    const double px_per_mm =
        window_scale(window) / camera_scale(&shot->cameras[0].camera, &shot->picture, shot->mark);
    double length = 0;
    for (size_t i = 0; i < (feet ? INCHES : MMS); i++) {
        const double mm = feet ? inches[i] * MM_PER_INCH : mms[i];
        if (i == 0 || mm * px_per_mm <= 180) length = mm;
    }
    return (LegendEntry){draw_scale,
                         arena_format(task->arena, "%s at the mark",
                                      length_one(task->arena, task->facts->lengths, length, 4, 0)),
                         length * px_per_mm};
}

PictureFile picture_file(const PictureTask *task, Canvas *canvas, const char *ending, const char *title,
                         const char *alt) {
    Buffer png = buffer_new(task->arena);
    canvas_to_png(canvas, PICTURE_PAPER_MM, &png);
    const PictureFile file = {.ending = ending,
                              .bytes = png.bytes,
                              .count = png.count,
                              .wide_px = (unsigned)canvas_wide_px(canvas),
                              .tall_px = (unsigned)canvas_tall_px(canvas),
                              .title = title,
                              .alt = alt};
    canvas_free(canvas);
    return file;
}
