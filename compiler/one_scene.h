/* One scene of a book, planned, for commands that answer questions about it. */
#ifndef GROUNDROW_ONE_SCENE_H
#define GROUNDROW_ONE_SCENE_H

#include "book.h"
#include "plan/plan.h"
#include "run.h"

typedef struct OneScene {
    const Book *book;
    const Plan *plan;
} OneScene;

/* Plans the only scene that `options` names. False: what stood in the way has been said, and `*code` is what
 * to leave with. */
bool one_scene_plan(Arena *arena, const Options *options, OneScene *scene, ExitCode *code);
/* "; did you mean `near`?", or nothing for NULL. */
const char *one_scene_near(Arena *arena, const char *near);

#endif
