#include "report/plan_to_facts.h"

#include "report/facts_of_plan.h"

Facts *plan_to_facts(Arena *arena, const Plan *plan) {
    const Scene *scene = plan->scene;
    Facts *facts = facts_new(arena, scene->lengths, scene->name, scene->title, scene->book_title);
    Writer writer = writer_new(facts, plan);
    facts_of_head(&writer);
    facts_of_attention(&writer);
    facts_of_tape_out(&writer);
    facts_of_cameras(&writer);
    facts_of_things(&writer);
    facts_of_seen(&writer);
    facts_of_allowed(&writer);
    facts_of_covering(&writer);
    facts_of_sharpness(&writer);
    facts_of_sensors(&writer);
    facts_of_points(&writer);
    facts_close(facts);
    return facts;
}
