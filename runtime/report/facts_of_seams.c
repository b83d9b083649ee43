/* Joints of a layer along one of the layer right under it, where no way was found that keeps them apart
 * (docs/geometry.md, rule 81): there nothing holds the boards of both together. */
#include "base/number.h"
#include "plan/parts.h"
#include "report/facts_of_plan.h"
#include "shop/plan_to_parts.h"

#include <math.h>

enum { LISTED_MOST = 6 };
static const double SAID_MM = 0.5, SAME_LEVEL_MM = 1e-2, ALONG_MM = SEAM_FROM_MARK_MM - 1e-6;

/* How far the nearest one of the layer under it runs beside a seam; INFINITY: none does. */
static double nearest_under(const Parts *parts, const PartSeam *seam) {
    double nearest = INFINITY;
    for (size_t i = 0; i < parts->seams.count; i++) {
        const PartSeam *it = &parts->seams.items[i];
        if (it->level && it->across == seam->across && fabs(it->top_mm - seam->low_mm) < SAME_LEVEL_MM &&
            fmax(it->from_mm, seam->from_mm) < fmin(it->to_mm, seam->to_mm))
            nearest = fmin(nearest, fabs(it->at_mm - seam->at_mm));
    }
    return nearest;
}

static const char *said(const Writer *writer, double mm) {
    return length_both(writer->arena, writer->facts->lengths, mm, 8, 0);
}

static const char *place_of(const Writer *writer, const PartSeam *seam) {
    const double off = seam->at_mm - (seam->across ? writer->datum.front_mm : writer->datum.centre_mm);
    if (!seam->across && fabs(off) < SAID_MM) return "on the centre line";
    return arena_format(writer->arena, "%s %s", said(writer, fabs(off)),
                        seam->across ? "behind the front edge"
                        : off > 0    ? "right of the centre line"
                                     : "left of the centre line");
}

void write_seams_in_line(Writer *writer, FactBlock *block) {
    const Parts *parts = writer->plan->parts;
    Buffer text = buffer_new(writer->arena);
    int count = 0;
    for (size_t i = 0; i < parts->seams.count; i++) {
        const PartSeam *seam = &parts->seams.items[i];
        const double away = seam->level ? nearest_under(parts, seam) : INFINITY;
        if (away >= ALONG_MM || ++count > LISTED_MOST) continue;
        buffer_format(&text, "%s%s, %s, ", count > 1 ? "; " : "",
                      writer->plan->scene->things[seam->thing].name, place_of(writer, seam));
        if (away < SAID_MM)
            buffer_add(&text, "right over it");
        else
            buffer_format(&text, "%s from it", said(writer, away));
    }
    if (count > LISTED_MOST) buffer_format(&text, "; and %d more", count - LISTED_MOST);
    if (count > 0)
        write_text(writer, block, "joints_in_line", "joints along one of the layer under them",
                   buffer_text(&text));
}
