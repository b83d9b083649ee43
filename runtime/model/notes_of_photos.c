/* The camera as it stood for each photograph: its lens, its axes and its picture as a small frame before it,
 * and how far that is from the mark. */
#include "model/notes.h"
#include "optics/space.h"
#include "plan/lined_up.h"

typedef struct Stood {
    Notes *notes;
    const LinedPhoto *photo;
    PhotoAxes axes;
    int group;
} Stood;

static const char *named(const Stood *stood, const char *what) {
    return arena_format(stood->notes->arena, "photo %s %s", stood->photo->id, what);
}

/* Counter-clockwise from the lower left, so far along the axis. */
static Point3 corner(const Stood *stood, int index, double far_mm) {
    const Photograph *image = &stood->photo->image;
    const PhotoCamera *camera = &stood->photo->found->camera;
    const double half = 0.5 * image->sensor_wide_mm / camera->image_mm;
    const double right = index == 1 || index == 2 ? half : -half;
    const double down = (index >= 2 ? -half : half) * image->tall_px / image->wide_px;
    const Point3 ray = point_add(stood->axes.forward, point_add(point_times(stood->axes.right, right),
                                                                point_times(stood->axes.down, down)));
    return point_toward(camera->lens, ray, far_mm);
}

/* Near enough to the lens that it hides nothing of the set. */
static void note_frame(const Stood *stood) {
    Notes *notes = stood->notes;
    const Point3 lens = stood->photo->found->camera.lens;
    const double far_mm = 8 * notes->gap_mm, radius = 0.7 * notes->line_mm;
    Point3 corners[4];
    for (int i = 0; i < 4; i++) {
        corners[i] = corner(stood, i, far_mm);
        const Point3 edge[] = {lens, corners[i]};
        notes_line(notes, stood->group, named(stood, "edge"), INK_PHOTO, edge, 2, false, radius);
    }
    notes_line(notes, stood->group, named(stood, "frame"), INK_PHOTO, corners, 4, true, radius);
    const Point3 middle = point_times(point_add(corners[2], corners[3]), 0.5);
    const Point3 up[] = {middle, point_toward(middle, stood->axes.down, -1.2 * notes->gap_mm)};
    notes_line(notes, stood->group, named(stood, "up"), INK_PHOTO, up, 2, false, radius);
}

/* Over it to the right: the planned camera's own card stands to the left, and sizes of the ground lie below.
 */
static void note_card(const Stood *stood) {
    Notes *notes = stood->notes;
    Arena *arena = notes->arena;
    const char *heading = arena_format(arena, "photo %s", stood->photo->photo->name);
    const char *lens = notes_value(notes, heading, "lens", NULL),
               *up = notes_value(notes, heading, "height", NULL),
               *distance = notes_value(notes, heading, "distance", NULL);
    if (!lens || !up || !distance) return;
    const Card card = {
        .ink = INK_PHOTO,
        .at = point_add(stood->photo->found->camera.lens, point(1.5 * notes->gap_mm, 0, 3 * notes->gap_mm)),
        .share_across = -1,
        .share_up = -1,
        .lean_rad = RADIANS(15),
        .letter_mm = 0.7 * notes->letter_mm,
        .lines = {arena_format(arena, "photograph %s: lens %s", stood->photo->photo->name, lens),
                  arena_format(arena, "%s up", up), arena_format(arena, "%s to the mark", distance)}};
    notes_card(notes, stood->group, named(stood, "card"), &card);
}

void notes_of_photos(Notes *notes) {
    const LinedUp *lined = notes->plan->lined_up;
    for (size_t i = 0; lined && i < lined->count; i++) {
        Stood stood = {.notes = notes, .photo = &lined->photos[i]};
        stood.axes = photo_axes(&stood.photo->found->camera);
        stood.group = model_node(notes->model, notes->group, MODEL_NOTE, named(&stood, "camera"));
        note_frame(&stood);
        note_card(&stood);
    }
}
