/* A shot: pages, drawing, mark, camera, what is allowed. */
#include "base/text.h"
#include "bind.h"

#include <stdlib.h>
#include <string.h>

static const Tree *section_of(const Tree *words, const char *word) {
    const Tree *table = tree_find(words, word);
    return table && table->kind == TREE_TABLE ? table : NULL;
}

static Span span_of(const Tree *words, const char *word, Span fallback) {
    const TreeEntry *entry = tree_entry(words, word);
    return entry ? entry->word_span : fallback;
}

/* --- pages
 * ---------------------------------------------------------------------------------------------------- */

static bool page_number(const char **text, int *number) {
    *number = 0;
    const char *start = *text;
    while (**text >= '0' && **text <= '9' && *text - start < 5)
        *number = *number * 10 + (*(*text)++ - '0');
    return *text > start;
}

static void bind_pages(Binder *b, const Tree *words, Shot *shot) {
    const Tree *value = bind_text(words, "pages");
    if (!value) return;
    shot->pages_span = value->span;
    const char *text = value->text;
    int first, last;
    bool sound = page_number(&text, &first);
    last = first;
    if (sound && *text == '-') {
        text++;
        sound = page_number(&text, &last);
    }
    if (!sound || *text) {
        Diagnostic *d =
            diagnostics_error(b->diagnostics, value->span, "`pages` is one page (`8`) or two (`8-9`)");
        (void)d;
        return;
    }
    if (first < 1 || (last != first && last != first + 1)) {
        diagnostics_error(b->diagnostics, value->span,
                          "`pages` is one page or two that follow one another, such as `8-9`");
        return;
    }
    if (last != first && first % 2 != 0) {
        Diagnostic *d =
            diagnostics_error(b->diagnostics, value->span, "a spread begins with an even page, on the left");
        diagnostic_help(b->diagnostics, d, "write `pages: %d-%d` or `pages: %d-%d`", first - 1, first,
                        first + 1, first + 2);
        return;
    }
    shot->first_page = first;
    shot->last_page = last;
}

static void bind_page(Binder *b, const Tree *words, Shot *shot) {
    const Tree *page =
        tree_merge(b->arena, b->book ? section_of(b->book, "page") : NULL, section_of(words, "page"));
    bind_enter(b, "page");
    shot->page_wide = bind_word(b, SECTION_PAGE, page, "wide", "page");
    shot->page_tall = bind_word(b, SECTION_PAGE, page, "tall", "page");
    shot->bleed = bind_word(b, SECTION_PAGE, page, "bleed", "page");
    shot->safe = bind_word(b, SECTION_PAGE, page, "safe", "page");
    shot->gutter = bind_word(b, SECTION_PAGE, page, "gutter", "page");
    shot->print = bind_word(b, SECTION_PAGE, page, "print", "page");
    bind_leave(b);
}

/* --- drawing
 * -------------------------------------------------------------------------------------------------- */

static bool is_in_px(const char *text) {
    const size_t count = strlen(text);
    return count > 2 && text_ends(text, "px") && !((text[count - 3] >= 'a' && text[count - 3] <= 'z'));
}

static bool check_file_path(Binder *b, const Tree *value) {
    const char *text = value->text;
    if (strchr(text, '\\')) {
        diagnostics_error(b->diagnostics, value->span, "paths are written with `/`, not with a backslash");
        return false;
    }
    const bool climbs =
        text_equal(text, "..") || text_starts(text, "../") || strstr(text, "/../") || text_ends(text, "/..");
    if (text[0] != '/' && !climbs) return true;
    Diagnostic *d =
        diagnostics_error(b->diagnostics, value->span, "`%s` lies outside the book's folder", text);
    diagnostic_help(b->diagnostics, d, "copy it into the book's folder");
    return false;
}

static void bind_drawing(Binder *b, const Tree *words, Shot *shot, const char *file) {
    const Tree *drawing = section_of(words, "drawing");
    const Tree *wide = drawing ? bind_text(drawing, "wide") : NULL;
    shot->drawing_stated = drawing != NULL;
    if (drawing) shot->drawing_span = span_of(words, "drawing", shot->span);
    b->drawing_in_pixels = shot->drawing_in_px = wide && is_in_px(wide->text);
    bind_enter(b, "drawing");
    shot->drawing_wide = bind_word(b, SECTION_DRAWING, drawing, "wide", "drawing");
    bind_leave(b);
    const Tree *image = drawing ? bind_text(drawing, "image") : NULL;
    shot->image = -1;
    if (image && check_file_path(b, image))
        shot->image = bind_wanted(b, image, false, NULL);
    else if (!image && drawing)
        shot->image = bind_wanted(b, NULL, true, arena_format(b->arena, "drawings/%s.png", file));
}

/* --- mark
 * ----------------------------------------------------------------------------------------------------- */

static void bind_mark(Binder *b, const Tree *words, Shot *shot, int index, bool first) {
    const Tree *mark = section_of(words, "mark");
    shot->mark_span = span_of(words, "mark", shot->span);
    shot->lead = -1;
    bind_enter(b, "mark");
    const Tree *at = mark ? section_of(mark, "at") : NULL;
    if (at && first) {
        Diagnostic *d = diagnostics_error(b->diagnostics, span_of(mark, "at", shot->span),
                                          "the mark has no `at`: it is where everything is measured from");
        diagnostic_help(b->diagnostics, d, "only the marks of later shots have one");
        at = NULL;
    }
    shot->mark_across = bind_word(b, SECTION_AT, at, "across", "mark");
    shot->mark_back = bind_word(b, SECTION_AT, at, "back", "mark");
    if (mark && bind_text(mark, "puppet")) {
        shot->lead = bind_lead_puppet(b, mark, index);
        if (shot->lead >= 0) bind_mark_words(b, shot->lead, mark);
    }
    bind_leave(b);
}

/* --- camera
 * --------------------------------------------------------------------------------------------------- */

static int lens_named(const Binder *b, const char *name) {
    for (size_t i = 0; i < b->lenses.count; i++) {
        if (text_equal(b->lenses.items[i].name, name)) return (int)i;
    }
    return -1;
}

static bool looks_like_a_name(const char *text) {
    if ((unsigned char)text[0] < 0x80 &&
        !((text[0] >= 'a' && text[0] <= 'z') || (text[0] >= 'A' && text[0] <= 'Z')))
        return false;
    return !strpbrk(text, ".;()+*/");
}

/* A focal length or a lens of the book; `kind` is its index, or -1. */
static int bind_focal(Binder *b, const Tree *value, Span word_span, const char *path, int *kind) {
    static const QuantitySlot wants = {
        .kind = KIND_LENGTH, .place = PLACE_NO_DEPTH, .of_camera = true, .example = "85 mm"};
    *kind = lens_named(b, value->text);
    if (*kind >= 0) return b->lenses.items[*kind].focal;
    const int slot = bind_slot(b, b->current_shot, path, KIND_LENGTH, false);
    bind_state(b, slot, value, word_span);
    if (looks_like_a_name(value->text) && b->lenses.count > 0 && !strchr(value->text, ' ')) {
        const char **names = ARENA_ARRAY(b->arena, const char *, b->lenses.count);
        for (size_t i = 0; i < b->lenses.count; i++)
            names[i] = b->lenses.items[i].name;
        Diagnostic *d =
            diagnostics_error(b->diagnostics, value->span, "the book has no lens `%s`", value->text);
        const char *near = text_nearest(value->text, names, b->lenses.count);
        if (near) diagnostic_help(b->diagnostics, d, "did you mean `%s`?", near);
        return slot;
    }
    bind_later(b, value, wants, &slot, 1);
    return slot;
}

static void bind_lens_word(Binder *b, const Tree *camera, Shot *shot) {
    const TreeEntry *entry = camera ? tree_entry(camera, "lens") : NULL;
    shot->lens_kind = -1;
    if (!entry || entry->value->kind != TREE_TEXT) {
        shot->lens = bind_slot(b, b->current_shot, "camera.lens", KIND_LENGTH, false);
        return;
    }
    bind_enter(b, "lens");
    shot->lens = bind_focal(b, entry->value, entry->word_span, "camera.lens", &shot->lens_kind);
    bind_leave(b);
    bind_key(b, b->current_shot, "camera.lens", shot->lens);
}

static void bind_crop(Binder *b, const Tree *camera, Shot *shot) {
    const Tree *crop = camera ? section_of(camera, "crop") : NULL;
    const TreeEntry *up = crop ? tree_entry(crop, "up") : NULL;
    bind_enter(b, "crop");
    shot->crop_uses = bind_word(b, SECTION_CROP, crop, "uses", "crop");
    shot->crop_across = bind_word(b, SECTION_CROP, crop, "across", "crop");
    shot->crop_up = bind_slot(b, b->current_shot, "crop.up", KIND_LENGTH, false);
    if (up && up->value->kind == TREE_TEXT) {
        shot->crop_up_span = up->value->span;
        shot->crop_up_free = text_equal(up->value->text, "free");
        if (!shot->crop_up_free) {
            bind_state(b, shot->crop_up, up->value, up->word_span);
            bind_enter(b, "up");
            bind_later(
                b, up->value,
                (QuantitySlot){
                    .kind = KIND_LENGTH, .place = PLACE_NO_DEPTH, .of_camera = true, .example = "3 mm"},
                &shot->crop_up, 1);
            bind_leave(b);
        }
    }
    bind_leave(b);
}

static void bind_camera(Binder *b, const Tree *words, Shot *shot) {
    const Tree *camera = section_of(words, "camera");
    shot->camera_span = span_of(words, "camera", shot->mark_span);
    if (shot->camera_span.file == 0)
        shot->camera_span = shot->mark_span; /* what `every scene` has is no place */
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
    shot->focus = -1;
    bind_crop(b, camera, shot);
    bind_leave(b);
}

/* --- allowed
 * -------------------------------------------------------------------------------------------------- */

static void bind_allowed_list(Binder *b, const Tree *list, Span word_span, Shot *shot) {
    for (size_t i = 0; i < list->count; i++) {
        const Tree *value = list->items[i];
        if (value->kind != TREE_TEXT) {
            diagnostics_error(b->diagnostics, span_part(value->span, 0, 1),
                              "each of the allowed lenses is a focal length or a name");
            continue;
        }
        if (shot->allow_lens_count == ALLOWED_MOST) {
            diagnostics_error(b->diagnostics, value->span, "more than %d allowed lenses", ALLOWED_MOST);
            return;
        }
        const char *path = arena_format(b->arena, "allow.lens %d", (int)shot->allow_lens_count + 1);
        const int slot =
            bind_focal(b, value, word_span, path, &shot->allow_lens_kind[shot->allow_lens_count]);
        shot->allow_lens[shot->allow_lens_count++] = slot;
    }
}

static void bind_allowed_lenses(Binder *b, const Tree *allow, Shot *shot) {
    static const QuantitySlot wants = {.form = FORM_RANGE,
                                       .kind = KIND_LENGTH,
                                       .place = PLACE_NO_DEPTH,
                                       .of_camera = true,
                                       .example = "85 mm"};
    const TreeEntry *entry = allow ? tree_entry(allow, "lens") : NULL;
    if (!entry || entry->value->kind == TREE_TABLE) return;
    bind_enter(b, "lens");
    shot->allow_lens_span = entry->value->span;
    if (entry->value->kind == TREE_LIST) {
        bind_allowed_list(b, entry->value, entry->word_span, shot);
    } else if (entry->value->kind == TREE_TEXT && lens_named(b, entry->value->text) >= 0) {
        shot->allow_lens_kind[0] = lens_named(b, entry->value->text);
        shot->allow_lens[0] = b->lenses.items[shot->allow_lens_kind[0]].focal;
        shot->allow_lens_count = 1;
    } else {
        shot->lens_range = true;
        shot->allow_lens_count = 2;
        for (int i = 0; i < 2; i++) {
            shot->allow_lens[i] = bind_slot(b, b->current_shot, i == 0 ? "allow.lens" : "allow.longest lens",
                                            KIND_LENGTH, false);
            shot->allow_lens_kind[i] = -1;
            bind_state(b, shot->allow_lens[i], entry->value, entry->word_span);
        }
        bind_later(b, entry->value, wants, shot->allow_lens, 2);
    }
    bind_leave(b);
}

static void bind_allow(Binder *b, const Tree *words, Shot *shot) {
    const Tree *allow = section_of(words, "allow");
    const TreeEntry *height = allow ? tree_entry(allow, "height") : NULL;
    int heights[2];
    bind_enter(b, "allow");
    bind_allowed_lenses(b, allow, shot);
    for (int i = 0; i < 2; i++) {
        heights[i] = bind_slot(b, b->current_shot, i == 0 ? "allow.height" : "allow.greatest height",
                               KIND_LENGTH, false);
        if (height) bind_state(b, heights[i], height->value, height->word_span);
    }
    if (height && height->value->kind == TREE_TEXT) {
        shot->allow_height_span = height->value->span;
        bind_enter(b, "height");
        bind_later(b, height->value, vocabulary_find(SECTION_ALLOW, "height")->slot, heights, 2);
        bind_leave(b);
    }
    shot->allow_height_low = heights[0];
    shot->allow_height_high = heights[1];
    shot->spare = bind_word(b, SECTION_ALLOW, allow, "spare", "allow");
    bind_leave(b);
}

/* --- the shot as a whole
 * --------------------------------------------------------------------------------------- */

void bind_shot(Binder *b, const Tree *words, const TreeEntry *name, int index, bool only) {
    Shot shot = {.name = name ? name->word : NULL, .span = name ? name->word_span : b->scene->span};
    const char *file = only ? b->scene->name : arena_format(b->arena, "%s-%s", b->scene->name, name->word);
    b->current_shot = only ? -1 : index;
    bind_pages(b, words, &shot);
    bind_page(b, words, &shot);
    bind_drawing(b, words, &shot, file);
    bind_mark(b, words, &shot, index, index == 0);
    bind_camera(b, words, &shot);
    bind_allow(b, words, &shot);
    LIST_PUSH(b->arena, b->shots, shot);
}

static int thing_named(Binder *b, const Tree *value, const char *purpose) {
    const Named *named = bind_named(b, b->current_shot, value->text);
    if (named && named->thing >= 0) return named->thing;
    Diagnostic *d = diagnostics_error(b->diagnostics, value->span, "there is no `%s` on the set %s",
                                      value->text, purpose);
    const char **list = ARENA_ARRAY(b->arena, const char *, b->names.count + 1);
    size_t count = 0;
    for (size_t n = 0; n < b->names.count; n++) {
        if (b->names.items[n].thing >= 0) list[count++] = b->names.items[n].name;
    }
    const char *near = text_nearest(value->text, list, count);
    if (near) diagnostic_help(b->diagnostics, d, "did you mean `%s`?", near);
    return -1;
}

/* The leading piece's place is the mark, and what is drawn of it stands there. */
static void bind_lead_piece(Binder *b, const Tree *mark, const Tree *value, Shot *shot) {
    const int thing = thing_named(b, value, "to lead");
    if (thing < 0) return;
    Thing *lead = &b->things.items[thing];
    static const Field placed[] = {FIELD_ACROSS, FIELD_BACK, FIELD_UP, FIELD_DRAWN_X};
    for (size_t i = 0; i < sizeof placed / sizeof *placed; i++) {
        const Slot *slot = &b->slots.items[lead->slot[placed[i]]];
        if (!slot->stated) continue;
        Diagnostic *d = diagnostics_error(b->diagnostics, slot->word_span,
                                          "`%s` leads, so it stands at the mark", lead->name);
        diagnostic_help(b->diagnostics, d,
                        "leave its place out here; what is drawn of it stands under `mark`");
        return;
    }
    lead->lead = true;
    shot->lead = thing;
    bind_enter(b, "mark");
    bind_mark_words(b, thing, mark);
    bind_leave(b);
}

void bind_shot_names(Binder *b, const Tree *words, int index) {
    Shot *shot = &b->shots.items[index];
    const Tree *mark = section_of(words, "mark"), *camera = section_of(words, "camera");
    const Tree *piece = bind_text(mark, "piece"), *focus = bind_text(camera, "focus");
    if (piece && bind_text(mark, "puppet"))
        diagnostics_error(b->diagnostics, piece->span, "either a puppet leads or a piece");
    else if (piece)
        bind_lead_piece(b, mark, piece, shot);
    if (focus) {
        shot->focus = thing_named(b, focus, "to focus on");
        shot->focus_span = focus->span;
    }
}

void bind_accepts(Binder *b, const Tree *list) {
    for (size_t i = 0; list && list->kind == TREE_LIST && i < list->count; i++) {
        const Tree *item = list->items[i];
        const char *blank = item->kind == TREE_TEXT ? strrchr(item->text, ' ') : NULL;
        if (!blank) {
            Diagnostic *d = diagnostics_error(b->diagnostics, item->span,
                                              "an accepted warning is a thing's name and the warning's word");
            diagnostic_help(b->diagnostics, d, "write `accept: [heron drawn-apart]`");
            continue;
        }
        const char *words[32];
        size_t count = 0;
        bool known = false;
        for (; count < vocabulary_warning_count && count < 32; count++) {
            words[count] = vocabulary_warnings[count].word;
            known |= text_equal(words[count], blank + 1);
        }
        const char *thing = arena_copy(b->arena, item->text, (size_t)(blank - item->text));
        if (!known) {
            const Span span =
                item->quoted
                    ? item->span
                    : span_part(item->span, utf8_length(item->text, (size_t)(blank + 1 - item->text)),
                                utf8_length(blank + 1, strlen(blank + 1)));
            Diagnostic *d = diagnostics_error(b->diagnostics, span, "there is no warning `%s`", blank + 1);
            const char *near = text_nearest(blank + 1, words, count);
            if (near) diagnostic_help(b->diagnostics, d, "did you mean `%s`?", near);
            continue;
        }
        if (!bind_named(b, -1, thing) && !vocabulary_is_section_word(thing)) {
            bool in_a_shot = false;
            for (size_t n = 0; n < b->names.count; n++)
                in_a_shot |= text_equal(b->names.items[n].name, thing);
            if (!in_a_shot) {
                diagnostics_error(b->diagnostics, item->span,
                                  "there is no `%s` whose warnings could be accepted", thing);
                continue;
            }
        }
        LIST_PUSH(b->arena, b->accepts, (Accept){thing, blank + 1, item->span});
    }
}
