#include "compile.h"

#include "text_to_tree.h"

/* text > tree > scene > (wanted files > found) > plan > set > facts > text, data and models. */
Compiled scene_compile(const Book *book, const BookScene *entry, CompileGoal goal, Arena *arena, Arena *keeps,
                       Diagnostics *diagnostics) {
    Compiled made = {.model = buffer_new(arena), .notes_model = buffer_new(arena)};
    made.text = made.data = buffer_new(arena);
    if (!book_read_scene(book, entry, keeps, diagnostics, &made.trouble)) return made;
    const Source *source = &book->sources.items[entry->file];

    made.tree = text_to_tree(arena, source, entry->file, "scene", diagnostics);
    if (!made.tree || !book->tree || goal == GOAL_TREE) return made;
    return made;
}
