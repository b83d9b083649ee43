#include "plan/resolve.h"

#include "base/text.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static const Span NOWHERE = {0};

/* --- nodes ------------------------------------------------------------------------------------------------
 */

static int node_of(const Resolver *r, NodeKind kind, int index) {
    return r->base_of[kind] + index;
}

static NodeKind kind_of(const Resolver *r, int node, int *index) {
    int kind = NODE_KINDS - 1;
    while (node < r->base_of[kind])
        kind--;
    *index = node - r->base_of[kind];
    return (NodeKind)kind;
}

static void own_slots(Resolver *r) {
    const Scene *scene = r->scene;
    for (size_t s = 0; s < scene->slot_count; s++) {
        r->owner[s] = scene->slots[s].thing;
        r->owner_field[s] = scene->slots[s].field;
    }
    for (size_t t = 0; t < scene->thing_count; t++) {
        for (int f = 0; f < FIELD_COUNT; f++) {
            const int slot = scene->things[t].slot[f];
            if (r->owner[slot] < 0) {
                r->owner[slot] = (int)t;
                r->owner_field[slot] = (Field)f;
            }
        }
    }
}

/* Of the shot `index`, once those before it have theirs. */
static const char *shot_id(Arena *arena, const PlanShot *shots, size_t index) {
    const char *plain = text_for_files(arena, shots[index].name), *id = plain;
    for (int number = 2;; number++) {
        bool taken = false;
        for (size_t i = 0; i < index; i++)
            taken |= text_equal(shots[i].id, id);
        if (!taken) return id;
        id = arena_format(arena, "%s-%d", plain, number);
    }
}

Resolver *resolver_new(const Scene *scene, const FoundFile *found, Diagnostics *diagnostics) {
    Arena *arena = scene->arena;
    Resolver *r = ARENA_NEW(arena, Resolver);
    Plan *plan = ARENA_NEW(arena, Plan);
    const int counts[NODE_KINDS] = {[NODE_SLOT] = (int)scene->slot_count,
                                    [NODE_PICTURE] = (int)scene->shot_count,
                                    [NODE_CAMERA] = (int)scene->shot_count,
                                    [NODE_CAMERAS] = (int)scene->shot_count,
                                    [NODE_FOOT] = (int)scene->thing_count,
                                    [NODE_PLACE] = (int)scene->thing_count,
                                    [NODE_GROUND] = 1,
                                    [NODE_BASE] = 1,
                                    [NODE_MOUNDS] = 1};
    for (int kind = 0, node = 0; kind < NODE_KINDS; kind++) {
        r->base_of[kind] = node;
        node += counts[kind];
        r->node_count = node;
    }
    r->arena = arena;
    r->scene = scene;
    r->plan = plan;
    r->diagnostics = diagnostics;
    r->nodes = ARENA_ARRAY(arena, Node, r->node_count);
    r->owner = ARENA_ARRAY(arena, int, scene->slot_count);
    r->owner_field = ARENA_ARRAY(arena, Field, scene->slot_count);
    r->feet = ARENA_ARRAY(arena, Point3, scene->thing_count);
    own_slots(r);
    plan->scene = scene;
    plan->found = found;
    plan->things = ARENA_ARRAY(arena, PlanThing, scene->thing_count);
    plan->shots = ARENA_ARRAY(arena, PlanShot, scene->shot_count);
    plan->shot_count = scene->shot_count;
    plan->values = ARENA_ARRAY(arena, double, scene->slot_count);
    plan->known = ARENA_ARRAY(arena, bool, scene->slot_count);
    plan->ground = plan->base = -1;
    for (size_t s = 0; s < scene->slot_count; s++)
        plan->values[s] = NAN;
    for (size_t t = 0; t < scene->thing_count; t++) {
        plan->things[t].thing = &scene->things[t];
        plan->things[t].row_count = 1;
        if (scene->things[t].role == ROLE_GROUND) plan->ground = (int)t;
        if (scene->things[t].role == ROLE_BASE) plan->base = (int)t;
    }
    for (size_t s = 0; s < scene->shot_count; s++) {
        plan->shots[s].shot = &scene->shots[s];
        plan->shots[s].name = scene->shots[s].name ? scene->shots[s].name : "";
        plan->shots[s].id = shot_id(arena, plan->shots, s);
        plan->shots[s].lead = scene->shots[s].lead;
    }
    return r;
}

/* --- words in messages ------------------------------------------------------------------------------------
 */

bool slot_stated(const Resolver *r, int slot) {
    return slot >= 0 && r->scene->slots[slot].stated;
}

bool field_stated(const Resolver *r, int thing, Field field) {
    return slot_stated(r, r->scene->things[thing].slot[field]);
}

int shot_of(const Resolver *r, int thing) {
    const int shot = r->scene->things[thing].shot;
    return shot < 0 ? 0 : shot;
}

Span slot_span(const Resolver *r, int slot) {
    const Slot *it = &r->scene->slots[slot];
    return it->stated && !span_is_none(it->formula.span) ? it->formula.span : it->word_span;
}

static const char *role_word(ThingRole role) {
    static const char *const words[ROLE_COUNT] = {
        [ROLE_PUPPET] = "puppet",         [ROLE_PIECE] = "piece",       [ROLE_FLAT] = "flat",
        [ROLE_BACKDROP] = "the backdrop", [ROLE_GROUND] = "the ground", [ROLE_BASE] = "the base",
        [ROLE_MOUND] = "mound",           [ROLE_HOLLOW] = "hollow",     [ROLE_OPENING] = "opening"};
    return words[role];
}

static bool is_only_one(ThingRole role) {
    return role == ROLE_BACKDROP || role == ROLE_GROUND || role == ROLE_BASE;
}

static const char *thing_in_full(const Resolver *r, int thing) {
    const Thing *it = &r->scene->things[thing];
    if (is_only_one(it->role)) return role_word(it->role);
    return arena_format(r->arena, "%s `%s`", role_word(it->role), it->name);
}

const char *thing_phrase(const Resolver *r, int thing) {
    const Thing *it = &r->scene->things[thing];
    if (is_only_one(it->role)) return role_word(it->role);
    return it->role == ROLE_PUPPET ? arena_format(r->arena, "the %s", it->name)
                                   : arena_format(r->arena, "`%s`", it->name);
}

static const char *last_word(const char *path) {
    const char *dot = strrchr(path, '.');
    return dot ? dot + 1 : path;
}

const char *slot_phrase(const Resolver *r, int slot) {
    const Slot *it = &r->scene->slots[slot];
    const char *word = last_word(it->path);
    const char *dot = strchr(it->path, '.');
    const char *section = dot ? arena_copy(r->arena, it->path, (size_t)(dot - it->path)) : "";
    /* what the book builds and casts is called alike in every scene, whoever stands there for it */
    for (size_t i = 0; it->thing < 0 && i < r->scene->cast_count; i++) {
        if (text_equal(section, r->scene->cast[i].name))
            return arena_format(r->arena, "`%s` of puppet `%s`", word, section);
    }
    if (r->owner[slot] >= 0 && !r->scene->things[r->owner[slot]].of_book)
        return arena_format(r->arena, "`%s` of %s", word, thing_in_full(r, r->owner[slot]));
    const char *within = dot ? strchr(dot + 1, '.') : NULL;
    if (within && text_equal(section, "text"))
        return arena_format(r->arena, "`%s` of text area `%s`", word,
                            arena_copy(r->arena, dot + 1, (size_t)(within - dot - 1)));
    static const char *const named[][2] = {{"lamps", "lamp"}, {"circuits", "circuit"}};
    for (size_t i = 0; within && i < sizeof named / sizeof *named; i++) {
        if (text_equal(section, named[i][0]))
            return arena_format(r->arena, "`%s` of %s `%s`", word, named[i][1],
                                arena_copy(r->arena, dot + 1, (size_t)(within - dot - 1)));
    }
    static const char *const by_name[][2] = {{"built ", "built"}, {"photo ", "photograph"}};
    for (size_t i = 0; i < sizeof by_name / sizeof *by_name; i++) {
        if (text_starts(section, by_name[i][0]))
            return arena_format(r->arena, "`%s` of %s `%s`", word, by_name[i][1],
                                section + strlen(by_name[i][0]));
    }
    if (text_equal(section, "floor")) return "where the floor is";
    if (within && text_equal(section, "page"))
        return arena_format(r->arena, "`%s` of the page's picture", word);
    if (text_equal(section, "allow")) return arena_format(r->arena, "`%s` of what is allowed", word);
    if (text_equal(section, "also"))
        return arena_format(r->arena, "the lens on `%s` in `also`",
                            arena_copy(r->arena, dot + 1, (size_t)(strrchr(it->path, '.') - dot - 1)));
    if (text_starts(it->path, "camera.focus."))
        return arena_format(r->arena, "`%s` in `focus` of the camera", word);
    static const char *const only_one[] = {"camera", "mark",  "drawing", "page",
                                           "book",   "table", "room",    "tripod"};
    for (size_t i = 0; i < sizeof only_one / sizeof *only_one; i++) {
        if (text_equal(section, only_one[i])) return arena_format(r->arena, "`%s` of the %s", word, section);
    }
    return *section ? arena_format(r->arena, "`%s` of `%s`", word, section)
                    : arena_format(r->arena, "`%s`", word);
}

const char *said_length(const Resolver *r, double mm) {
    return r->scene->lengths == STYLE_FEET_INCHES
               ? length_feet_inches(r->arena, mm, 16)
               : arena_format(r->arena, "%s mm", number_short(r->arena, mm, 1));
}

const char *written_length(const Resolver *r, double mm) {
    return length_written(r->arena, r->scene->lengths, mm);
}

const char *said_drawn(const Resolver *r, int shot, double mm, int decimals) {
    const double px = r->plan->shots[shot].drawn_px_per_mm;
    if (px > 0)
        return arena_format(r->arena, "%s px",
                            number_fixed(r->arena, mm * px, decimals > 0 ? decimals - 1 : 0));
    return arena_format(r->arena, "%s mm", number_fixed(r->arena, mm, decimals));
}

/* --- circles ----------------------------------------------------------------------------------------------
 */

static const char *node_name(const Resolver *r, int node) {
    int index;
    switch (kind_of(r, node, &index)) {
    case NODE_SLOT:
        return r->scene->slots[index].path;
    case NODE_PICTURE:
        return "the picture";
    case NODE_CAMERA:
        return "the camera";
    case NODE_CAMERAS:
        return "the allowed cameras";
    case NODE_FOOT:
    case NODE_PLACE:
        return arena_format(r->arena, "where %s stands", r->scene->things[index].name);
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

/* A node that the maker has written: one that can be pointed at. */
static bool is_written(const Resolver *r, int node) {
    int index;
    switch (kind_of(r, node, &index)) {
    case NODE_SLOT:
        return slot_stated(r, index);
    case NODE_PLACE:
        return r->scene->things[index].atop >= 0;
    default:
        return false;
    }
}

static Span visit_span(const Resolver *r, const NodeVisit *visit) {
    int index;
    if (!span_is_none(visit->reference)) return visit->reference;
    switch (kind_of(r, visit->node, &index)) {
    case NODE_SLOT:
        return slot_span(r, index);
    case NODE_PLACE:
        return r->scene->things[index].atop_span;
    default:
        return NOWHERE;
    }
}

/* The first written member in the order of the file, as an offset into the circle. */
static int first_of_circle(const Resolver *r, const NodeVisit *circle, int count) {
    int first = -1;
    for (int i = 0; i < count; i++) {
        if (!is_written(r, circle[i].node)) continue;
        if (first < 0 || span_compare(visit_span(r, &circle[i]), visit_span(r, &circle[first])) < 0)
            first = i;
    }
    for (int i = 0; first < 0 && i < count;
         i++) { /* a circle of supports, or of a focus: words, no quantities */
        if (!span_is_none(visit_span(r, &circle[i]))) first = i;
    }
    return first < 0 ? 0 : first;
}

static const char *circle_path(const Resolver *r, const NodeVisit *circle, int count, int first) {
    Buffer path = buffer_new(r->arena);
    const char *before = "";
    for (int i = 0; i <= count; i++) {
        const char *name = node_name(r, circle[(first + i) % count].node);
        if (text_equal(name, before)) /* foot and place of one thing */
            continue;
        buffer_format(&path, "%s%s", i > 0 ? " -> " : "", name);
        before = name;
    }
    return buffer_text(&path);
}

static void report_circle(Resolver *r, int from) {
    const NodeVisit *circle = &r->stack[from];
    const int count = r->depth - from;
    const int first = first_of_circle(r, circle, count);
    int index, camera_at = -1, drawn_by = -1;
    const NodeKind kind = kind_of(r, circle[first].node, &index);
    const char *what = node_name(r, circle[first].node);
    Span span = visit_span(r, &circle[first]);
    if (span_is_none(span)) span = r->scene->span;
    if (kind == NODE_SLOT) {
        const Slot *slot = &r->scene->slots[index];
        const char *word = last_word(slot->path);
        what = r->owner[index] >= 0
                   ? arena_format(r->arena, "`%s` of `%s`", word, r->scene->things[r->owner[index]].name)
                   : slot_phrase(r, index);
    }
    Diagnostic *d = diagnostics_error(r->diagnostics, span, "%s depends on itself: %s", what,
                                      circle_path(r, circle, count, first));
    for (int i = 0; i < count; i++) {
        const NodeVisit *at = &circle[(first + i) % count];
        const NodeVisit *next = &circle[(first + i + 1) % count];
        int next_index;
        const NodeKind next_kind = kind_of(r, next->node, &next_index);
        if (kind_of(r, at->node, &index) == NODE_CAMERA || kind_of(r, at->node, &index) == NODE_CAMERAS)
            camera_at = i;
        if (!is_written(r, at->node)) continue;
        const bool through_camera = next_kind != NODE_SLOT && kind_of(r, at->node, &index) == NODE_SLOT;
        if (through_camera) drawn_by = kind_of(r, at->node, &index) == NODE_SLOT ? index : drawn_by;
        if (i == 0) continue;
        if (through_camera)
            diagnostic_note(r->diagnostics, d, visit_span(r, at), "%s",
                            next_kind == NODE_CAMERAS ? "`cover` needs the allowed cameras"
                                                      : "a drawn length needs the camera");
        else
            diagnostic_note(r->diagnostics, d, visit_span(r, at), "%s needs %s", node_name(r, at->node),
                            node_name(r, next->node));
    }
    if (kind == NODE_PLACE) diagnostic_help(r->diagnostics, d, "one of them has to stand on the ground");
    if (camera_at >= 0 && drawn_by >= 0 && r->owner[drawn_by] >= 0 && kind == NODE_SLOT) {
        const Field field = r->owner_field[drawn_by];
        const char *size = field == FIELD_TALL ? "height" : field == FIELD_WIDE ? "width" : "size";
        int head;
        kind_of(r, circle[first].node, &head);
        diagnostic_help(r->diagnostics, d, "give the %s a real %s, or the camera a %s of its own",
                        r->scene->things[r->owner[drawn_by]].name, size,
                        r->owner[head] < 0 ? last_word(r->scene->slots[head].path) : "height");
    }
}

/* --- working out ------------------------------------------------------------------------------------------
 */

static void remember_input(Resolver *r, int node) {
    if (r->depth == 0) return;
    Node *parent = &r->nodes[r->stack[r->depth - 1].node];
    for (size_t i = 0; i < parent->inputs.count; i++) {
        if (parent->inputs.items[i] == node) return;
    }
    LIST_PUSH(r->arena, parent->inputs, node);
}

void resolve_because(Resolver *r, const char *rule, const char *text) {
    assert(r->depth > 0);
    Node *node = &r->nodes[r->stack[r->depth - 1].node];
    node->rule = rule;
    node->text = text;
}

static bool make_slot(Resolver *r, int slot);

static bool make_node(Resolver *r, NodeKind kind, int index) {
    switch (kind) {
    case NODE_SLOT:
        return make_slot(r, index);
    case NODE_PICTURE:
        return make_picture(r, index);
    case NODE_CAMERA:
        return make_camera(r, index);
    case NODE_CAMERAS:
        return make_cameras(r, index);
    case NODE_FOOT:
        return make_foot(r, index);
    case NODE_PLACE:
        return make_place(r, index);
    case NODE_GROUND:
        return make_ground(r);
    case NODE_BASE:
        return make_base(r);
    case NODE_MOUNDS:
    case NODE_KINDS:
        break;
    }
    return make_mounds(r);
}

static void poison_circle(Resolver *r, int node) {
    int from = r->depth - 1;
    while (r->stack[from].node != node)
        from--;
    for (int i = from; i < r->depth; i++) {
        if (r->nodes[r->stack[i].node].state == NODE_POISON)
            return; /* said already: a second way round the same circle */
    }
    report_circle(r, from);
    for (int i = from; i < r->depth; i++)
        r->nodes[r->stack[i].node].state = NODE_POISON;
}

bool resolve(Resolver *r, NodeKind kind, int index, Span reference) {
    const int number = node_of(r, kind, index);
    Node *node = &r->nodes[number];
    if (r->depth > 0) r->stack[r->depth - 1].reference = reference;
    if (node->state == NODE_ACTIVE) {
        poison_circle(r, number);
        return false;
    }
    if (node->state == NODE_UNSEEN) {
        if (r->depth == CHAIN_MOST) {
            diagnostics_error(r->diagnostics, reference, "more than %d quantities hang on one another",
                              CHAIN_MOST);
            return false;
        }
        node->state = NODE_ACTIVE;
        r->stack[r->depth++] = (NodeVisit){.node = number};
        const bool known = make_node(r, kind, index);
        r->depth--;
        if (node->state == NODE_ACTIVE) node->state = known ? NODE_KNOWN : NODE_POISON;
    }
    if (node->state != NODE_KNOWN) return false;
    remember_input(r, number);
    return true;
}

bool resolve_slot(Resolver *r, int slot, Span reference, double *value) {
    if (slot < 0 || !resolve(r, NODE_SLOT, slot, reference)) return false;
    *value = r->plan->values[slot];
    return true;
}

bool resolve_field(Resolver *r, int thing, Field field, double *value) {
    return resolve_slot(r, r->scene->things[thing].slot[field], NOWHERE, value);
}

bool resolve_all(Resolver *r, const SlotInto *wanted, size_t count) {
    bool known = true;
    for (size_t i = 0; i < count; i++) {
        if (!resolve_slot(r, wanted[i].slot, NOWHERE, wanted[i].value)) known = false;
    }
    return known;
}

/* --- slots ------------------------------------------------------------------------------------------------
 */

typedef struct SlotInputs {
    Resolver *r;
    int slot;
} SlotInputs;

static bool input_slot(void *context, int slot, Span span, double *value) {
    const SlotInputs *inputs = context;
    return resolve_slot(inputs->r, slot, span, value);
}

static bool owner_has_depth(const SlotInputs *inputs, Span span) {
    Resolver *r = inputs->r;
    const int thing = r->owner[inputs->slot];
    const ThingRole role = thing < 0 ? ROLE_GROUND : r->scene->things[thing].role;
    if (thing >= 0 && role != ROLE_GROUND && role != ROLE_BASE) return true;
    diagnostics_error(r->diagnostics, span, "a drawn length where no depth is known, in %s",
                      slot_phrase(r, inputs->slot));
    return false;
}

static bool input_drawn(void *context, double drawn_mm, Span span, double *real_mm) {
    const SlotInputs *inputs = context;
    Resolver *r = inputs->r;
    if (!owner_has_depth(inputs, span)) return false;
    const int thing = r->owner[inputs->slot], shot = shot_of(r, thing);
    if (!r->scene->shots[shot].drawing_stated) {
        Diagnostic *d =
            diagnostics_error(r->diagnostics, span, "a drawn length, but the scene has no `drawing`");
        diagnostic_help(r->diagnostics, d,
                        "add `drawing: {wide: 420 mm}`: the width of the drawing from trim to trim");
        return false;
    }
    if (!resolve(r, NODE_PICTURE, shot, span)) return false;
    const double px = r->plan->shots[shot].drawn_px_per_mm;
    return make_drawn(r, thing, r->owner_field[inputs->slot], px > 0 ? drawn_mm / px : drawn_mm, span,
                      real_mm);
}

static bool input_frame(void *context, double share, Span span, double *real_mm) {
    const SlotInputs *inputs = context;
    Resolver *r = inputs->r;
    if (!owner_has_depth(inputs, span)) return false;
    const int thing = r->owner[inputs->slot], shot = shot_of(r, thing);
    const Field field = r->owner_field[inputs->slot];
    if (!resolve(r, NODE_PICTURE, shot, span)) return false;
    const Picture *picture = &r->plan->shots[shot].picture;
    const double drawn_per_paper = picture->drawing_wide_mm / picture->trim_wide_mm;
    const double side =
        field == FIELD_TALL || field == FIELD_EYES ? picture->frame_tall_mm : picture->frame_wide_mm;
    return make_drawn(r, thing, field, share * side * drawn_per_paper, span, real_mm);
}

static bool input_cover(void *context, Span span, double *real_mm) {
    const SlotInputs *inputs = context;
    Resolver *r = inputs->r;
    const int thing = r->owner[inputs->slot];
    const ThingRole role = thing < 0 ? ROLE_GROUND : r->scene->things[thing].role;
    const Field field = r->owner_field[inputs->slot];
    if ((role != ROLE_FLAT && role != ROLE_BACKDROP) || (field != FIELD_WIDE && field != FIELD_TALL)) {
        Diagnostic *d = diagnostics_error(
            r->diagnostics, span, "`cover` is for `wide` and `tall` of flats and the backdrop, not for %s",
            slot_phrase(r, inputs->slot));
        diagnostic_help(r->diagnostics, d, "give a real length, or `40 %% frame`");
        return false;
    }
    return make_cover(r, thing, field, span, real_mm);
}

/* Sizes in heights of a puppet are worked out, so they are rounded as such: NUMBER, the cast member's height,
 * TIMES. */
static bool in_puppet_heights(const Resolver *r, const Formula *formula) {
    for (size_t i = 1; i + 1 < formula->count; i++) {
        if (formula->steps[i].op != FORMULA_SLOT || formula->steps[i + 1].op != FORMULA_MULTIPLY ||
            formula->steps[i - 1].op != FORMULA_NUMBER)
            continue;
        for (size_t c = 0; c < r->scene->cast_count; c++) {
            if (r->scene->cast[c].tall == formula->steps[i].slot) return true;
        }
    }
    return false;
}

static bool has_cover(const Formula *formula) {
    for (size_t i = 0; i < formula->count; i++) {
        if (formula->steps[i].op == FORMULA_COVER) return true;
    }
    return false;
}

static bool is_size(Field field) {
    return field == FIELD_WIDE || field == FIELD_TALL || field == FIELD_DEEP || field == FIELD_THICK;
}

static double cut_of(Resolver *r) {
    double cut;
    if (!resolve_slot(r, r->scene->cut, NOWHERE, &cut) || !(cut > 0))
        return r->scene->lengths == STYLE_FEET_INCHES ? MM_PER_INCH / 8 : 1;
    return cut;
}

/* Rule 36: what is worked out is rounded when it is resolved, what is stated never. */
static double rounded_size(Resolver *r, int slot, double value) {
    const Slot *it = &r->scene->slots[slot];
    const int thing = r->owner[slot];
    if (thing < 0 || it->kind != KIND_LENGTH || !is_size(r->owner_field[slot]) ||
        r->scene->things[thing].role == ROLE_PUPPET)
        return value;
    if (has_cover(&it->formula)) return number_round_up(value, cut_of(r));
    if (it->formula.at_depth || in_puppet_heights(r, &it->formula))
        return fmax(number_round(value, cut_of(r)), cut_of(r));
    return value;
}

static void note_references(Resolver *r, Diagnostic *d, const Formula *formula) {
    for (size_t i = 0; i < formula->count; i++) {
        if (formula->steps[i].op != FORMULA_SLOT) continue;
        const int slot = formula->steps[i].slot;
        if (r->plan->known[slot] && r->scene->slots[slot].kind == KIND_LENGTH)
            diagnostic_note(r->diagnostics, d, slot_stated(r, slot) ? slot_span(r, slot) : NOWHERE,
                            "%s is %s", slot_phrase(r, slot), said_length(r, r->plan->values[slot]));
    }
}

static bool must_be_more_than_nothing(const Resolver *r, int slot) {
    const Slot *it = &r->scene->slots[slot];
    if (it->kind == KIND_STOP || it->kind == KIND_DENSITY || it->kind == KIND_AREA_WEIGHT ||
        it->kind == KIND_PRINT || it->kind == KIND_POWER || it->kind == KIND_CURRENT ||
        it->kind == KIND_VOLTAGE || it->kind == KIND_COLOUR || it->kind == KIND_MASS ||
        it->kind == KIND_STIFFNESS)
        return true;
    if (it->kind != KIND_LENGTH && it->kind != KIND_NUMBER && it->kind != KIND_PIXELS) return false;
    const int thing = r->owner[slot];
    if (thing >= 0) {
        const Field f = r->owner_field[slot];
        return is_size(f) || f == FIELD_EYES || f == FIELD_DRAWN_TALL || f == FIELD_DRAWN_WIDE ||
               f == FIELD_COUNT_OF || f == FIELD_EVERY || f == FIELD_STEPS;
    }
    static const char *const words[] = {
        "wide",        "tall",        "deep",        "thick",       "lens",       "distance",   "frame",
        "focal",       "long",        "agree",       "nearest",     "cut",        "ceiling",    "eyes",
        "sensor wide", "sensor tall", "pixels wide", "pixels tall", "sheet wide", "sheet tall", "have",
        "reach",       "lowest",      "highest",     "door wide",   "door tall"};
    const char *word = last_word(it->path);
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (text_equal(word, words[i])) return true;
    }
    return false;
}

static bool must_not_be_negative(const Resolver *r, int slot) {
    if (r->owner[slot] >= 0) return r->owner_field[slot] == FIELD_MARGIN || r->owner_field[slot] == FIELD_LIP;
    static const char *const words[] = {"bleed", "safe",  "gutter", "kerf",
                                        "price", "clear", "apart",  "inset"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (text_equal(last_word(r->scene->slots[slot].path), words[i])) return true;
    }
    return false;
}

/* With its unit: as the spec has it where it is nothing but a number, else as the book has lengths. */
static const char *amount_of(const Resolver *r, const Slot *it, double value) {
    const bool feet = r->scene->lengths == STYLE_FEET_INCHES;
    double constant;
    if (it->kind == KIND_LENGTH)
        return feet ? length_feet_inches(r->arena, value, 16) : said_length(r, value);
    const bool one = it->formula.count == 1 || (it->formula.count == 2 && value < 0); /* a number, its sign */
    if (one && formula_constant(&it->formula, &constant)) return it->formula.text;
    if (it->kind == KIND_MASS)
        return arena_format(r->arena, "%s %s", number_short(r->arena, feet ? value / KG_PER_LB : value, 3),
                            feet ? "lb" : "kg");
    static const char *const units[KIND_COUNT] = {
        [KIND_AREA_WEIGHT] = " kg/m2", [KIND_DENSITY] = " kg/m3", [KIND_STIFFNESS] = " N/mm2",
        [KIND_POWER] = " W",           [KIND_CURRENT] = " A",     [KIND_VOLTAGE] = " V",
        [KIND_COLOUR] = " K",          [KIND_PRINT] = " ppi",     [KIND_PIXELS] = " px"};
    return arena_format(r->arena, "%s%s", number_short(r->arena, value, 3),
                        units[it->kind] ? units[it->kind] : "");
}

static bool check_value(Resolver *r, int slot, double value) {
    const Slot *it = &r->scene->slots[slot];
    if (it->kind == KIND_LENGTH && fabs(value) > 1e6) {
        diagnostics_error(r->diagnostics, slot_span(r, slot), "%s comes to more than 1 km",
                          slot_phrase(r, slot));
        return false;
    }
    const bool negative = value < 0 && must_not_be_negative(r, slot);
    if (!negative && (value > 0 || !must_be_more_than_nothing(r, slot)))
        return tool_makes_sense(r, slot, value);
    Diagnostic *d =
        diagnostics_error(r->diagnostics, slot_span(r, slot), "%s comes to %s; %s", slot_phrase(r, slot),
                          amount_of(r, it, value),
                          negative                                             ? "it is nothing or more"
                          : it->kind == KIND_NUMBER                            ? "there is one or more"
                          : it->kind == KIND_LENGTH || it->kind == KIND_PIXELS ? "a size is more than nothing"
                                                                               : "it is more than nothing");
    note_references(r, d, &it->formula);
    return false;
}

static bool evaluate(Resolver *r, int slot, double *value) {
    const Slot *it = &r->scene->slots[slot];
    SlotInputs context = {r, slot};
    const FormulaInputs inputs = {&context, input_slot, input_drawn, input_frame, input_cover};
    size_t step = 0;
    switch (formula_value(&it->formula, &inputs, value, &step)) {
    case FORMULA_OK:
        return true;
    case FORMULA_POISON:
        return false;
    case FORMULA_DIVISION_BY_ZERO:
        diagnostics_error(r->diagnostics, it->formula.steps[step].span, "division by zero, in %s",
                          slot_phrase(r, slot));
        return false;
    case FORMULA_NOT_FINITE:
        break;
    }
    diagnostics_error(r->diagnostics, it->formula.steps[step].span, "a number too large, in %s",
                      slot_phrase(r, slot));
    return false;
}

static bool make_slot(Resolver *r, int slot) {
    const Slot *it = &r->scene->slots[slot];
    double value;
    if (it->faulty) return false;
    if (it->stated) {
        if (!evaluate(r, slot, &value) || !check_value(r, slot, value)) return false;
        value = rounded_size(r, slot, value);
        resolve_because(r, it->formula.at_depth ? (has_cover(&it->formula) ? "rule 27" : "rule 31") : NULL,
                        it->formula.text);
    } else if (!make_default(r, slot, &value)) {
        return false;
    }
    r->plan->values[slot] = value == 0 ? 0 : value;
    r->plan->known[slot] = true;
    return true;
}
