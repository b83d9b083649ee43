/* What is stated of a shot's camera, and what is allowed to change. */
#include "base/text.h"
#include "bind.h"
#include "phrase.h"

#include <string.h>

static const QuantitySlot focal_length = {
    .kind = KIND_LENGTH, .place = PLACE_NO_DEPTH, .of_camera = true, .example = "85 mm"};

/* --- the camera ---------------------------------------------------------------------------------------- */

/* A name, and no quantity: what is no name cannot be misspelt. */
static bool looks_like_a_name(Binder *b, const Tree *value) {
    size_t column, length;
    const char *message, *help;
    return name_allowed(b->arena, value->text, &column, &length, &message, &help);
}

static void no_such_lens(Binder *b, const Tree *value) {
    if (bind_is_poison(b, b->current_shot, value->text)) return;
    const char **names = ARENA_ARRAY(b->arena, const char *, b->lenses.count);
    for (size_t i = 0; i < b->lenses.count; i++)
        names[i] = b->lenses.items[i].name;
    Diagnostics *list = bind_list(b, value->span);
    Diagnostic *d = diagnostics_error_once(list, arena_format(b->arena, "lens %s", value->text), value->span,
                                           "the book has no lens `%s`", phrase_short(b->arena, value->text));
    const char *near = text_nearest(value->text, names, b->lenses.count);
    if (near)
        diagnostic_help(list, d, "did you mean `%s`?", near);
    else
        diagnostic_help(list, d, "write a focal length, such as `85 mm`");
}

/* A focal length or a lens of the book, which no reference reads; `kind` is its index, or -1. It stands at
 * `word` from where we are. */
static int bind_hidden_focal(Binder *b, const Tree *value, Span word_span, const char *path, const char *word,
                             int *kind) {
    *kind = value->kind == TREE_TEXT ? bind_lens_index(b, value->text) : -1;
    if (*kind >= 0) return b->lenses.items[*kind].focal;
    const int slot = bind_hidden_slot(b, path, KIND_LENGTH, false);
    bind_state(b, slot, value, word_span);
    if (value->kind == TREE_TEXT && looks_like_a_name(b, value))
        no_such_lens(b, value);
    else
        bind_later(b, value, word, focal_length, &slot, 1);
    return slot;
}

int bind_focal(Binder *b, const Tree *value, Span word_span, const char *path, int *kind) {
    const int slot = bind_hidden_focal(b, value, word_span, path, "lens", kind);
    bind_key(b, b->current_shot, path, slot);
    return slot;
}

static void bind_lens_word(Binder *b, const Tree *camera, Shot *shot) {
    const TreeEntry *entry = tree_entry(camera, "lens");
    shot->lens_kind = -1;
    shot->lens = entry ? bind_focal(b, entry->value, entry->word_span, "camera.lens", &shot->lens_kind)
                       : bind_slot(b, b->current_shot, "camera.lens", KIND_LENGTH, false);
}

static void bind_crop_up(Binder *b, const Tree *crop, Shot *shot) {
    static const QuantitySlot wants = {
        .kind = KIND_LENGTH, .place = PLACE_NO_DEPTH, .of_camera = true, .example = "3 mm"};
    const TreeEntry *up = tree_entry(crop, "up");
    shot->crop_up = bind_slot(b, b->current_shot, "crop.up", KIND_LENGTH, false);
    if (!up) return;
    shot->crop_up_span = up->value->span;
    shot->crop_up_free = up->value->kind == TREE_TEXT && text_equal(up->value->text, "free");
    if (shot->crop_up_free) return;
    bind_state(b, shot->crop_up, up->value, up->word_span);
    bind_later(b, up->value, "up", wants, &shot->crop_up, 1);
}

static void bind_crop(Binder *b, const Tree *camera, Shot *shot) {
    const Tree *crop = bind_table(camera, "crop");
    bind_enter(b, "crop");
    shot->crop_uses = bind_word(b, SECTION_CROP, crop, "uses", "crop");
    shot->crop_across = bind_word(b, SECTION_CROP, crop, "across", "crop");
    bind_crop_up(b, crop, shot);
    bind_leave(b);
}

/* `focus: {back: 3 in}`; a thing's name is looked up when all things are there. */
static void bind_focus_place(Binder *b, const Tree *camera, Shot *shot) {
    const TreeEntry *entry = tree_entry(camera, "focus");
    const Tree *place = bind_table(camera, "focus");
    shot->focus = -1;
    if (entry) shot->focus_span = place ? entry->word_span : entry->value->span;
    bind_enter(b, "focus");
    shot->focus_back = bind_word(b, SECTION_FOCUS, place, "back", "camera.focus");
    if (place && place->count == 0) {
        static const char *const missing[] = {"back"};
        bind_missing(b, entry->word_span, missing, 1, "write `focus: {back: 3 in}`, or a thing's name");
    }
    bind_leave(b);
}

void bind_camera(Binder *b, const Tree *words, Shot *shot) {
    const TreeEntry *entry = tree_entry(words, "camera");
    const Tree *camera = bind_table(words, "camera");
    const bool here = entry && entry->word_span.file != 0; /* what `every scene` has is no place of a scene */
    shot->camera_span = here ? entry->word_span : shot->mark_span;
    bind_enter(b, "camera");
    shot->body = bind_body_name(b, camera, &shot->body_span);
    bind_lens_word(b, camera, shot);
    shot->distance = bind_word(b, SECTION_CAMERA, camera, "distance", "camera");
    shot->height = bind_word(b, SECTION_CAMERA, camera, "height", "camera");
    shot->tilt = bind_word(b, SECTION_CAMERA, camera, "tilt", "camera");
    shot->across = bind_word(b, SECTION_CAMERA, camera, "across", "camera");
    shot->horizon = bind_word(b, SECTION_CAMERA, camera, "horizon", "camera");
    shot->frame = bind_word(b, SECTION_CAMERA, camera, "frame", "camera");
    shot->stop = bind_word(b, SECTION_CAMERA, camera, "stop", "camera");
    shot->upright = bind_choice(b, camera, "held", CHOICE_HELD, 0) == 1;
    bind_focus_place(b, camera, shot);
    bind_crop(b, camera, shot);
    bind_leave(b);
}

/* --- what is allowed ----------------------------------------------------------------------------------- */

static void bind_allowed_list(Binder *b, const TreeEntry *entry, Shot *shot) {
    for (size_t i = 0; i < entry->value->count; i++) {
        const Tree *value = entry->value->items[i];
        const size_t n = shot->allow_lens_count;
        if (value->kind == TREE_LIST || value->kind == TREE_TABLE) {
            diagnostics_error(bind_list(b, value->span), span_part(value->span, 0, 1),
                              "each of the allowed lenses is a focal length or a lens of the book");
            continue;
        }
        if (n == ALLOWED_MOST) {
            diagnostics_error(bind_list(b, value->span), value->span, "more than %d allowed lenses",
                              ALLOWED_MOST);
            return;
        }
        const char *path = n == 0 ? "allow.lens" : arena_format(b->arena, "allow.lens %d", (int)n + 1);
        shot->allow_lens[n] = bind_focal(b, value, entry->word_span, path, &shot->allow_lens_kind[n]);
        shot->allow_lens_count++;
    }
}

static void bind_allowed_range(Binder *b, const TreeEntry *entry, Shot *shot) {
    QuantitySlot wants = focal_length;
    wants.form = FORM_RANGE;
    shot->lens_range = true;
    shot->allow_lens_count = 2;
    for (int i = 0; i < 2; i++) {
        shot->allow_lens[i] =
            bind_slot(b, b->current_shot, i == 0 ? "allow.lens" : "allow.longest lens", KIND_LENGTH, false);
        shot->allow_lens_kind[i] = -1;
        bind_state(b, shot->allow_lens[i], entry->value, entry->word_span);
    }
    bind_later(b, entry->value, "lens", wants, shot->allow_lens, 2);
}

static void bind_allowed_lenses(Binder *b, const Tree *allow, Shot *shot) {
    const TreeEntry *entry = tree_entry(allow, "lens");
    if (!entry || entry->value->kind == TREE_TABLE) return; /* said by check_words */
    const bool text = entry->value->kind == TREE_TEXT;
    shot->allow_lens_span = entry->value->span;
    if (entry->value->kind == TREE_LIST) {
        bind_allowed_list(b, entry, shot);
    } else if (text && (bind_lens_index(b, entry->value->text) >= 0 || looks_like_a_name(b, entry->value))) {
        shot->allow_lens[0] =
            bind_focal(b, entry->value, entry->word_span, "allow.lens", &shot->allow_lens_kind[0]);
        shot->allow_lens_count = 1;
    } else {
        bind_allowed_range(b, entry, shot);
    }
}

void bind_allow(Binder *b, const Tree *words, Shot *shot) {
    const Tree *allow = bind_table(words, "allow");
    const TreeEntry *height = tree_entry(allow, "height");
    int slots[2];
    bind_enter(b, "allow");
    bind_allowed_lenses(b, allow, shot);
    for (int i = 0; i < 2; i++) {
        slots[i] = bind_slot(b, b->current_shot, i == 0 ? "allow.height" : "allow.greatest height",
                             KIND_LENGTH, false);
        if (height) bind_state(b, slots[i], height->value, height->word_span);
    }
    if (height) {
        shot->allow_height_span = height->value->span;
        bind_later(b, height->value, "height", vocabulary_find(SECTION_ALLOW, "height")->slot, slots, 2);
    }
    shot->allow_height_low = slots[0];
    shot->allow_height_high = slots[1];
    shot->spare = bind_word(b, SECTION_ALLOW, allow, "spare", "allow");
    bind_leave(b);
}

/* --- other bodies in the camera's place ---------------------------------------------------------------- */

static bool also_again(Binder *b, const Shot *shot, const Also *also, const Tree *value) {
    for (size_t i = 0; i < shot->also_count; i++) {
        const Also *other = &shot->also[i];
        const bool same = also->lens_kind >= 0
                              ? other->lens_kind == also->lens_kind
                              : other->lens_kind < 0 && value->kind == TREE_TEXT &&
                                    text_equal(b->slots.items[other->lens].formula.text, value->text);
        if (also->body < 0 || other->body != also->body || !same) continue;
        Diagnostics *list = bind_list(b, value->span);
        Diagnostic *d = diagnostics_error(list, value->span, "the same lens twice for `%s`, in `also`",
                                          b->bodies.items[also->body].name);
        diagnostic_note(list, d, other->lens_span, "the first time");
        return true;
    }
    return false;
}

static void bind_also_lens(Binder *b, const TreeEntry *entry, const Tree *value, int body, Shot *shot) {
    if (value->kind == TREE_FAULTY) return;
    if (value->kind != TREE_TEXT) {
        diagnostics_error(bind_list(b, value->span), span_part(value->span, 0, 1),
                          "each lens of %s is a focal length or a lens of the book", bind_where(b, NULL));
        return;
    }
    if (shot->also_count == ALSO_MOST) {
        diagnostics_error(bind_list(b, value->span), value->span, "more than %d lenses in `also`", ALSO_MOST);
        return;
    }
    Also also = {.body = body, .span = entry->word_span, .lens_span = value->span};
    const char *path = arena_format(b->arena, "also.%s.lens", entry->word);
    also.lens = bind_hidden_focal(b, value, entry->word_span, path, NULL, &also.lens_kind);
    if (!also_again(b, shot, &also, value)) shot->also[shot->also_count++] = also;
}

void bind_also(Binder *b, const Tree *words, Shot *shot) {
    const Tree *bodies = bind_table(words, "also");
    if (!bodies) return;
    shot->also = ARENA_ARRAY(b->arena, Also, ALSO_MOST);
    bind_enter(b, "also");
    for (size_t i = 0; i < bodies->count; i++) {
        const TreeEntry *entry = &bodies->entries[i];
        const Tree name = {.kind = TREE_TEXT, .span = entry->word_span, .text = entry->word};
        const int body = bind_body_named(b, &name);
        bind_enter(b, entry->word);
        if (entry->value->kind == TREE_TEXT) bind_also_lens(b, entry, entry->value, body, shot);
        for (size_t l = 0; entry->value->kind == TREE_LIST && l < entry->value->count; l++)
            bind_also_lens(b, entry, entry->value->items[l], body, shot);
        bind_leave(b);
    }
    bind_leave(b);
}
