/* Any bytes as a task of nesting: no crash, no finding of a sanitizer, every part once, and areas that add
 * up. */
#include "shop/nest.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

enum { ITEMS_MOST = 12, HAVE_MOST = 4 };

typedef struct Bytes {
    const uint8_t *next, *end;
} Bytes;

static void check(bool holds) {
    if (!holds) abort();
}

static int byte(Bytes *bytes) {
    return bytes->next < bytes->end ? *bytes->next++ : 0;
}

static double length_mm(Bytes *bytes, double most_mm) {
    const int two = 256 * byte(bytes) + byte(bytes);
    return most_mm * (two + 1) / 65536;
}

/* Convex and touching all sides, by where its corners are on them: those of one pair may be corners of the
 * box. */
static void outline(Bytes *bytes, NestItem *item) {
    const double a = byte(bytes) / 255.0, b = byte(bytes) / 255.0, w = item->wide_mm, h = item->tall_mm;
    item->has_outline = true;
    const NestPoint level[4] = {{0, 0}, {w, 0}, {w * fmax(a, b), h}, {w * fmin(a, b), h}};
    const NestPoint upright[4] = {{0, 0}, {w, h * fmin(a, b)}, {w, h * fmax(a, b)}, {0, h}};
    const NestPoint any[4] = {{w * (0.1 + 0.8 * a), 0}, {w, h / 2}, {w * (0.1 + 0.8 * b), h}, {0, h / 3}};
    const int way = byte(bytes) % 3;
    for (int i = 0; i < 4; i++)
        item->outline[i] = way == 0 ? level[i] : way == 1 ? upright[i] : any[i];
}

static NestItem item_of(Bytes *bytes) {
    NestItem item = {.wide_mm = length_mm(bytes, 1500), .tall_mm = length_mm(bytes, 1500)};
    const int flags = byte(bytes);
    item.may_turn = flags & 1;
    item.copies = flags >> 5;
    if (flags & 2) outline(bytes, &item);
    return item;
}

static NestSheet sheet_of(Bytes *bytes) {
    NestSheet sheet = {length_mm(bytes, 3000), length_mm(bytes, 2000), 0};
    sheet.trim_mm = (byte(bytes) & 3) * fmin(sheet.wide_mm, sheet.tall_mm) / 64;
    return sheet;
}

static void check_nest(const NestTask *task, const Nest *nest) {
    int copies = 0, too_large = 0;
    for (int i = 0; i < task->item_count; i++)
        copies += task->items[i].copies;
    for (int i = 0; i < nest->too_large_count; i++)
        too_large += task->items[nest->too_large[i]].copies;
    check(nest->placement_count + nest->left_over_count + too_large == copies);
    for (int i = 0; i < nest->placement_count; i++) {
        const NestPlacement *p = &nest->placements[i];
        const NestSheet *sheet = &nest->sheets[p->sheet].size;
        NestPoint corners[4];
        nest_outline(&task->items[p->item], p, corners);
        for (int c = 0; c < 4; c++) {
            check(corners[c].x_mm >= sheet->trim_mm - 1e-3 &&
                  corners[c].x_mm <= sheet->wide_mm - sheet->trim_mm + 1e-3);
            check(corners[c].y_mm >= sheet->trim_mm - 1e-3 &&
                  corners[c].y_mm <= sheet->tall_mm - sheet->trim_mm + 1e-3);
        }
    }
    check(nest->waste_mm2 > -1 && nest->new_count >= (nest->left_over_count ? 0 : nest->area_bound));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    Bytes bytes = {data, data + size};
    NestItem items[ITEMS_MOST];
    NestSheet have[HAVE_MOST];
    NestTask task = {.items = items, .have = have, .effort = 0.02};
    const int head = byte(&bytes);
    task.item_count = head % (ITEMS_MOST + 1);
    task.have_count = head / 16 % (HAVE_MOST + 1);
    task.kerf_mm = (byte(&bytes) & 7) * 0.8;
    task.keep_mm = byte(&bytes);
    task.whole = sheet_of(&bytes);
    if (byte(&bytes) % 8 == 0) task.whole.wide_mm = 0;
    for (int i = 0; i < task.have_count; i++)
        have[i] = sheet_of(&bytes);
    for (int i = 0; i < task.item_count; i++)
        items[i] = item_of(&bytes);
    Arena *arena = arena_new();
    check_nest(&task, nest_parts(arena, &task));
    arena_free(arena);
    return 0;
}
