/* What photographs say: where the camera stood, what to move, and the crop that equals the planned frame
 * (docs/geometry.md, rules 61 to 74). */
#include "base/text.h"
#include "plan/lined_up.h"
#include "plan/seen.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_TURNED = {" to the right", " to the left", "square to the set"};
static const FactWay WAY_ROLLED = {", its right side low", ", its left side low", "level"};
static const FactWay WAY_CAMERA_NEARER = {" nearer", " farther away", "as far away"};
static const FactWay WAY_CAMERA_RIGHT = {" to the right", " to the left", "not sideways"};
static const FactWay WAY_CAMERA_UP = {" up", " down", "as high"};
static const FactWay WAY_CAMERA_TURN = {" to the right", " to the left", "as it is"};
static const FactWay WAY_CAMERA_TILT = {" down", " up", "as it is"};
static const FactWay WAY_CAMERA_ROLL = {" clockwise as seen from behind it",
                                        " anticlockwise as seen from behind it", "as it is"};
static const FactWay WAY_THING_BACK = {" farther back", " nearer", "as far back"};
static const FactWay WAY_THING_RIGHT = {" to the right", " to the left", "not sideways"};
static const FactWay WAY_THING_TURN = {" more to the left", " more to the right", "as turned"};
static const FactWay WAY_THING_TALL = {" taller", " shorter", "as tall"};
static const FactWay WAY_PIXELS_RIGHT = {" px right", " px left", "not sideways"};
static const FactWay WAY_PIXELS_DOWN = {" px down", " px up", "not up or down"};

/* A number and how sure it is. */
static Fact *write_likely(Writer *writer, FactBlock *block, const char *key, const char *label, FactPart part,
                          double likely) {
    Fact *fact = fact_part(writer->facts, fact_new(writer->facts, block, key, label), part);
    const bool angle = part.kind == FACT_ANGLE;
    return fact_part(writer->facts, fact,
                     (FactPart){.name = "likely",
                                .kind = angle                      ? FACT_FINE_ANGLE
                                        : part.kind == FACT_SENSOR ? FACT_SENSOR
                                                                   : FACT_WITHIN,
                                .number = likely,
                                .before = ", likely within "});
}

/* --- where the camera was ------------------------------------------------------------------------------ */

static void write_lens_of_photo(Writer *writer, FactBlock *block, const LinedPhoto *photo) {
    static const char *const from[] = {[FOCAL_STATED] = "; stated ",
                                       [FOCAL_OF_METADATA] = "; the photograph itself says ",
                                       [FOCAL_SOUGHT] = "; worked out"};
    const ResectResult *found = photo->found;
    Fact *fact = write_likely(writer, block, "lens", NULL,
                              (FactPart){.kind = FACT_SENSOR, .number = found->camera.focal_mm},
                              found->spread[RESECT_FOCAL].likely);
    if (photo->focal_from == FOCAL_SOUGHT)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "from", .kind = FACT_TEXT, .text = "", .before = from[FOCAL_SOUGHT]});
    else
        fact_part(writer->facts, fact,
                  (FactPart){.name = photo->focal_from == FOCAL_STATED ? "stated" : "of_photograph",
                             .kind = FACT_SENSOR,
                             .number = photo->focal_mm,
                             .before = from[photo->focal_from]});
}

static void write_image(Writer *writer, FactBlock *block, const LinedPhoto *photo) {
    const Plan *plan = writer->plan;
    write_text(writer, block, "image", NULL, plan->scene->wanted[photo->photo->image].path);
    Fact *size = fact_new(writer->facts, block, "size", NULL);
    fact_part(
        writer->facts, size,
        (FactPart){.name = "wide_px", .kind = FACT_NUMBER, .number = photo->image.wide_px, .after = " x "});
    fact_part(
        writer->facts, size,
        (FactPart){.name = "tall_px", .kind = FACT_NUMBER, .number = photo->image.tall_px, .after = " px"});
    write_text(writer, block, "body", NULL, plan->scene->bodies[photo->body].name);
    write_lens_of_photo(writer, block, photo);
}

static void write_stood(Writer *writer, FactBlock *block, const LinedPhoto *photo, const PlanShot *shot) {
    const ResectResult *found = photo->found;
    const PhotoCamera *camera = &found->camera;
    const ResectSpread *spread = found->spread;
    write_likely(writer, block, "distance", "lens to the mark, level",
                 (FactPart){.kind = FACT_PLACE, .number = shot->mark.back_mm - camera->lens.back_mm},
                 spread[RESECT_BACK].likely);
    write_likely(writer, block, "side", "lens, from the centre line",
                 (FactPart){.kind = FACT_PLACE,
                            .number = camera->lens.across_mm - writer->datum.centre_mm,
                            .way = &WAY_SIDE},
                 spread[RESECT_ACROSS].likely);
    write_likely(writer, block, "height", "lens above the flat ground",
                 (FactPart){.kind = FACT_PLACE, .number = camera->lens.up_mm}, spread[RESECT_UP].likely);
    write_likely(writer, block, "turn", "turned",
                 (FactPart){.kind = FACT_ANGLE, .number = camera->turn_rad, .way = &WAY_TURNED},
                 spread[RESECT_TURN].likely);
    write_likely(writer, block, "tilt", NULL,
                 (FactPart){.kind = FACT_ANGLE, .number = camera->tilt_rad, .way = &WAY_TILT},
                 spread[RESECT_TILT].likely);
    write_likely(writer, block, "roll", NULL,
                 (FactPart){.kind = FACT_ANGLE, .number = camera->roll_rad, .way = &WAY_ROLLED},
                 spread[RESECT_ROLL].likely);
}

/* --- marks --------------------------------------------------------------------------------------------- */

static const char *what_became_of(const LinedMark *mark, const ResectResidual *residual) {
    return mark->moved           ? "; left out, its thing stands elsewhere"
           : residual->mismarked ? "; left out, it does not belong"
           : residual->suspect   ? "; it may be wrong"
                                 : NULL;
}

static void write_mark(Writer *writer, FactBlock *block, const LinedPhoto *photo, size_t index) {
    const LinedMark *mark = &photo->marks[index];
    const ResectResidual *residual = &photo->found->residuals[index];
    Fact *fact = fact_new(writer->facts, block, arena_format(writer->arena, "mark %s", mark->mark->name),
                          arena_format(writer->arena, "off at %s", mark->mark->name));
    if (!isfinite(residual->off_px)) {
        fact_part(writer->facts, fact,
                  (FactPart){.kind = FACT_TEXT, .text = "it would be behind the camera"});
        return;
    }
    fact_part(writer->facts, fact,
              (FactPart){.name = "x_px",
                         .kind = FACT_NUMBER,
                         .number = number_round(residual->x_px, 0.1),
                         .after = ", ",
                         .way = &WAY_PIXELS_RIGHT});
    fact_part(writer->facts, fact,
              (FactPart){.name = "y_px",
                         .kind = FACT_NUMBER,
                         .number = number_round(residual->y_px, 0.1),
                         .after = what_became_of(mark, residual),
                         .way = &WAY_PIXELS_DOWN});
}

static void write_marks(Writer *writer, FactBlock *block, const LinedPhoto *photo) {
    const ResectResult *found = photo->found;
    Fact *fact = fact_new(writer->facts, block, "marks", NULL);
    fact_part(writer->facts, fact,
              (FactPart){.name = "used",
                         .kind = FACT_NUMBER,
                         .number = (double)found->count_used,
                         .after = arena_format(writer->arena, " of %d used, ", (int)photo->mark_count)});
    fact_part(writer->facts, fact,
              (FactPart){.name = "rms_px",
                         .kind = FACT_NUMBER,
                         .number = number_round(found->rms_px, 0.1),
                         .after = " px off on the average"});
    for (size_t i = 0; i < photo->mark_count; i++)
        write_mark(writer, block, photo, i);
}

/* --- moves of the camera ------------------------------------------------------------------------------- */

static void write_camera_move(Writer *writer, FactBlock *block, const char *key, const char *label,
                              const CameraMove *move, FactKind kind, const FactWay *way) {
    const FactKind spread = kind == FACT_ANGLE ? FACT_FINE_ANGLE : FACT_WITHIN;
    Fact *fact = fact_new(writer->facts, block, key, label);
    if (!move->needed) {
        fact_part(writer->facts, fact,
                  (FactPart){.name = "sure",
                             .kind = spread,
                             .number = fmax(move->spread.sure, fabs(move->by)),
                             .before = "right within "});
        return;
    }
    fact_part(writer->facts, fact, (FactPart){.name = "by", .kind = kind, .number = move->by, .way = way});
    fact_part(
        writer->facts, fact,
        (FactPart){
            .name = "likely", .kind = spread, .number = move->spread.likely, .before = ", likely within "});
}

/* Where the sensor mark belongs, to hold a tape to. */
static void write_sensor_mark(Writer *writer, FactBlock *block, const LinedPhoto *photo) {
    const PlanDatum *datum = &writer->datum;
    const Point3 mark = photo_sensor_mark(&photo->planned);
    Fact *place = write_way(
        writer, block, "sensor_mark",
        arena_format(writer->arena, "then its sensor mark is, from the %s's front edge", datum->owner),
        FACT_PLACE, datum->front_mm - mark.back_mm, &WAY_BEFORE_EDGE);
    fact_part(writer->facts, place,
              (FactPart){.name = "right",
                         .kind = FACT_PLACE,
                         .number = mark.across_mm - datum->centre_mm,
                         .before = ", ",
                         .after = ", ",
                         .way = &WAY_SIDE});
    fact_part(writer->facts, place,
              (FactPart){.name = "up", .kind = FACT_PLACE, .number = mark.up_mm, .way = &WAY_UP});
    Fact *tapes = fact_new(writer->facts, block, "tapes", "its sensor mark, by two tapes");
    const double down = mark.up_mm - datum->top_mm, level = datum->front_mm - mark.back_mm;
    const struct {
        const char *name, *after;
        double corner;
    } sides[] = {{"left", " from the left front corner, ", datum->outline.front_left_mm},
                 {"right", " from the right", datum->outline.front_right_mm}};
    for (size_t i = 0; i < 2; i++)
        fact_part(writer->facts, tapes,
                  (FactPart){.name = sides[i].name,
                             .kind = FACT_PLACE,
                             .number = hypot(hypot(level, sides[i].corner - mark.across_mm), down),
                             .after = sides[i].after});
}

static void write_camera_moves(Writer *writer, FactBlock *block, const LinedPhoto *photo) {
    const CameraMoves *moves = &photo->moves;
    write_camera_move(writer, block, "nearer", "camera, to or from the set", &moves->nearer, FACT_PLACE,
                      &WAY_CAMERA_NEARER);
    write_camera_move(writer, block, "right", "camera, sideways", &moves->right, FACT_PLACE,
                      &WAY_CAMERA_RIGHT);
    write_camera_move(writer, block, "up", "camera, up or down", &moves->up, FACT_PLACE, &WAY_CAMERA_UP);
    write_camera_move(writer, block, "turn", "camera, turn", &moves->turn_right, FACT_ANGLE,
                      &WAY_CAMERA_TURN);
    write_camera_move(writer, block, "tilt", "camera, tilt", &moves->tilt_down, FACT_ANGLE, &WAY_CAMERA_TILT);
    write_camera_move(writer, block, "level", "camera, level", &moves->roll_clockwise, FACT_ANGLE,
                      &WAY_CAMERA_ROLL);
    write_sensor_mark(writer, block, photo);
}

/* --- moves of things ----------------------------------------------------------------------------------- */

static void write_stands_right(Writer *writer, Fact *fact, const LinedThing *thing) {
    fact_part(writer->facts, fact,
              (FactPart){.name = "sure",
                         .kind = FACT_WITHIN,
                         .number = fmax(thing->across.sure, thing->back.sure),
                         .before = "stands right within "});
}

static void write_place_of_thing(Writer *writer, FactBlock *block, const LinedThing *thing,
                                 const char *name) {
    Fact *fact = fact_new(writer->facts, block, arena_format(writer->arena, "move %s", name), name);
    if (!thing->placed) {
        fact_part(writer->facts, fact,
                  (FactPart){.kind = FACT_TEXT,
                             .text = "its marks do not tell how far back it stands; mark its foot"});
        return;
    }
    if (!thing->moves) {
        write_stands_right(writer, fact, thing);
        return;
    }
    fact_part(writer->facts, fact,
              (FactPart){.name = "back",
                         .kind = FACT_PLACE,
                         .number = thing->wanted.back_mm - thing->now.back_mm,
                         .before = "move it ",
                         .way = &WAY_THING_BACK});
    fact_part(
        writer->facts, fact,
        (FactPart){
            .name = "back_likely", .kind = FACT_WITHIN, .number = thing->back.likely, .before = " (within "});
    fact_part(writer->facts, fact,
              (FactPart){.name = "right",
                         .kind = FACT_PLACE,
                         .number = thing->wanted.across_mm - thing->now.across_mm,
                         .before = "), ",
                         .way = &WAY_THING_RIGHT});
    fact_part(writer->facts, fact,
              (FactPart){.name = "right_likely",
                         .kind = FACT_WITHIN,
                         .number = thing->across.likely,
                         .before = " (within ",
                         .after = thing->by_top ? "), if it is as tall as planned" : ")"});
}

static void write_thing(Writer *writer, FactBlock *block, const LinedThing *thing) {
    const char *name = writer->plan->things[thing->thing].thing->name;
    write_place_of_thing(writer, block, thing, name);
    if (thing->turns)
        write_likely(writer, block, arena_format(writer->arena, "turn %s", name),
                     arena_format(writer->arena, "%s, turn", name),
                     (FactPart){.kind = FACT_ANGLE,
                                .number = thing->turn_wanted_rad - thing->turn_now_rad,
                                .way = &WAY_THING_TURN},
                     thing->turn.likely);
    if (thing->tall_known && thing->resizes)
        write_likely(writer, block, arena_format(writer->arena, "tall %s", name),
                     arena_format(writer->arena, "%s, height", name),
                     (FactPart){.kind = FACT_SIZE,
                                .number = thing->tall_wanted_mm - thing->tall_now_mm,
                                .way = &WAY_THING_TALL},
                     thing->tall.likely);
    else if (thing->tall_known)
        fact_part(
            writer->facts,
            fact_new(writer->facts, block, arena_format(writer->arena, "tall %s", name),
                     arena_format(writer->arena, "%s, height", name)),
            (FactPart){
                .name = "sure", .kind = FACT_WITHIN, .number = thing->tall.sure, .before = "right within "});
}

static const char *order_of(Writer *writer, const LinedPhoto *photo) {
    Buffer order = buffer_new(writer->arena);
    const char *between = "";
    if (photo->camera_first) buffer_add(&order, "the camera");
    if (photo->camera_first) between = ", then ";
    for (size_t i = 0; i < photo->thing_count; i++) {
        const LinedThing *thing = &photo->things[i];
        if (!thing->moves && !thing->turns && !thing->resizes) continue;
        buffer_format(&order, "%s%s", between, writer->plan->things[thing->thing].thing->name);
        between = ", then ";
    }
    if (photo->camera_moves && !photo->camera_first) buffer_format(&order, "%sthe camera", between);
    return order.count > 0 ? buffer_text(&order) : "nothing: all that is marked stands right";
}

static void write_moves(Writer *writer, const LinedPhoto *photo, const char *name, const char *shot) {
    FactBlock *block = facts_block(writer->facts, "moves", name, shot);
    write_text(writer, block, "order", NULL, order_of(writer, photo));
    if (photo->photo->keeps_camera)
        write_text(writer, block, "camera", NULL, "stays where it is");
    else
        write_camera_moves(writer, block, photo);
    for (size_t i = 0; i < photo->thing_count; i++)
        write_thing(writer, block, &photo->things[i]);
}

/* --- the crop ------------------------------------------------------------------------------------------ */

static const char *const SIDES[SIDE_COUNT] = {
    [SIDE_LEFT] = "left", [SIDE_RIGHT] = "right", [SIDE_TOP] = "top", [SIDE_BOTTOM] = "bottom"};

/* How far the crop reaches past the photograph at a side: less than nothing where it does not. */
static double past_px(const LinedPhoto *photo, int side) {
    const double past[SIDE_COUNT] = {[SIDE_LEFT] = -photo->crop_left_px,
                                     [SIDE_RIGHT] = photo->crop_right_px - photo->image.wide_px,
                                     [SIDE_TOP] = -photo->crop_top_px,
                                     [SIDE_BOTTOM] = photo->crop_bottom_px - photo->image.tall_px};
    return past[side];
}

static bool is_past(const LinedPhoto *photo, int side) {
    return past_px(photo, side) >= 0.5;
}

/* Of the set, not of the photograph: what the camera could have in its frame besides. Where the photograph
 * ends, there may be more. */
static void write_beyond(Writer *writer, FactBlock *block, const LinedPhoto *photo, const SeenPhoto *seen) {
    if (seen->bare) {
        write_text(writer, block, "beyond", "set around it", "none: it shoots off the set");
        return;
    }
    Fact *fact = fact_new(writer->facts, block, "beyond", "set around it");
    for (int side = 0; side < SIDE_COUNT; side++) {
        const char *before = arena_format(writer->arena, "%s%s ", side > 0 ? ", " : "", SIDES[side]);
        if (is_past(photo, side))
            fact_part(writer->facts, fact,
                      (FactPart){.name = SIDES[side],
                                 .kind = FACT_TEXT,
                                 .text = "not in the photograph",
                                 .before = before});
        else
            fact_part(
                writer->facts, fact,
                (FactPart){.name = SIDES[side],
                           .kind = FACT_NUMBER,
                           .number = round(seen->beyond_px[side]),
                           .before = before,
                           .after = seen->to_edge[side] ? " px and more: there the photograph ends" : " px"});
    }
}

static void write_missing(Writer *writer, FactBlock *block, const LinedPhoto *photo) {
    Fact *fact = NULL;
    for (int side = 0; side < SIDE_COUNT; side++) {
        if (!is_past(photo, side)) continue;
        const char *between = fact ? ", " : "";
        if (!fact) fact = fact_new(writer->facts, block, "missing", "not in the photograph");
        fact_part(writer->facts, fact,
                  (FactPart){.name = arena_format(writer->arena, "%s_px", SIDES[side]),
                             .kind = FACT_NUMBER,
                             .number = round(past_px(photo, side)),
                             .before = arena_format(writer->arena, "%s%s ", between, SIDES[side]),
                             .after = " px"});
    }
    if (fact)
        fact_part(writer->facts, fact,
                  (FactPart){.kind = FACT_TEXT, .text = "; a shorter lens holds all of the planned frame"});
}

static void write_crop(Writer *writer, FactBlock *block, const LinedPhoto *photo) {
    if (!(photo->scale.px_per_mm > 0)) return;
    const double left = fmax(round(photo->crop_left_px), 0), top = fmax(round(photo->crop_top_px), 0);
    const double right = fmin(round(photo->crop_right_px), photo->image.wide_px);
    const double bottom = fmin(round(photo->crop_bottom_px), photo->image.tall_px);
    Fact *crop = fact_new(writer->facts, block, "crop", "the planned frame in it");
    const FactPart parts[] = {
        {.name = "left_px", .kind = FACT_NUMBER, .number = left, .after = " to "},
        {.name = "right_px", .kind = FACT_NUMBER, .number = right, .after = " px across, "},
        {.name = "top_px", .kind = FACT_NUMBER, .number = top, .after = " to "},
        {.name = "bottom_px", .kind = FACT_NUMBER, .number = bottom, .after = " px down"}};
    if (!(right > left && bottom > top)) {
        fact_part(writer->facts, crop, (FactPart){.kind = FACT_TEXT, .text = "nothing of it"});
        return;
    }
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        fact_part(writer->facts, crop, parts[i]);
    write_missing(writer, block, photo);
}

void facts_of_photos(Writer *writer) {
    const LinedUp *lined = writer->plan->lined_up;
    for (size_t i = 0; lined && i < lined->count; i++) {
        const LinedPhoto *photo = &lined->photos[i];
        const PlanShot *shot = &writer->plan->shots[photo->photo->shot];
        FactBlock *block = facts_block(writer->facts, "photo", photo->photo->name, shot->name);
        write_image(writer, block, photo);
        write_marks(writer, block, photo);
        write_stood(writer, block, photo, shot);
        write_crop(writer, block, photo);
        if (writer->plan->seen && photo->scale.px_per_mm > 0)
            write_beyond(writer, block, photo, &writer->plan->seen->photos[i]);
        write_moves(writer, photo, photo->photo->name, shot->name);
    }
}
