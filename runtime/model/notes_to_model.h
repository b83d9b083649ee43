/* Stage: notes onto the model of a set, when the set alone has been written: what the planned cameras see and
 * where they stand, the main sizes on lettered cards, the drawing. Everything is under one node, `notes`, and
 * says `note: true` in its extras. Numbers on cards are the facts' own, so that they cannot differ from the
 * report's.
 *
 * Nothing of it is in the planned camera's own way: lines of the frame lie outside it, cards of the set stand
 * beside and below what the frame shows; only what belongs to a thing in the picture is in the picture. */
#ifndef GROUNDROW_NOTES_TO_MODEL_H
#define GROUNDROW_NOTES_TO_MODEL_H

#include "model/model.h"
#include "plan/plan.h"
#include "report/facts.h"

/* `model` is plan_to_set's of the same plan, `facts` are plan_to_facts's. */
void notes_to_model(Arena *arena, Model *model, const Plan *plan, const Facts *facts);

#endif
