#include "see/photo_sight.h"

#include "optics/space.h"

#include <math.h>

static Point3 in_axes(const PhotoAxes *axes, Point3 from_lens) {
    return point(point_dot(axes->right, from_lens), point_dot(axes->forward, from_lens),
                 -point_dot(axes->down, from_lens));
}

static void place_part(Arena *arena, SceneryPart *part, const PhotoAxes *axes, Point3 lens) {
    Point3 *points = ARENA_ARRAY(arena, Point3, part->mesh.point_count);
    Point3 *normals = ARENA_ARRAY(arena, Point3, part->mesh.point_count);
    for (size_t i = 0; i < part->mesh.point_count; i++) {
        points[i] = in_axes(axes, point_less(part->mesh.points[i], lens));
        normals[i] = in_axes(axes, part->normals[i]);
    }
    part->mesh.points = points;
    part->normals = normals;
    scenery_measure(part);
}

PhotoSight photo_sight(Arena *arena, const Scenery *scenery, const PhotoCamera *camera,
                       const Photograph *photo) {
    const double tall_mm = photo->sensor_wide_mm * photo->tall_px / photo->wide_px;
    const PictureWishes sensor = {.page_wide_mm = photo->sensor_wide_mm,
                                  .page_tall_mm = tall_mm,
                                  .pages = 1,
                                  .sensor_wide_mm = photo->sensor_wide_mm,
                                  .sensor_tall_mm = tall_mm,
                                  .crop_uses = 1};
    const PhotoAxes axes = photo_axes(camera);
    PhotoSight sight = {.scenery = *scenery, .picture = picture_new(&sensor)};
    sight.camera =
        (Camera){.focal_mm = camera->focal_mm, .object_mm = camera->object_mm, .image_mm = camera->image_mm};
    sight.scenery.parts = ARENA_ARRAY(arena, SceneryPart, scenery->part_count);
    for (size_t i = 0; i < scenery->part_count; i++) {
        sight.scenery.parts[i] = scenery->parts[i];
        place_part(arena, &sight.scenery.parts[i], &axes, camera->lens);
    }
    return sight;
}

/* --- beyond the crop ----------------------------------------------------------------------------------- */

typedef struct Mask {
    const Scenery *scenery;
    const Raster *raster;
} Mask;

/* Columns and rows from before `to`, clipped to the raster. */
static bool any_bare(const Mask *mask, int left, int right, int top, int bottom) {
    const Raster *raster = mask->raster;
    for (int y = top < 0 ? 0 : top; y < bottom && y < raster->tall_px; y++) {
        for (int x = left < 0 ? 0 : left; x < right && x < raster->wide_px; x++) {
            if (scenery_bare(mask->scenery, raster, (size_t)y * (size_t)raster->wide_px + (size_t)x))
                return true;
        }
    }
    return false;
}

/* How many pixels the box can grow at one side before something is bare or the photograph ends; `ends` is
 * which. */
static int grows(const Mask *mask, const int box[SIDE_COUNT], FrameSide side, bool *ends) {
    const bool low = side == SIDE_LEFT || side == SIDE_TOP;
    const int end = side == SIDE_RIGHT    ? mask->raster->wide_px
                    : side == SIDE_BOTTOM ? mask->raster->tall_px
                                          : 0;
    int by = 0;
    for (int at = box[side]; low ? at > end : at < end; at += low ? -1 : 1, by++) {
        const int from = low ? at - 1 : at;
        const bool bare = side == SIDE_LEFT || side == SIDE_RIGHT
                              ? any_bare(mask, from, from + 1, box[SIDE_TOP], box[SIDE_BOTTOM])
                              : any_bare(mask, box[SIDE_LEFT], box[SIDE_RIGHT], from, from + 1);
        if (bare) return by;
    }
    *ends = true;
    return by;
}

SeenPhoto photo_seen(Arena *arena, const Scenery *scenery, const LinedPhoto *photo, int wide_px) {
    const PhotoSight sight = photo_sight(arena, scenery, &photo->found->camera, &photo->image);
    const double scale = wide_px / photo->image.wide_px;
    const RasterWindow all = {0, sight.picture.drawing_wide_mm, 0, sight.picture.drawing_tall_mm};
    Raster *raster = raster_new(arena, &sight.camera, &sight.picture, all, wide_px,
                                (int)fmax(1, floor(photo->image.tall_px * scale + 0.5)));
    raster_keep_facets(raster);
    scenery_draw(&sight.scenery, raster, photo->photo->shot);
    const Mask mask = {&sight.scenery, raster};
    const int box[SIDE_COUNT] = {[SIDE_LEFT] = (int)floor(photo->crop_left_px * scale),
                                 [SIDE_RIGHT] = (int)ceil(photo->crop_right_px * scale),
                                 [SIDE_TOP] = (int)floor(photo->crop_top_px * scale),
                                 [SIDE_BOTTOM] = (int)ceil(photo->crop_bottom_px * scale)};
    SeenPhoto seen = {.bare =
                          any_bare(&mask, box[SIDE_LEFT], box[SIDE_RIGHT], box[SIDE_TOP], box[SIDE_BOTTOM])};
    for (int side = 0; side < SIDE_COUNT; side++)
        seen.beyond_px[side] = grows(&mask, box, (FrameSide)side, &seen.to_edge[side]) / scale;
    return seen;
}
