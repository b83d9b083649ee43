#include "picture/set_to_sheets.h"

#include "picture/sheet.h"

typedef struct Paper {
    double wide_mm, tall_mm;
} Paper;

/* ISO 216; ANSI/ASME Y14.1, sizes A and B. Upright. */
static Paper paper_of(ShopPaper paper) {
    switch (paper) {
    case SHOP_A4:
        return (Paper){210, 297};
    case SHOP_A3:
        return (Paper){297, 420};
    case SHOP_TABLOID:
        return (Paper){11 * MM_PER_INCH, 17 * MM_PER_INCH};
    case SHOP_LETTER:
        break;
    }
    return (Paper){8.5 * MM_PER_INCH, 11 * MM_PER_INCH};
}

static const SheetFrame *paint_frames(Arena *arena, const Plan *plan, const Model *set) {
    const Scenery *scenery = scenery_new(arena, plan, set);
    SheetFrame *frames = ARENA_ARRAY(arena, SheetFrame, plan->shot_count);
    for (size_t i = 0; i < plan->shot_count; i++)
        frames[i] = sheet_paint_frame(arena, scenery, i);
    return frames;
}

static void draw_all(Sheets *sheets) {
    const Paper paper = paper_of(sheets->plan->scene->shop_paper);
    sheets->page = 0;
    sheets->canvas = canvas_new_sheets(sheets->arena, paper.wide_mm, paper.tall_mm,
                                       sheets->facts->title ? sheets->facts->title : sheets->facts->scene);
    for (size_t i = 0; i < sheets->plan->shot_count; i++)
        sheet_views(sheets, i);
    for (size_t i = 0; i < sheets->plan->shot_count; i++)
        sheet_frame(sheets, i);
    sheet_lists(sheets);
}

/* Drawn twice: each page says how many there are. */
Buffer set_to_sheets(Arena *arena, const Plan *plan, const Model *set, const Facts *facts) {
    Arena *own = arena_new();
    Sheets sheets = {.arena = own, .plan = plan, .facts = facts, .datum = plan_datum(plan)};
    sheets.things = plan_planned(plan);
    sheets.frames = paint_frames(own, plan, set);
    draw_all(&sheets);
    canvas_free(sheets.canvas);
    sheets.pages = sheets.page;
    draw_all(&sheets);
    Buffer pdf = buffer_new(arena);
    canvas_to_pdf(sheets.canvas, &pdf);
    canvas_free(sheets.canvas);
    arena_free(own);
    return pdf;
}
