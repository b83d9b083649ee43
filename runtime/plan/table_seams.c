#include "plan/table_seams.h"

#include "base/text.h"
#include "plan/plan_warnings.h"

#include <math.h>

static const double HAIR_MM = 1e-3;
/* Less than this is said to be nothing. */
static const double SAID_MM = MM_PER_INCH / 16;
enum { LISTED_MOST = 4 };

/* --- beds */

typedef LIST(NoBed) NoBedList;

/* Between the end of one top and the beginning of the next. */
static void add_between(Arena *arena, NoBedList *list, double end_mm, double next_mm) {
    const bool joint = next_mm - end_mm < HAIR_MM;
    LIST_PUSH(arena, *list,
              (NoBed){end_mm - SEAM_ON_TABLE_MM, next_mm + SEAM_ON_TABLE_MM,
                      joint ? SEAM_AT_JOINT : SEAM_AT_GAP, end_mm, next_mm});
}

static void add_ends(Arena *arena, NoBedList *list, double first_mm, double last_mm) {
    LIST_PUSH(arena, *list,
              (NoBed){-INFINITY, first_mm + SEAM_ON_TABLE_MM, SEAM_AT_EDGE, -INFINITY, first_mm});
    LIST_PUSH(arena, *list, (NoBed){last_mm - SEAM_ON_TABLE_MM, INFINITY, SEAM_AT_EDGE, last_mm, INFINITY});
}

static double front_of(const Tables *tables, int row) {
    return tables->items[tables->rows[row].first].front_mm;
}

/* Rows are as deep everywhere. */
static void no_beds_across(Arena *arena, const Tables *tables, NoBedList *list) {
    const int last = tables->row_count - 1;
    for (int row = 0; row < last; row++)
        add_between(arena, list, front_of(tables, row) + tables->back_mm, front_of(tables, row + 1));
    add_ends(arena, list, front_of(tables, 0), front_of(tables, last) + tables->back_mm);
}

/* By the tables of every row that the seam runs over. */
static void no_beds_back(Arena *arena, const Tables *tables, double from_mm, double to_mm, NoBedList *list) {
    for (int r = 0; r < tables->row_count; r++) {
        const TableRow *row = &tables->rows[r];
        const PlanTable *tops = &tables->items[row->first];
        const double front = front_of(tables, r), rear = front + tables->back_mm;
        if (fmin(to_mm, rear) - fmax(from_mm, front) < SEAM_ON_TABLE_MM) continue;
        for (int i = 0; i + 1 < row->count; i++)
            add_between(arena, list, tops[i].left_mm + tables->across_mm, tops[i + 1].left_mm);
        add_ends(arena, list, tops[0].left_mm, tops[row->count - 1].left_mm + tables->across_mm);
    }
}

NoBeds tables_no_beds(Arena *arena, const Tables *tables, bool across, double from_mm, double to_mm) {
    NoBedList list = {0};
    if (across)
        no_beds_across(arena, tables, &list);
    else
        no_beds_back(arena, tables, from_mm, to_mm, &list);
    return (NoBeds){list.items, list.count};
}

const NoBed *seam_no_bed(Arena *arena, const Tables *tables, const PartSeam *seam) {
    const NoBeds beds = tables_no_beds(arena, tables, seam->across, seam->from_mm, seam->to_mm);
    for (size_t i = 0; i < beds.count; i++) {
        if (seam->at_mm > beds.items[i].from_mm + SAID_MM && seam->at_mm < beds.items[i].to_mm - SAID_MM)
            return &beds.items[i];
    }
    return NULL;
}

/* --- warnings */

static const char *length(const Plan *plan, double mm) {
    Arena *arena = plan->scene->arena;
    return plan->scene->lengths == STYLE_FEET_INCHES
               ? length_feet_inches(arena, mm, 8)
               : arena_format(arena, "%s mm", number_fixed(arena, mm, 0));
}

/* `3'-0" behind the front edge`, `1 1/2 in left of the centre line`. */
static const char *place_of(const Plan *plan, const PartSeam *seam) {
    const PlanDatum datum = plan_datum(plan);
    const double off = seam->at_mm - (seam->across ? datum.front_mm : datum.centre_mm);
    if (seam->across) return arena_format(plan->scene->arena, "%s behind the front edge", length(plan, off));
    if (fabs(off) < SAID_MM) return "on the centre line";
    return arena_format(plan->scene->arena, "%s %s of the centre line", length(plan, fabs(off)),
                        off > 0 ? "right" : "left");
}

static const char *bed_of(const Plan *plan, const PartSeam *seam, const NoBed *bed) {
    static const char *const whose[] = {[SEAM_AT_EDGE] = "the tables' edge",
                                        [SEAM_AT_JOINT] = "the joint between two tables",
                                        [SEAM_AT_GAP] = "the gap between two tables"};
    static const char *const within[] = {[SEAM_AT_EDGE] = "beyond the tables' edge",
                                         [SEAM_AT_JOINT] = "on the joint between two tables",
                                         [SEAM_AT_GAP] = "over the gap between two tables"};
    const double away = fmax(bed->gap_from_mm - seam->at_mm, seam->at_mm - bed->gap_to_mm);
    if (away < SAID_MM) return within[bed->bed];
    return arena_format(plan->scene->arena, "%s from %s", length(plan, away), whose[bed->bed]);
}

/* In parts that lie in a row, one line may be several seams. */
static bool is_listed(const char *const *places, size_t count, const char *place) {
    for (size_t i = 0; i < count; i++)
        if (text_equal(places[i], place)) return true;
    return false;
}

typedef struct OffTables {
    size_t seams, lines;
    const char **places; /* of each line */
    bool joints;         /* alone */
} OffTables;

static OffTables find_off_tables(const Plan *plan, const Tables *tables) {
    Arena *arena = plan->scene->arena;
    const size_t count = plan->parts->seams.count;
    OffTables off = {.places = ARENA_ARRAY(arena, const char *, count), .joints = true};
    for (size_t i = 0; i < count; i++) {
        const PartSeam *seam = &plan->parts->seams.items[i];
        const NoBed *bed = seam->on_tables ? seam_no_bed(arena, tables, seam) : NULL;
        if (!bed) continue;
        const char *place = arena_format(arena, "%s, %s", place_of(plan, seam), bed_of(plan, seam, bed));
        if (!is_listed(off.places, off.lines, place)) off.places[off.lines++] = place;
        off.joints &= bed->bed == SEAM_AT_JOINT;
        off.seams++;
    }
    return off;
}

static const char *list_of(Arena *arena, const OffTables *off) {
    Buffer list = buffer_new(arena);
    for (size_t i = 0; i < off->lines && i < LISTED_MOST; i++)
        buffer_format(&list, "%s%s", i > 0 ? "; " : "", off->places[i]);
    if (off->lines > LISTED_MOST) buffer_format(&list, "; and %zu more", off->lines - LISTED_MOST);
    return buffer_text(&list);
}

void seams_to_warnings(Plan *plan, Diagnostics *diagnostics) {
    Arena *arena = plan->scene->arena;
    Tables tables;
    if (!plan->parts || !plan_tables(arena, plan, &tables)) return;
    const OffTables off = find_off_tables(plan, &tables);
    if (off.seams == 0) return;
    const Thing *of = plan->things[plan->base >= 0 ? plan->base : plan->ground].thing;
    plan_add_warning(plan, diagnostics, "seam-unsupported", of->name,
                     span_is_none(of->span) ? plan->scene->span : of->span,
                     off.joints
                         ? "screw a batten under it from part to part, or level the tables at the joint"
                         : "screw a batten under it from part to part, or stand something under it",
                     off.seams == 1 ? arena_format(arena, "a seam of the %s lies on no table's top: %s",
                                                   of->name, list_of(arena, &off))
                                    : arena_format(arena, "%zu seams of the %s lie on no table's top: %s",
                                                   off.seams, of->name, list_of(arena, &off)));
}
