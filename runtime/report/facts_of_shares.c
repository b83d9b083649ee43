/* What each camera sees as data, for comparing: the shares behind the words of facts_of_seen.c. */
#include "plan/seen.h"
#include "report/facts_of_plan.h"

#include <math.h>

void facts_of_shares(Writer *writer) {
    const Plan *plan = writer->plan;
    for (size_t i = 0; plan->seen && i < plan->seen->count; i++) {
        const SeenCamera *seen = &plan->seen->cameras[i];
        const PlanShot *shot = &plan->shots[seen->shot];
        FactSeen fact = {.shot = shot->name,
                         .id = shot->cameras[seen->camera].id,
                         .ground = seen->ground,
                         .bare = seen->bare,
                         .spare = shot->spare,
                         .bare_spare = seen->bare_spare};
        for (size_t t = 0; t < plan->scene->thing_count; t++) {
            const PlanThing *thing = &plan->things[t];
            if (!stands_on_set(thing) || !in_shot(thing, (size_t)seen->shot)) continue;
            const bool looked = seen->camera == 0 && thing->thing->role != ROLE_BACKDROP;
            LIST_PUSH(
                writer->arena, fact.things,
                (FactShare){thing->thing->name, seen->things[t].share, looked ? seen->things[t].alone : NAN});
        }
        LIST_PUSH(writer->arena, writer->facts->seen, fact);
    }
}
