/* Stage: the trees of a book and of one scene into a bound scene: words checked against the vocabulary,
 * defaults of `every scene` laid under, `like` and the book's own pieces filled in, every name looked up,
 * every quantity read.
 *
 * Faults are reported in the order in which they are found; whoever shows them sorts them. A slot whose text
 * is faulty is marked so and stays silent from then on. */
#ifndef GROUNDROW_TREE_TO_SCENE_H
#define GROUNDROW_TREE_TO_SCENE_H

#include "base/diagnostic.h"
#include "plan/scene.h"
#include "tree.h"

/* Binds a scene; `name` is its file's without `.yaml`. Both trees are given. Faults of the book (spans of
 * file 0) are not reported here. Never NULL; with faults in `diagnostics` it must not be planned. */
Scene *tree_to_scene(Arena *arena, const char *name, const Tree *book, const Tree *scene,
                     Diagnostics *diagnostics);

/* Checks a book alone, `every scene` and the book's pieces with it, and reports its faults. */
void tree_to_book(Arena *arena, const Tree *book, Diagnostics *diagnostics);

#endif
