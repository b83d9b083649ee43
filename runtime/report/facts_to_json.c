#include "report/facts_to_json.h"

#include <math.h>
#include <string.h>

static void add_sign(Buffer *out, uint32_t sign, const char *bytes, size_t count) {
    if (sign == '"' || sign == '\\')
        buffer_format(out, "\\%c", (int)sign);
    else if (sign < 0x20)
        buffer_format(out, "\\u00%d%c", (int)(sign >> 4), "0123456789abcdef"[sign & 15]);
    else
        buffer_add_bytes(out, bytes, count);
}

static void add_string(Buffer *out, const char *text) {
    const size_t count = strlen(text);
    buffer_add_char(out, '"');
    for (size_t at = 0; at < count;) {
        uint32_t sign;
        const size_t used = utf8_decode(text + at, count - at, &sign);
        if (used > 0) add_sign(out, sign, text + at, used);
        at += used > 0 ? used : 1;
    }
    buffer_add_char(out, '"');
}

static void add_key(Buffer *out, const char *key) {
    add_string(out, key);
    buffer_add(out, ": ");
}

static void add_mm(Buffer *out, double mm) {
    buffer_add(out, number_short(out->arena, mm, 3));
}

static void add_number(Buffer *out, double number) {
    buffer_add(out, number_short(out->arena, number, 6));
}

/* ---- facts */

static const char *unit_of(FactKind kind) {
    switch (kind) {
    case FACT_PLACE:
    case FACT_SIZE:
    case FACT_FINE:
    case FACT_WITHIN:
    case FACT_DRAWN:
    case FACT_SENSOR:
        return "mm";
    case FACT_ANGLE:
    case FACT_FINE_ANGLE:
        return "deg";
    case FACT_SHARE:
        return "percent";
    case FACT_WEIGHT:
        return "kg";
    case FACT_TEXT:
    case FACT_NUMBER:
    case FACT_MONEY:
    case FACT_ROUGH:
    case FACT_YES:
        break;
    }
    return NULL;
}

/* `wide_mm`, `mm`, `count`, `value`. */
static void add_part_key(Buffer *out, const char *name, const char *unit) {
    const char *between = name && unit ? "_" : "";
    const char *first = name ? name : unit ? "" : "value";
    add_key(out, arena_format(out->arena, "%s%s%s", first, between, unit ? unit : ""));
}

static void add_value(Buffer *out, const FactPart *part) {
    switch (part->kind) {
    case FACT_TEXT:
        add_string(out, part->text);
        return;
    case FACT_YES:
        buffer_add(out, part->number > 0 ? "true" : "false");
        return;
    case FACT_ANGLE:
    case FACT_FINE_ANGLE:
        add_number(out, DEGREES(part->number));
        return;
    case FACT_SHARE:
        add_number(out, part->number * 100);
        return;
    case FACT_NUMBER:
    case FACT_MONEY:
    case FACT_ROUGH:
    case FACT_WEIGHT:
        add_number(out, part->number);
        return;
    default:
        add_mm(out, part->number);
        return;
    }
}

static void add_part(Buffer *out, const FactPart *part) {
    add_part_key(out, part->name, unit_of(part->kind));
    add_value(out, part);
    if (part->kind != FACT_DRAWN || !(part->px_per_mm > 0)) return;
    buffer_add(out, ", ");
    add_part_key(out, part->name, "px");
    add_mm(out, part->number * part->px_per_mm);
}

static void add_fact(Buffer *out, const Fact *fact) {
    const FactPart *parts = fact->parts.items;
    add_key(out, fact->key);
    if (fact->parts.count == 1 && parts[0].kind == FACT_TEXT) {
        add_value(out, &parts[0]);
        return;
    }
    buffer_add_char(out, '{');
    for (size_t i = 0; i < fact->parts.count; i++) {
        if (i > 0) buffer_add(out, ", ");
        add_part(out, &parts[i]);
    }
    buffer_add_char(out, '}');
}

static void add_block(Buffer *out, const FactBlock *block) {
    buffer_add(out, "    {\"kind\": ");
    add_string(out, block->kind);
    buffer_add(out, ", \"name\": ");
    add_string(out, block->name);
    buffer_add(out, ", \"shot\": ");
    add_string(out, block->shot);
    buffer_add(out, ", \"facts\": {\n");
    for (size_t i = 0; i < block->facts.count; i++) {
        buffer_add(out, "      ");
        add_fact(out, block->facts.items[i]);
        buffer_add(out, i + 1 < block->facts.count ? ",\n" : "\n");
    }
    buffer_add(out, "    }}");
}

static void add_blocks(Buffer *out, const Facts *facts) {
    const char *between = "";
    buffer_add(out, "  \"blocks\": [\n");
    for (size_t i = 0; i < facts->blocks.count; i++) {
        if (facts->blocks.items[i]->facts.count == 0) continue;
        buffer_add(out, between);
        add_block(out, facts->blocks.items[i]);
        between = ",\n";
    }
    buffer_add(out, "\n  ],\n");
}

/* ---- cameras and points */

static void add_keyed_mm(Buffer *out, const char *key, double mm) {
    buffer_add(out, ", ");
    add_key(out, key);
    add_number(out, mm);
}

static void add_pair(Buffer *out, const char *key, double wide_mm, double tall_mm) {
    buffer_add(out, ", ");
    add_key(out, key);
    buffer_add_char(out, '[');
    add_number(out, wide_mm);
    buffer_add(out, ", ");
    add_number(out, tall_mm);
    buffer_add_char(out, ']');
}

/* To a millionth: what is projected with these numbers must not drift. */
static void add_camera(Buffer *out, const FactCamera *item) {
    const Camera *camera = &item->camera;
    const Picture *picture = &item->picture;
    buffer_add(out, "    {\"shot\": ");
    add_string(out, item->shot);
    buffer_add(out, ", \"name\": ");
    add_string(out, item->name);
    buffer_add(out, ", \"id\": ");
    add_string(out, item->id);
    buffer_format(out, ", \"planned\": %s", item->planned ? "true" : "false");
    add_keyed_mm(out, "across_mm", camera->across_mm);
    add_keyed_mm(out, "distance_mm", camera->distance_mm);
    add_keyed_mm(out, "height_mm", camera->height_mm);
    buffer_add(out, ", \"tilt_deg\": ");
    buffer_add(out, number_short(out->arena, DEGREES(camera->tilt_rad), 9));
    add_keyed_mm(out, "focal_mm", camera->focal_mm);
    add_keyed_mm(out, "object_mm", camera->object_mm);
    add_keyed_mm(out, "image_mm", camera->image_mm);
    add_pair(out, "frame_on_sensor_mm", picture->taken_wide_mm, picture->taken_tall_mm);
    add_pair(out, "crop_mm", picture->crop_across_mm, camera->crop_up_mm);
    add_pair(out, "sensor_mm", picture->sensor_wide_mm, picture->sensor_tall_mm);
    add_pair(out, "drawing_mm", picture->drawing_wide_mm, picture->drawing_tall_mm);
    add_keyed_mm(out, "drawn_per_sensor", picture->drawn_per_sensor);
    buffer_add_char(out, '}');
}

static void add_cameras(Buffer *out, const Facts *facts) {
    buffer_add(out, "  \"cameras\": [\n");
    for (size_t i = 0; i < facts->cameras.count; i++) {
        if (i > 0) buffer_add(out, ",\n");
        add_camera(out, &facts->cameras.items[i]);
    }
    buffer_add(out, "\n  ],\n");
}

static void add_percent(Buffer *out, const char *before, const char *key, double share) {
    buffer_add(out, before);
    add_part_key(out, key, "percent");
    add_number(out, share * 100);
}

static void add_seen_by(Buffer *out, const FactSeen *seen) {
    buffer_add(out, "    {\"shot\": ");
    add_string(out, seen->shot);
    buffer_add(out, ", \"id\": ");
    add_string(out, seen->id);
    add_percent(out, ", ", "ground", seen->ground);
    add_percent(out, ", ", "shoots_off", seen->bare);
    add_percent(out, ", ", "spare", seen->spare);
    add_percent(out, ", ", "shoots_off_spare", seen->bare_spare);
    buffer_add(out, ", \"things\": {");
    for (size_t i = 0; i < seen->things.count; i++) {
        const FactShare *thing = &seen->things.items[i];
        buffer_add(out, i > 0 ? ", " : "");
        add_key(out, thing->thing);
        add_percent(out, "{", "share", thing->share);
        if (isfinite(thing->alone)) add_percent(out, ", ", "alone", thing->alone);
        buffer_add_char(out, '}');
    }
    buffer_add(out, "}}");
}

static void add_seen(Buffer *out, const Facts *facts) {
    if (facts->seen.count == 0) return;
    buffer_add(out, "  \"seen\": [\n");
    for (size_t i = 0; i < facts->seen.count; i++) {
        if (i > 0) buffer_add(out, ",\n");
        add_seen_by(out, &facts->seen.items[i]);
    }
    buffer_add(out, "\n  ],\n");
}

static void add_point(Buffer *out, const FactPoint *point) {
    buffer_add(out, "    {\"shot\": ");
    add_string(out, point->shot);
    buffer_add(out, ", \"thing\": ");
    add_string(out, point->thing);
    buffer_add(out, ", \"point\": ");
    add_string(out, point->point);
    buffer_add(out, ", \"set\": [");
    add_mm(out, point->set.across_mm);
    buffer_add(out, ", ");
    add_mm(out, point->set.back_mm);
    buffer_add(out, ", ");
    add_mm(out, point->set.up_mm);
    buffer_add(out, "], \"drawing\": ");
    if (!point->seen) {
        buffer_add(out, "null}");
        return;
    }
    buffer_add_char(out, '[');
    add_mm(out, point->x_mm);
    buffer_add(out, ", ");
    add_mm(out, point->y_mm);
    buffer_add(out, "]}");
}

static void add_points(Buffer *out, const Facts *facts) {
    buffer_add(out, "  \"points\": [\n");
    for (size_t i = 0; i < facts->points.count; i++) {
        if (i > 0) buffer_add(out, ",\n");
        add_point(out, &facts->points.items[i]);
    }
    buffer_add(out, "\n  ]\n");
}

void facts_to_json(Buffer *out, const Facts *facts) {
    buffer_format(out, "{\n  \"groundrow\": %d,\n  \"scene\": ", REPORT_FORMAT);
    add_string(out, facts->scene);
    buffer_add(out, ",\n  \"title\": ");
    add_string(out, facts->title ? facts->title : "");
    buffer_add(out, ",\n  \"book\": ");
    add_string(out, facts->book ? facts->book : "");
    buffer_format(out, ",\n  \"lengths\": \"%s\",\n",
                  facts->lengths == STYLE_FEET_INCHES ? "feet-inches" : "millimetres");
    add_blocks(out, facts);
    add_cameras(out, facts);
    add_seen(out, facts);
    add_points(out, facts);
    buffer_add(out, "}\n");
}
