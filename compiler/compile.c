#include "compile.h"

#include "images.h"
#include "model/model_to_glb.h"
#include "model/notes_to_model.h"
#include "model/plan_to_set.h"
#include "photo/plan_to_lined_up.h"
#include "picture/plan_to_patterns.h"
#include "picture/set_to_pictures.h"
#include "picture/set_to_sheets.h"
#include "plan/room.h"
#include "plan/scene_to_plan.h"
#include "report/facts_to_json.h"
#include "report/facts_to_text.h"
#include "report/plan_to_facts.h"
#include "see/seen_to_warnings.h"
#include "see/set_to_seen.h"
#include "shop/plan_to_costs.h"
#include "shop/plan_to_parts.h"
#include "text_to_tree.h"
#include "tree_to_scene.h"

/* text > tree > scene > plan > parts, set > seen > facts > summary, models, text, pictures, sheets. */
Compiled scene_compile(const Book *book, const BookScene *entry, CompileGoal goal, OutputKinds kinds,
                       Arena *arena, Arena *keeps, Diagnostics *diagnostics) {
    Compiled made = {0};
    if (!book_read_scene(book, entry, keeps, diagnostics, &made.trouble)) return made;
    made.tree = text_to_tree(arena, &book->sources.items[entry->file], entry->file, "scene", diagnostics);
    if (!made.tree || !book->tree || goal == GOAL_TREE) return made;
    const Scene *scene = tree_to_scene(arena, entry->name, book->tree, made.tree, diagnostics);
    FoundFile *found = images_find(arena, book->folder, scene, images_px(kinds), diagnostics, &made.trouble);
    if (goal == GOAL_SCENE || book->faulty || diagnostics->errors > 0 || made.trouble) return made;
    Plan *plan = made.plan = scene_to_plan(scene, found, diagnostics);
    if (plan) plan->lined_up = plan_to_lined_up(arena, plan, diagnostics);
    if (plan) plan->parts = plan_to_parts(arena, plan, diagnostics);
    if (!plan || goal == GOAL_PLAN || diagnostics->errors > 0) return made;
    load_to_warnings(plan, diagnostics);
    Model *model = plan_to_set(arena, plan);
    plan->seen = set_to_seen(arena, plan, model, SEEN_WIDE_PX);
    seen_to_warnings(plan, diagnostics);
    if (goal == GOAL_SEEN) return made;
    plan->costs = plan_to_costs(arena, plan);
    const Facts *facts = made.facts = plan_to_facts(arena, plan);
    made.summary = plan_to_summary(keeps, plan, facts);
    if (goal == GOAL_FACTS) return made;
    OutputFiles *files = &made.files;
    if (kinds & OUTPUT_MODELS) {
        bool whole = model_to_glb(arena, model, output_add(arena, files, OUTPUT_MODELS, ".glb"));
        notes_to_model(arena, model, plan, facts);
        whole &= model_to_glb(arena, model, output_add(arena, files, OUTPUT_MODELS, ".notes.glb"));
        if (!whole) made.trouble = "a model is larger than a glTF file can be";
    }
    if (kinds & OUTPUT_REPORTS) facts_to_text(output_add(arena, files, OUTPUT_REPORTS, ".txt"), facts);
    if (kinds & OUTPUT_DATA) facts_to_json(output_add(arena, files, OUTPUT_DATA, ".json"), facts);
    if (kinds & OUTPUT_PICTURES) outputs_add(arena, files, set_to_pictures(arena, plan, model, facts));
    if (kinds & OUTPUT_SHEETS) outputs_add_sheets(arena, files, set_to_sheets(arena, plan, model, facts));
    if (kinds & OUTPUT_PATTERNS)
        outputs_add_patterns(arena, files, plan_to_patterns(arena, plan, kinds & OUTPUT_BACKDROP));
    return made;
}
