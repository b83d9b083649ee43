#include "plan/room.h"

#include "base/text.h"
#include "plan/lamps.h"
#include "plan/relief.h"
#include "plan/shape.h"
#include "plan/tables.h"

#include <math.h>

static void take_in(RoomNeeds *needs, double left, double right, double front, double rear) {
    needs->left_mm = fmin(needs->left_mm, left);
    needs->right_mm = fmax(needs->right_mm, right);
    needs->front_mm = fmin(needs->front_mm, front);
    needs->rear_mm = fmax(needs->rear_mm, rear);
}

static void take_in_tables(Arena *arena, const Plan *plan, RoomNeeds *needs) {
    Tables tables;
    if (!plan_tables(arena, plan, &tables)) return;
    for (int i = 0; i < tables.count; i++) {
        const PlanTable *it = &tables.items[i];
        take_in(needs, it->left_mm, it->left_mm + tables.across_mm, it->front_mm,
                it->front_mm + tables.back_mm);
    }
}

static void take_in_things(const Plan *plan, RoomNeeds *needs) {
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *it = &plan->things[i];
        const bool earth = it->thing->role == ROLE_MOUND || it->thing->role == ROLE_HOLLOW;
        if (it->thing->role == ROLE_OPENING) continue;
        if (earth && plan_relief_place(plan, it) == RELIEF_OFF_GROUND) continue;
        if (!earth) take_in(needs, it->left_mm, it->right_mm, it->front_mm, it->rear_mm);
        if (it->top_mm <= needs->top_mm) continue;
        needs->top_mm = it->top_mm;
        needs->top_thing = (int)i;
    }
}

static void take_in_lamps(const Plan *plan, RoomNeeds *needs) {
    for (size_t i = 0; i < plan->scene->lamp_count; i++) {
        const PlanLamp *it = &plan->lamps[i];
        const double around = it->on_stand ? ROOM_LEGS_MM : LAMP_HEAD_MM / 2;
        take_in(needs, it->at.across_mm - around, it->at.across_mm + around, it->at.back_mm - around,
                it->at.back_mm + around);
        if (it->at.up_mm + LAMP_HEAD_MM / 2 <= needs->top_mm) continue;
        needs->top_mm = it->at.up_mm + LAMP_HEAD_MM / 2;
        needs->top_thing = -1;
        needs->top_lamp = (int)i;
    }
}

/* The tripod under the lens, and a person behind it. */
static void take_in_cameras(const Plan *plan, RoomNeeds *needs) {
    double farthest = -INFINITY;
    for (size_t s = 0; s < plan->shot_count; s++) {
        for (size_t c = 0; c < plan->shots[s].camera_count; c++) {
            const Camera *camera = &plan->shots[s].cameras[c].camera;
            const double sensor = camera->distance_mm + camera->image_mm * cos(camera->tilt_rad);
            take_in(needs, camera->across_mm - ROOM_LEGS_MM, camera->across_mm + ROOM_LEGS_MM,
                    -sensor - ROOM_PERSON_MM, -camera->distance_mm + ROOM_LEGS_MM);
            if (sensor <= farthest) continue;
            farthest = sensor;
            needs->shot = (int)s;
            needs->camera = (int)c;
        }
    }
}

RoomNeeds plan_room_needs(Arena *arena, const Plan *plan) {
    RoomNeeds needs = {INFINITY,        -INFINITY,     INFINITY, -INFINITY, .top_mm = -INFINITY,
                       .top_thing = -1, .top_lamp = -1};
    take_in_things(plan, &needs);
    take_in_tables(arena, plan, &needs);
    take_in_lamps(plan, &needs);
    take_in_cameras(plan, &needs);
    needs.across_mm = needs.right_mm - needs.left_mm;
    needs.back_mm = needs.rear_mm - needs.front_mm;
    needs.tall_mm = plan->table_tall_mm > 0
                        ? needs.top_mm + plan->ground_thick_mm + (plan->base >= 0 ? plan->base_thick_mm : 0) +
                              plan->table_tall_mm
                        : NAN;
    return needs;
}

/* --- reach */

static bool is_put_on(const PlanThing *it) {
    const ThingRole role = it->thing->role;
    return role == ROLE_PUPPET || role == ROLE_PIECE || role == ROLE_FLAT;
}

static bool has_backdrop(const Plan *plan) {
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        if (plan->things[i].thing->role == ROLE_BACKDROP) return true;
    }
    return false;
}

/* Square to a side that slants. */
static double to_side_mm(double across, double back, double front_x, double front_y, double rear_x,
                         double rear_y) {
    const double x = rear_x - front_x, y = rear_y - front_y, length = hypot(x, y);
    return length > 0 ? fabs((across - front_x) * y - (back - front_y) * x) / length : fabs(across - front_x);
}

static double place_reach_mm(const Plan *plan, double x, double y) {
    const Trapezoid *t = plan->base >= 0 ? &plan->base_outline : &plan->ground_outline;
    double nearest = y - t->front_mm;
    nearest = fmin(nearest, to_side_mm(x, y, t->front_left_mm, t->front_mm, t->rear_left_mm, t->rear_mm));
    nearest = fmin(nearest, to_side_mm(x, y, t->front_right_mm, t->front_mm, t->rear_right_mm, t->rear_mm));
    if (!has_backdrop(plan)) nearest = fmin(nearest, t->rear_mm - y);
    return nearest;
}

/* A flat is held at both its ends, anything else in the middle. */
double plan_reach_mm(const Plan *plan, const PlanThing *thing) {
    const double y = (thing->front_mm + thing->rear_mm) / 2;
    if (thing->thing->role != ROLE_FLAT)
        return place_reach_mm(plan, (thing->left_mm + thing->right_mm) / 2, y);
    const Point3 left = shape_point(thing, 0, -thing->wide_mm / 2, 0, 0),
                 right = shape_point(thing, 0, thing->wide_mm / 2, 0, 0);
    return fmax(place_reach_mm(plan, left.across_mm, left.back_mm),
                place_reach_mm(plan, right.across_mm, right.back_mm));
}

/* From the rear to the front; what stands atop another after that one, for it is put there later. */
static bool comes_before(const Plan *plan, int a, int b) {
    const PlanThing *one = &plan->things[a], *other = &plan->things[b];
    if (other->thing->atop == a) return true;
    if (one->thing->atop == b) return false;
    if (one->at.back_mm != other->at.back_mm) return one->at.back_mm > other->at.back_mm;
    return one->at.up_mm < other->at.up_mm;
}

/* A puppet may stand in several shots. */
static bool is_named(const Plan *plan, const OutOfReach *out, const char *name) {
    for (size_t i = 0; i < out->count; i++) {
        if (text_equal(plan->things[out->things[i]].thing->name, name)) return true;
    }
    return false;
}

/* An arm's reach is not known better (rule 98; common practice, no source). */
static const double reach_slack_mm = 5;

OutOfReach plan_out_of_reach(Arena *arena, const Plan *plan, double reach_mm) {
    OutOfReach out = {.things = ARENA_ARRAY(arena, int, plan->scene->thing_count)};
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *it = &plan->things[i];
        const double mm = is_put_on(it) ? plan_reach_mm(plan, it) : 0;
        if (mm <= reach_mm + reach_slack_mm || is_named(plan, &out, it->thing->name)) continue;
        size_t at = out.count++;
        while (at > 0 && comes_before(plan, (int)i, out.things[at - 1])) {
            out.things[at] = out.things[at - 1];
            at--;
        }
        out.things[at] = (int)i;
        out.farthest_mm = fmax(out.farthest_mm, mm);
    }
    return out;
}

bool passes_door(double wide_mm, double tall_mm, double deep_mm, double door_wide_mm, double door_tall_mm) {
    const double longest = fmax(fmax(wide_mm, tall_mm), deep_mm);
    const double least = fmin(fmin(wide_mm, tall_mm), deep_mm);
    const double middle = wide_mm + tall_mm + deep_mm - longest - least;
    return least <= fmin(door_wide_mm, door_tall_mm) && middle <= fmax(door_wide_mm, door_tall_mm);
}
