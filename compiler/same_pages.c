#include "same_pages.h"

#include "base/text.h"

static bool is_accepted(const Scene *scene) {
    for (size_t i = 0; i < scene->accept_count; i++) {
        if (text_equal(scene->accepts[i].thing, "pages") && text_equal(scene->accepts[i].word, "same-pages"))
            return true;
    }
    return false;
}

static bool is_partial(const Scene *scene, const Shot *shot) {
    const int slots[] = {shot->picture_wide, shot->picture_tall, shot->picture_left, shot->picture_low};
    for (size_t i = 0; i < sizeof slots / sizeof *slots; i++) {
        if (scene->slots[slots[i]].stated) return true;
    }
    return false;
}

ScenePages pages_of_scene(Arena *keeps, const char *name, const Scene *scene) {
    ShotPages *shots = ARENA_ARRAY(keeps, ShotPages, scene->shot_count);
    ScenePages pages = {.scene = arena_string(keeps, name), .shots = shots, .accepted = is_accepted(scene)};
    for (size_t i = 0; i < scene->shot_count; i++) {
        const Shot *shot = &scene->shots[i];
        if (shot->first_page > 0 && !is_partial(scene, shot))
            shots[pages.shot_count++] = (ShotPages){shot->first_page, shot->last_page, shot->pages_span};
    }
    return pages;
}

static const ShotPages *find_same(const ScenePages *of, const ShotPages *pages) {
    for (size_t i = 0; i < of->shot_count; i++) {
        if (of->shots[i].first <= pages->last && pages->first <= of->shots[i].last) return &of->shots[i];
    }
    return NULL;
}

Diagnostic *warn_of_same_pages(Diagnostics *said, const ScenePages *scenes, size_t scene) {
    const ScenePages *it = &scenes[scene];
    for (size_t i = 0; !it->accepted && i < it->shot_count; i++) {
        for (size_t s = 0; s < scene; s++) {
            const ShotPages *same = find_same(&scenes[s], &it->shots[i]);
            if (!same) continue;
            const int first = it->shots[i].first > same->first ? it->shots[i].first : same->first;
            const int last = it->shots[i].last < same->last ? it->shots[i].last : same->last;
            Diagnostic *d = first == last ? diagnostics_warning(said, "same-pages", it->shots[i].span,
                                                                "page %d is that of scene `%s` too", first,
                                                                scenes[s].scene)
                                          : diagnostics_warning(said, "same-pages", it->shots[i].span,
                                                                "pages %d and %d are those of scene `%s` too",
                                                                first, last, scenes[s].scene);
            diagnostic_note(said, d, same->span, "there");
            diagnostic_help(
                said, d,
                "where both are meant, `accept: [pages same-pages]`; pictures that share a page say "
                "`page: {picture: ...}`");
            return d;
        }
    }
    return NULL;
}
