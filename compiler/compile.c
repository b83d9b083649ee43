#include "compile.h"

#include "images.h"
#include "model/model_to_glb.h"
#include "model/notes_to_model.h"
#include "model/plan_to_set.h"
#include "plan/scene_to_plan.h"
#include "report/facts_to_json.h"
#include "report/facts_to_text.h"
#include "report/plan_to_facts.h"
#include "see/set_to_seen.h"
#include "text_to_tree.h"
#include "tree_to_scene.h"

/* text > tree > scene > (wanted files > found) > plan > set > seen > facts > text, data and models. */
Compiled scene_compile(const Book *book, const BookScene *entry, CompileGoal goal, Arena *arena, Arena *keeps,
                       Diagnostics *diagnostics) {
    Compiled made = {.model = buffer_new(arena), .notes_model = buffer_new(arena)};
    made.text = made.data = buffer_new(arena);
    if (!book_read_scene(book, entry, keeps, diagnostics, &made.trouble)) return made;
    const Source *source = &book->sources.items[entry->file];

    made.tree = text_to_tree(arena, source, entry->file, "scene", diagnostics);
    if (!made.tree || !book->tree || goal == GOAL_TREE) return made;

    const Scene *scene = tree_to_scene(arena, entry->name, book->tree, made.tree, diagnostics);
    const FoundFile *found = images_find(arena, book->folder, scene, diagnostics, &made.trouble);
    if (goal == GOAL_SCENE || book->faulty || diagnostics->errors > 0 || made.trouble) return made;

    Plan *plan = scene_to_plan(scene, found, diagnostics);
    if (!plan) return made;
    made.plan = plan;
    made.summary = plan_to_summary(keeps, plan);
    if (goal == GOAL_PLAN) return made;

    Model *model = plan_to_set(arena, plan);
    plan->seen = set_to_seen(arena, plan, model, SEEN_WIDE_PX);

    made.facts = plan_to_facts(arena, made.plan);
    if (goal == GOAL_FACTS) return made;
    facts_to_text(&made.text, made.facts);
    facts_to_json(&made.data, made.facts);

    bool whole = model_to_glb(arena, model, &made.model);
    notes_to_model(arena, model, made.plan, made.facts);
    whole &= model_to_glb(arena, model, &made.notes_model);
    if (!whole) made.trouble = "a model is larger than a glTF file can be";
    return made;
}
