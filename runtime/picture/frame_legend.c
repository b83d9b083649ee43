#include "picture/frame.h"

static double middle_of(CanvasBox box) {
    return (box.top_px + box.bottom_px) / 2;
}

static void sample_line(Canvas *canvas, CanvasBox box, const LineStyle *style) {
    canvas_line(canvas, box.left_px, middle_of(box), box.right_px, middle_of(box), style);
}

static void sample_trim(Canvas *canvas, CanvasBox box) {
    sample_line(canvas, box, &TRIM_LINE);
}

static void sample_safe(Canvas *canvas, CanvasBox box) {
    sample_line(canvas, box, &SAFE_LINE);
}

static void sample_gutter(Canvas *canvas, CanvasBox box) {
    canvas_fill_box(canvas, box, GUTTER_COLOR, 0.6);
    canvas_line(canvas, box.left_px, box.top_px, box.left_px, box.bottom_px, &GUTTER_LINE);
    canvas_line(canvas, box.right_px, box.top_px, box.right_px, box.bottom_px, &GUTTER_LINE);
}

static void sample_text(Canvas *canvas, CanvasBox box) {
    canvas_rectangle(canvas, canvas_box_grown(box, -1), &TEXT_LINE);
}

static void sample_horizon(Canvas *canvas, CanvasBox box) {
    sample_line(canvas, box, &HORIZON_LINE);
}

static void sample_foot(Canvas *canvas, CanvasBox box) {
    canvas_cross(canvas, (box.left_px + box.right_px) / 2, middle_of(box), MARK_ARM_PX, false, &MARK_LINE);
}

static void sample_eyes(Canvas *canvas, CanvasBox box) {
    canvas_cross(canvas, (box.left_px + box.right_px) / 2, middle_of(box), MARK_ARM_PX, true, &MARK_LINE);
}

static void sample_hidden(Canvas *canvas, CanvasBox box) {
    canvas_cross(canvas, (box.left_px + box.right_px) / 2, middle_of(box), MARK_ARM_PX, false, &HIDDEN_LINE);
}

/* What closes the frame, in the report's words, each with a line of the legend for itself. */
static size_t add_growths(const Frame *frame, LegendEntry *entries, size_t count, size_t most) {
    const Facts *facts = frame->task->facts;
    Arena *arena = frame->task->arena;
    for (size_t b = 0; b < facts->blocks.count; b++) {
        const FactBlock *block = facts->blocks.items[b];
        if (!text_equal(block->kind, "seen") || !text_equal(block->shot, frame->shot->name)) continue;
        for (size_t i = 0; i < block->facts.count && count < most; i++) {
            const Fact *fact = block->facts.items[i];
            if (!text_starts(fact->key, "close") || text_starts(fact->key, "close_spare")) continue;
            const char *text =
                arena_format(arena, "%s: %s", fact->label, fact_short_text(arena, facts, fact));
            entries[count++] =
                (LegendEntry){.text = canvas_text_fitted(frame->canvas, &PLAIN_TEXT, text,
                                                         PICTURE_WIDE_PX - 2 * PICTURE_SIDE_PX)};
        }
    }
    return count;
}

static const char *bare_words(const Frame *frame) {
    const char *shot = frame->shot->name;
    const char *heading = shot[0] ? arena_format(frame->task->arena, "seen %s", shot) : "seen";
    const char *share = picture_value(frame->task, heading, "shoots_off", "all");
    return share ? arena_format(frame->task->arena, "shoots off: %s of the frame", share) : "shoots off";
}

enum { LEGEND_MOST = 16, GROWTHS_MOST = 4 };

/* Of a picture that is a part of its page, text may lie beside it. */
static bool shows_text(const Frame *frame) {
    const PageAreas *areas = &frame->shot->areas;
    for (size_t i = 0; i < areas->text_count; i++) {
        if (page_area_shared(areas->texts[i].area, areas->frame, NULL)) return true;
    }
    return false;
}

static size_t legend_of(const Frame *frame, LegendEntry entries[LEGEND_MOST]) {
    const PageAreas *areas = &frame->shot->areas;
    size_t count = 0;
    if (areas->bleeds)
        entries[count++] = (LegendEntry){.sample = sample_trim, .text = "trim; paler: cut off"};
    if (areas->safe_count > 0) entries[count++] = (LegendEntry){.sample = sample_safe, .text = "safe area"};
    if (areas->has_gutter) entries[count++] = (LegendEntry){.sample = sample_gutter, .text = "gutter"};
    if (shows_text(frame)) entries[count++] = (LegendEntry){.sample = sample_text, .text = "text"};
    if (frame_shows_horizon(frame))
        entries[count++] = (LegendEntry){.sample = sample_horizon, .text = "horizon"};
    entries[count++] = (LegendEntry){.sample = sample_foot, .text = "foot, top, corner"};
    entries[count++] = (LegendEntry){.sample = sample_eyes, .text = "eyes"};
    if (frame->hides_points)
        entries[count++] = (LegendEntry){.sample = sample_hidden, .text = "a point that is hidden"};
    if (frame->view->bare_px > 0)
        entries[count++] = (LegendEntry){.sample = set_view_stripes, .text = bare_words(frame)};
    if (frame->over_drawing)
        entries[count++] = (LegendEntry){.text = "the drawing lies over it at half strength"};
    if (!frame_shows_horizon(frame))
        entries[count++] = (LegendEntry){.text = frame_horizon_px(frame) < frame->window.px.top_px
                                                     ? "the horizon is above the picture"
                                                     : "the horizon is below the picture"};
    entries[count++] = picture_scale(frame->task, &frame->window);
    if (frame->view->bare_px > 0) count = add_growths(frame, entries, count, count + GROWTHS_MOST);
    return count;
}

double frame_legend(const Frame *frame, double top_px) {
    LegendEntry entries[LEGEND_MOST];
    const size_t count = legend_of(frame, entries);
    return picture_legend(frame->canvas, entries, count, top_px);
}
