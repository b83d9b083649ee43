/* How each number came about, kept for `groundrow why`. */
#include "plan/resolve.h"

static const Span NOWHERE = {0};

/* Lenses, sensors and crops are spoken of in millimetres everywhere. */
static bool is_optical(const Scene *scene, int slot) {
    for (size_t i = 0; i < scene->lens_count; i++) {
        if (slot == scene->lenses[i].focal) return true;
    }
    for (size_t i = 0; i < scene->body_count; i++) {
        if (slot == scene->bodies[i].sensor_wide || slot == scene->bodies[i].sensor_tall) return true;
    }
    for (size_t i = 0; i < scene->shot_count; i++) {
        const Shot *shot = &scene->shots[i];
        bool optical = slot == shot->lens || slot == shot->crop_across || slot == shot->crop_up;
        for (size_t l = 0; l < shot->allow_lens_count; l++)
            optical |= slot == shot->allow_lens[l];
        for (size_t a = 0; a < shot->also_count; a++)
            optical |= slot == shot->also[a].lens;
        if (optical) return true;
    }
    return false;
}

static const char *value_text(const Resolver *r, int slot) {
    const double value = r->plan->values[slot];
    switch (r->scene->slots[slot].kind) {
    case KIND_LENGTH:
        if (is_optical(r->scene, slot))
            return arena_format(r->arena, "%s mm", number_short(r->arena, value, 2));
        return r->scene->slots[slot].on_drawing
                   ? arena_format(r->arena, "%s mm drawn", number_short(r->arena, value, 2))
                   : length_both(r->arena, r->scene->lengths, value, 64, 2);
    case KIND_ANGLE:
    case KIND_TILT:
    case KIND_TURN:
        return arena_format(r->arena, "%s deg", number_short(r->arena, DEGREES(value), 3));
    case KIND_SHARE:
        return arena_format(r->arena, "%s %%", number_short(r->arena, 100 * value, 3));
    case KIND_STOP:
        return arena_format(r->arena, "f/%s", number_short(r->arena, value, 2));
    case KIND_PIXELS:
        return arena_format(r->arena, "%s px", number_short(r->arena, value, 2));
    default:
        return number_short(r->arena, value, 6);
    }
}

static const char *node_value(const Resolver *r, NodeKind kind, int index) {
    const Plan *plan = r->plan;
    Arena *a = r->arena;
    const LengthStyle style = r->scene->lengths;
    switch (kind) {
    case NODE_SLOT:
        return value_text(r, index);
    case NODE_PICTURE:
        return arena_format(a, "%s x %s mm of the sensor",
                            number_fixed(a, plan->shots[index].picture.taken_wide_mm, 2),
                            number_fixed(a, plan->shots[index].picture.taken_tall_mm, 2));
    case NODE_CAMERA: {
        const Camera *c = &plan->shots[index].cameras[0].camera;
        return arena_format(a, "%s mm lens, %s up, %s away, %s deg down", number_short(a, c->focal_mm, 2),
                            length_one(a, style, c->height_mm, 16, 1),
                            length_one(a, style, c->distance_mm + plan->shots[index].mark.back_mm, 16, 1),
                            number_fixed(a, DEGREES(c->tilt_rad), 3));
    }
    case NODE_CAMERAS:
        return arena_format(a, "%d", (int)plan->shots[index].camera_count);
    case NODE_FOOT:
    case NODE_PLACE: {
        const Point3 p = kind == NODE_FOOT ? r->feet[index] : plan->things[index].at;
        return arena_format(a, "%s across, %s back, %s up", length_one(a, style, p.across_mm, 16, 1),
                            length_one(a, style, p.back_mm, 16, 1), length_one(a, style, p.up_mm, 16, 1));
    }
    case NODE_GROUND:
    case NODE_BASE: {
        const Trapezoid *t = kind == NODE_GROUND ? &plan->ground_outline : &plan->base_outline;
        return arena_format(a, "%s wide in front, %s at the rear, %s deep",
                            length_one(a, style, t->front_right_mm - t->front_left_mm, 16, 1),
                            length_one(a, style, t->rear_right_mm - t->rear_left_mm, 16, 1),
                            length_one(a, style, t->rear_mm - t->front_mm, 16, 1));
    }
    case NODE_MOUNDS:
    case NODE_KINDS:
        break;
    }
    int count = 0;
    for (size_t i = 0; i < r->scene->thing_count; i++)
        count += r->scene->things[i].role == ROLE_MOUND || r->scene->things[i].role == ROLE_HOLLOW;
    return count > 0 ? arena_format(a, "%d", count) : "none";
}

static const char *node_path(const Resolver *r, NodeKind kind, int index) {
    const char *shot =
        r->scene->shot_count > 1 && (kind == NODE_PICTURE || kind == NODE_CAMERA || kind == NODE_CAMERAS)
            ? arena_format(r->arena, " of shot %s", r->plan->shots[index].name)
            : "";
    switch (kind) {
    case NODE_SLOT:
        return r->scene->slots[index].path;
    case NODE_PICTURE:
        return arena_format(r->arena, "the picture%s", shot);
    case NODE_CAMERA:
        return arena_format(r->arena, "the camera%s", shot);
    case NODE_CAMERAS:
        return arena_format(r->arena, "the allowed cameras%s", shot);
    case NODE_FOOT:
        return arena_format(r->arena, "the drawn foot of %s", r->scene->things[index].name);
    case NODE_PLACE:
        return arena_format(r->arena, "the place of %s", r->scene->things[index].name);
    case NODE_GROUND:
        return "the ground";
    case NODE_BASE:
        return "the base";
    case NODE_MOUNDS:
    case NODE_KINDS:
        break;
    }
    return "the mounds";
}

void keep_reasons(Resolver *r) {
    Plan *plan = r->plan;
    int *reason_of = ARENA_ARRAY(r->arena, int, r->node_count);
    plan->reasons = ARENA_ARRAY(r->arena, Reason, r->node_count);
    for (int kind = 0, n = 0; n < r->node_count; n++) {
        while (kind + 1 < NODE_KINDS && n >= r->base_of[kind + 1])
            kind++;
        reason_of[n] = -1;
        if (r->nodes[n].state != NODE_KNOWN) continue;
        const int index = n - r->base_of[kind];
        Reason *reason = &plan->reasons[plan->reason_count];
        reason_of[n] = (int)plan->reason_count++;
        reason->path = node_path(r, (NodeKind)kind, index);
        reason->value = node_value(r, (NodeKind)kind, index);
        reason->text = r->nodes[n].text ? r->nodes[n].text : "";
        reason->rule = r->nodes[n].rule;
        reason->span = kind == NODE_SLOT && slot_stated(r, index) ? slot_span(r, index) : NOWHERE;
    }
    for (int n = 0; n < r->node_count; n++) {
        if (reason_of[n] < 0) continue;
        Reason *reason = &plan->reasons[reason_of[n]];
        reason->inputs = ARENA_ARRAY(r->arena, int, r->nodes[n].inputs.count);
        for (size_t i = 0; i < r->nodes[n].inputs.count; i++) {
            const int input = reason_of[r->nodes[n].inputs.items[i]];
            if (input >= 0) reason->inputs[reason->input_count++] = input;
        }
    }
}
