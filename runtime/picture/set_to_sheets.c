#include "picture/set_to_sheets.h"

#include "picture/sheet.h"

/* `2-3`; of several shots, all of theirs. */
static const char *pages_text(const Sheets *sheets) {
    const Plan *plan = sheets->plan;
    Buffer all = buffer_new(sheets->arena);
    for (size_t i = 0; i < plan->shot_count; i++) {
        const char *heading = plan->shot_count > 1
                                  ? arena_format(sheets->arena, "shot %s", plan->shots[i].name)
                                  : arena_format(sheets->arena, "scene %s", sheets->facts->scene);
        const char *first = sheet_part(sheets, heading, "pages", 0, 1),
                   *last = sheet_part(sheets, heading, "pages", 1, 1);
        if (first[0] >= '0' && first[0] <= '9')
            buffer_format(&all, "%s%s%s%s", all.count > 0 ? "; " : "", first, last[0] ? "-" : "", last);
    }
    return all.count > 0 ? buffer_text(&all) : "not stated";
}

static const SheetFrame *paint_frames(Arena *arena, const Plan *plan, const Model *set) {
    const Scenery *scenery = scenery_new(arena, plan, set);
    SheetFrame *frames = ARENA_ARRAY(arena, SheetFrame, plan->shot_count);
    for (size_t i = 0; i < plan->shot_count; i++)
        frames[i] = sheet_paint_frame(arena, scenery, i);
    return frames;
}

static void draw_all(Sheets *sheets, const void *context) {
    (void)context;
    for (size_t i = 0; i < sheets->plan->shot_count; i++)
        sheet_views(sheets, i);
    for (size_t i = 0; i < sheets->plan->shot_count; i++)
        sheet_frame(sheets, i);
    sheet_lists(sheets);
}

static SheetTitle title_of(Sheets *sheets) {
    const Facts *facts = sheets->facts;
    return (SheetTitle){.book = facts->book && facts->book[0] ? facts->book : "shop sheet",
                        .title = facts->title ? facts->title : facts->scene,
                        .pages = pages_text(sheets),
                        .numbers = arena_format(sheets->arena, "%s.txt", facts->scene)};
}

Buffer set_to_sheets(Arena *arena, const Plan *plan, const Model *set, const Facts *facts) {
    Arena *own = arena_new();
    Sheets sheets = {.arena = own,
                     .lengths = facts->lengths,
                     .plan = plan,
                     .facts = facts,
                     .things = plan_planned(plan),
                     .datum = plan_datum(plan)};
    sheets.title = title_of(&sheets);
    sheets.frames = paint_frames(own, plan, set);
    Buffer pdf = buffer_new(arena);
    sheets_to_pdf(&sheets, plan->scene->shop_paper, draw_all, NULL, &pdf);
    arena_free(own);
    return pdf;
}
