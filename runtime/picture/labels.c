#include "picture/labels.h"

#include <math.h>

static const double APART_PX = 2; /* between two words */
static const double LEAD_PX = 1.5;
/* Costs in px of distance: what one would go further away for. */
static const double COST_AVOIDED = 40, COST_WORTH = 160, COST_SIDEWAYS = 3, COST_CROSSED = 12;
/* Nothing lies on more of what is worth seeing: rather no word. */
static const double WORTH_MOST = 0.4;

Labels labels_new(Arena *arena, Canvas *canvas, CanvasBox within) {
    return (Labels){.arena = arena, .canvas = canvas, .within = within};
}

void labels_take(Labels *labels, CanvasBox box) {
    LIST_PUSH(labels->arena, labels->taken, box);
}

void labels_avoid(Labels *labels, CanvasBox box) {
    LIST_PUSH(labels->arena, labels->avoided, box);
}

void labels_avoid_line(Labels *labels, CanvasPoint from, CanvasPoint to) {
    LIST_PUSH(labels->arena, labels->lines, from);
    LIST_PUSH(labels->arena, labels->lines, to);
}

static int lines_crossed(const Labels *labels, CanvasBox box) {
    int crossed = 0;
    for (size_t i = 0; i + 1 < labels->lines.count; i += 2)
        crossed += canvas_line_meets(labels->lines.items[i], labels->lines.items[i + 1], box);
    return crossed;
}

static bool is_free(const Labels *labels, CanvasBox box) {
    const CanvasBox *within = &labels->within;
    if (box.left_px < within->left_px || box.right_px > within->right_px || box.top_px < within->top_px ||
        box.bottom_px > within->bottom_px)
        return false;
    const CanvasBox apart = canvas_box_grown(box, APART_PX);
    for (size_t i = 0; i < labels->taken.count; i++) {
        if (canvas_boxes_meet(apart, labels->taken.items[i])) return false;
    }
    return true;
}

/* How much of the box lies on what is better seen, as a share of the box. */
static double share_avoided(const Labels *labels, CanvasBox box) {
    const double area = (box.right_px - box.left_px) * (box.bottom_px - box.top_px);
    double shared = 0;
    for (size_t i = 0; i < labels->avoided.count; i++) {
        const CanvasBox *other = &labels->avoided.items[i];
        const double wide = fmin(box.right_px, other->right_px) - fmax(box.left_px, other->left_px);
        const double tall = fmin(box.bottom_px, other->bottom_px) - fmax(box.top_px, other->top_px);
        if (wide > 0 && tall > 0) shared += wide * tall;
    }
    return area > 0 ? shared / area : 0;
}

/* The mean over the box. */
static double worth_of(const Labels *labels, CanvasBox box) {
    if (!labels->worth) return 0;
    const double step = 6;
    double sum = 0, count = 0;
    for (double y = box.top_px + step / 2; y < box.bottom_px; y += step) {
        for (double x = box.left_px + step / 2; x < box.right_px; x += step, count++)
            sum += labels->worth(labels->context, x, y);
    }
    return count > 0 ? sum / count : 0;
}

static CanvasBox moved(CanvasBox box, double x_px, double y_px) {
    return (CanvasBox){box.left_px + x_px, box.top_px + y_px, box.right_px + x_px, box.bottom_px + y_px};
}

static double clamped(double value, double low, double high) {
    return value < low ? low : value > high ? high : value;
}

/* Whether a line leads to the word, and where it meets it: where the word is not close by. */
static bool has_lead(const Label *label, CanvasBox box, double *x_px, double *y_px) {
    const double close = label->off_px + 12;
    if (canvas_boxes_meet(canvas_box_grown(box, close), label->around)) return false;
    *x_px = clamped(label->x_px, box.left_px, box.right_px);
    *y_px = clamped(label->y_px, box.top_px, box.bottom_px);
    return true;
}

/* A line as boxes that lie along it: calls `visit` with each until it says no. */
typedef bool VisitBox(void *context, CanvasBox box);

static bool along_lead(const Label *label, CanvasBox word, VisitBox *visit, void *context) {
    double x, y;
    if (!has_lead(label, word, &x, &y)) return true;
    const double step = 6, length = hypot(x - label->x_px, y - label->y_px);
    for (double at = label->off_px; at < length; at += step) {
        const double on_x = label->x_px + (x - label->x_px) * at / length,
                     on_y = label->y_px + (y - label->y_px) * at / length;
        if (!visit(context, (CanvasBox){on_x - 2, on_y - 2, on_x + 2, on_y + 2})) return false;
    }
    return true;
}

static bool is_not_taken(void *context, CanvasBox box) {
    const Labels *labels = context;
    for (size_t i = 0; i < labels->taken.count; i++) {
        if (canvas_boxes_meet(box, labels->taken.items[i])) return false;
    }
    return true;
}

static bool take_box(void *context, CanvasBox box) {
    labels_take(context, box);
    return true;
}

typedef struct Choice {
    bool any;
    double cost;
    CanvasBox box;
} Choice;

static void consider(Labels *labels, Choice *best, CanvasBox box, double cost) {
    if (best->any && cost >= best->cost) return;
    if (!is_free(labels, box)) return;
    const double worth = worth_of(labels, box);
    if (worth > WORTH_MOST) return;
    cost += COST_AVOIDED * share_avoided(labels, box) + COST_WORTH * worth +
            COST_CROSSED * lines_crossed(labels, box);
    if (best->any && cost >= best->cost) return;
    *best = (Choice){true, cost, box};
}

/* Round what it names: above it first, then to the right, to the left, below, and between; further and
 * further out. */
static Choice choose(Labels *labels, const Label *label, CanvasBox own) {
    enum { DIRECTIONS = 8 };
    static const double across[DIRECTIONS] = {0, 1, -1, 0, 1, -1, 1, -1},
                        down[DIRECTIONS] = {-1, 0, 0, 1, -1, -1, 1, 1};
    const double half_wide = (own.right_px - own.left_px) / 2, half_tall = (own.bottom_px - own.top_px) / 2;
    const CanvasBox *around = &label->around;
    const double x = (around->left_px + around->right_px) / 2, y = (around->top_px + around->bottom_px) / 2;
    const double out_x = (around->right_px - around->left_px) / 2 + half_wide,
                 out_y = (around->bottom_px - around->top_px) / 2 + half_tall;
    const CanvasBox centred = {x - half_wide, y - half_tall, x + half_wide, y + half_tall};
    Choice best = {0};
    const double step = 5;
    for (double off = label->off_px; off <= label->far_px && !(best.any && best.cost < off); off += step) {
        for (int d = 0; d < DIRECTIONS; d++) {
            const CanvasBox box = moved(centred, across[d] * (out_x + off), down[d] * (out_y + off));
            if (along_lead(label, box, is_not_taken, labels))
                consider(labels, &best, box, off + d * COST_SIDEWAYS);
        }
    }
    return best;
}

static void lead(Labels *labels, const Label *label, CanvasBox box) {
    double x, y;
    if (!has_lead(label, box, &x, &y)) return;
    const double wide = labels->lead_px > 0 ? labels->lead_px : LEAD_PX;
    const LineStyle line = {
        .color = label->style.color, .wide_px = wide, .halo = 0xFFFFFF, .halo_px = wide / LEAD_PX};
    canvas_line(labels->canvas, label->x_px, label->y_px, x, y, &line);
    canvas_fill_circle(labels->canvas, label->x_px, label->y_px, 2 * wide, label->style.color, 1);
    along_lead(label, box, take_box, labels);
}

Label label_at(const char *text, const TextStyle *style, double x_px, double y_px, double off_px,
               double far_px) {
    /* not empty, so that boxes can meet it */
    return (Label){text,   *style, {x_px - 0.5, y_px - 0.5, x_px + 0.5, y_px + 0.5}, x_px, y_px,
                   off_px, far_px};
}

static void draw(Labels *labels, const Label *label, CanvasBox own, CanvasBox box) {
    canvas_text(labels->canvas, box.left_px - own.left_px, box.top_px - own.top_px, &label->style,
                label->text);
    labels_take(labels, box);
}

bool labels_place(Labels *labels, const Label *label) {
    const CanvasBox own = canvas_text_box(labels->canvas, 0, 0, &label->style, label->text);
    const Choice best = choose(labels, label, own);
    if (!best.any) return false;
    lead(labels, label, best.box);
    draw(labels, label, own, best.box);
    return true;
}

bool labels_place_on(Labels *labels, const Label *label, CanvasBox search, LabelFits *fits,
                     const void *context) {
    const CanvasBox own = canvas_text_box(labels->canvas, 0, 0, &label->style, label->text);
    const double wide = own.right_px - own.left_px, tall = own.bottom_px - own.top_px, step = 6;
    Choice best = {0};
    for (double top = search.top_px; top + tall <= search.bottom_px; top += step) {
        for (double left = search.left_px; left + wide <= search.right_px; left += step) {
            const CanvasBox box = {left, top, left + wide, top + tall};
            const double cost = hypot(left + wide / 2 - label->x_px, top + tall / 2 - label->y_px);
            if (best.any && cost >= best.cost) continue;
            if (fits(context, box)) consider(labels, &best, box, cost);
        }
    }
    if (best.any) draw(labels, label, own, best.box);
    return best.any;
}
