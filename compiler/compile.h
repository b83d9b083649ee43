/* The way through: one scene's text into everything that is made of it. */
#ifndef GROUNDROW_COMPILE_H
#define GROUNDROW_COMPILE_H

#include "base/diagnostic.h"
#include "book.h"
#include "outputs.h"
#include "plan/plan.h"
#include "report/facts.h"
#include "report/summary.h"

/* How far to go. */
typedef enum CompileGoal {
    GOAL_TREE,
    GOAL_SCENE,
    GOAL_PLAN,
    GOAL_SEEN,
    GOAL_FACTS,
    GOAL_OUTPUTS
} CompileGoal;

/* What was made, each NULL (or empty) where the way ended before it; in `arena` where it does not say
 * otherwise. */
typedef struct Compiled {
    const Tree *tree;
    Plan *plan;
    const Facts *facts;
    Summary summary; /* holds with facts; in `keeps` */
    OutputFiles files;
    const char *trouble; /* what the machine refused, or NULL */
} Compiled;

/* Takes a scene through the stages until `goal`, or the first that finds a fault, or trouble with a file;
 * with a faulty book no further than GOAL_SCENE. With GOAL_OUTPUTS the files of `kinds` are made. `keeps`
 * holds what is needed afterwards (the text for messages, the summary), `arena` all else. Scenes can be
 * compiled side by side. */
Compiled scene_compile(const Book *book, const BookScene *scene, CompileGoal goal, OutputKinds kinds,
                       Arena *arena, Arena *keeps, Diagnostics *diagnostics);

#endif
