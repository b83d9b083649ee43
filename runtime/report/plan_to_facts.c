#include "report/plan_to_facts.h"

#include "report/facts_of_plan.h"

Facts *plan_to_facts(Arena *arena, const Plan *plan) {
    const Scene *scene = plan->scene;
    Facts *facts = facts_new(arena, scene->lengths, scene->name, scene->title, scene->book_title);
    /* What is to be taped and cut is told as planned, beside what was built; all else follows that. */
    Plan planned = *plan;
    planned.things = plan_planned(plan);
    Writer writer = writer_new(facts, plan), of_planned = writer_new(facts, &planned);
    facts_of_head(&writer);
    facts_of_attention(&writer);
    facts_of_tape_out(&of_planned);
    facts_of_cameras(&writer);
    facts_of_things(&of_planned);
    facts_of_built(&writer);
    facts_of_photos(&writer);
    facts_of_seen(&writer);
    facts_of_allowed(&writer);
    facts_of_covering(&writer);
    facts_of_costs(&writer);
    facts_of_also(&writer);
    facts_of_sharpness(&writer);
    facts_of_print(&writer);
    facts_of_sensors(&writer);
    facts_of_load(&of_planned);
    facts_of_holes(&of_planned);
    facts_of_lamps(&writer);
    facts_of_parts(&of_planned);
    facts_of_weight(&of_planned);
    facts_of_points(&writer);
    facts_of_shares(&writer);
    facts_close(facts);
    return facts;
}
