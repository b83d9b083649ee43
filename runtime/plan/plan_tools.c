/* What no saw, camera, table or tripod is: slips in what the book says of its tools, told at their place
 * before anything else is blamed for them. Limits are common practice, no source, unless it says so. */
#include "base/text.h"
#include "plan/resolve.h"
#include "plan/tables.h"

#include <math.h>
#include <string.h>

static const Span NOWHERE = {0};

/* Sheet film goes up to 8 x 10 in (203 x 254 mm; ISO 1012, from memory); chips in pocket cameras are a few mm
 * wide. */
static const double SENSOR_MOST_MM = 300, SENSOR_LEAST_MM = 1;
/* The widest circular saws take 1/4 in. */
static const double KERF_MOST_MM = MM_PER_INCH;
/* What is narrower carries no set. */
static const double TABLE_LEAST_MM = 4 * MM_PER_INCH;
/* Weights and densities are printed rounded. */
static const double WEIGHTS_APART = 0.1;

static bool ends_in(const char *path, const char *word) {
    const size_t length = strlen(path), tail = strlen(word);
    return length > tail && path[length - tail - 1] == '.' && text_equal(path + length - tail, word);
}

static void no_sensor(Resolver *r, int slot, double mm) {
    Diagnostic *d = diagnostics_error(r->diagnostics, slot_span(r, slot), "a sensor that is %s mm %s is none",
                                      number_short(r->arena, mm, 1),
                                      ends_in(r->scene->slots[slot].path, "sensor wide") ? "wide" : "tall");
    diagnostic_note(r->diagnostics, d, NOWHERE, "the largest sheet film is 203 x 254 mm");
    diagnostic_help(r->diagnostics, d, "the camera's data say it in mm: `sensor: 36 x 24 mm`");
}

static void no_kerf(Resolver *r, int slot, double mm) {
    Diagnostic *d =
        diagnostics_error(r->diagnostics, slot_span(r, slot), "%s comes to %s: no saw takes so much",
                          slot_phrase(r, slot), said_length(r, mm));
    diagnostic_help(r->diagnostics, d, "`kerf` is how wide a cut is: 1/8 in, or 3 mm, of most saws");
}

static void no_table(Resolver *r, int slot, double mm) {
    Diagnostic *d = diagnostics_error(r->diagnostics, slot_span(r, slot), "%s comes to %s: that is no table",
                                      slot_phrase(r, slot), said_length(r, mm));
    diagnostic_help(r->diagnostics, d,
                    "`wide` and `deep` are those of one table's top: `{wide: 72 in, deep: 30 in}`");
}

bool tool_makes_sense(Resolver *r, int slot, double value) {
    const Slot *it = &r->scene->slots[slot];
    if (it->kind != KIND_LENGTH || r->owner[slot] >= 0) return true;
    const bool sensor = ends_in(it->path, "sensor wide") || ends_in(it->path, "sensor tall");
    const bool table = slot == r->scene->table_wide || slot == r->scene->table_deep;
    if (sensor && (value > SENSOR_MOST_MM || value < SENSOR_LEAST_MM))
        no_sensor(r, slot, value);
    else if (ends_in(it->path, "kerf") && value > KERF_MOST_MM)
        no_kerf(r, slot, value);
    else if (table && value < TABLE_LEAST_MM)
        no_table(r, slot, value);
    else
        return true;
    return false;
}

/* --- what does not go together ------------------------------------------------------------------------- */

static bool stated(const Resolver *r, int slot, double *value) {
    if (!slot_stated(r, slot) || !r->plan->known[slot]) return false;
    *value = r->plan->values[slot];
    return true;
}

static void check_tripod(Resolver *r) {
    const int lowest = r->scene->tripod_lowest, highest = r->scene->tripod_highest;
    double low, high;
    if (!stated(r, lowest, &low) || !stated(r, highest, &high) || low <= high) return;
    Diagnostic *d = diagnostics_error(r->diagnostics, slot_span(r, highest),
                                      "the tripod is at its highest %s up, and at its lowest %s",
                                      said_length(r, high), said_length(r, low));
    diagnostic_note(r->diagnostics, d, slot_span(r, lowest), "the lowest");
    diagnostic_help(r->diagnostics, d, "exchange them; both are of the lens above the floor");
}

/* Legs stand at the corners (rule 104). */
static void check_legs(Resolver *r) {
    const Scene *scene = r->scene;
    double wide, deep, inset = LEG_INSET_MM, thick = LEG_THICK_MM;
    const bool says_inset = stated(r, scene->legs_inset, &inset),
               says_thick = stated(r, scene->legs_thick, &thick);
    if (!stated(r, scene->table_wide, &wide) || !stated(r, scene->table_deep, &deep) ||
        (!says_inset && !says_thick) || 2 * (inset + thick) <= fmin(wide, deep))
        return;
    Diagnostic *d = diagnostics_error(
        r->diagnostics, slot_span(r, says_inset ? scene->legs_inset : scene->legs_thick),
        "legs %s thick, %s in from the edges, do not go under a top that is %s %s", said_length(r, thick),
        said_length(r, inset), said_length(r, fmin(wide, deep)), deep < wide ? "deep" : "wide");
    diagnostic_help(r->diagnostics, d, "`inset` counts from an edge of the top to the leg's outer side");
}

static const char *area_weight(const Resolver *r, double kg, bool unit) {
    const bool feet = r->scene->lengths == STYLE_FEET_INCHES;
    const double ft2_per_m2 = 1e6 / (144 * MM_PER_INCH * MM_PER_INCH);
    return arena_format(r->arena, "%s%s", number_short(r->arena, feet ? kg / KG_PER_LB / ft2_per_m2 : kg, 2),
                        !unit  ? ""
                        : feet ? " lb/ft2"
                               : " kg/m2");
}

/* Rule 84 takes the weight of an area where both are stated. */
static void check_stock_weight(Resolver *r, const Stock *stock) {
    double area_kg, density, thick_mm;
    if (!stated(r, stock->area_weight, &area_kg) || !stated(r, stock->density, &density) ||
        !stated(r, stock->thick, &thick_mm))
        return;
    const double by_density_kg = density * thick_mm / 1000;
    if (fabs(area_kg - by_density_kg) <= WEIGHTS_APART * fmax(area_kg, by_density_kg)) return;
    Span later = slot_span(r, stock->density), first = slot_span(r, stock->area_weight);
    if (span_compare(later, first) < 0) {
        const Span swapped = later;
        later = first;
        first = swapped;
    }
    Diagnostic *d = diagnostics_error(
        r->diagnostics, later, "`weighs` of stock `%s` is %s, but by its density, so thick, it is %s",
        stock->name, area_weight(r, area_kg, true), area_weight(r, by_density_kg, false));
    diagnostic_note(r->diagnostics, d, first, "the other");
    diagnostic_help(r->diagnostics, d, "leave one of the two out");
}

void check_tools(Resolver *r) {
    check_tripod(r);
    check_legs(r);
    for (size_t i = 0; i < r->scene->stock_count; i++)
        check_stock_weight(r, &r->scene->stocks[i]);
}
