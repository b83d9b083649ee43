/* Any bytes as a scene of a sound book that has stock, tables, lamps' circuits and a room: text to shop
 * sheets. What has a plan has sheets, soon, of some pages that another reader can count, whatever stands on
 * them. */
#include "../unit/spec.h"
#include "model/plan_to_set.h"
#include "picture/pdf_join.h"
#include "picture/set_to_sheets.h"
#include "plan/room.h"
#include "report/plan_to_facts.h"
#include "shop/plan_to_parts.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#define BOOK                                                                                                 \
    "groundrow: 1\n"                                                                                         \
    "book: The Lantern Ferry\n"                                                                              \
    "lengths: feet-inches\n"                                                                                 \
    "page: {wide: 11 in, tall: 8 1/2 in, bleed: 1/8 in, safe: 3/8 in, gutter: 3/8 in, print: 300 ppi}\n"     \
    "cast:\n"                                                                                                \
    "  otter: {tall: 11 in, eyes: 9 3/4 in, wide: 5 in, deep: 4 in, poses: {seated: {tall: 6 1/2 in}}}\n"    \
    "  heron: {tall: 13 in, wide: 5 in, deep: 7 in, poses: {flying: {tall: 6 in, wide: 19 in, deep: 10 "     \
    "in}}}\n"                                                                                                \
    "  vole: {tall: 6 1/2 in, eyes: 5 1/2 in, wide: 3 1/2 in, deep: 3 in, poses: {seated: {tall: 4 1/4 "     \
    "in}}}\n"                                                                                                \
    "cameras:\n"                                                                                             \
    "  hired: {sensor: 36 x 24 mm, pixels: 8000 x 5333}\n"                                                   \
    "  test: {sensor: 23.5 x 15.6 mm, pixels: 6000 x 4000}\n"                                                \
    "lenses:\n"                                                                                              \
    "  wide angle: {focal: 35 mm}\n"                                                                         \
    "  standard: {focal: 50 mm}\n"                                                                           \
    "  portrait: {focal: 85 mm}\n"                                                                           \
    "  close-up: {focal: 100 mm}\n"                                                                          \
    "stock:\n"                                                                                               \
    "  ply: {sheet: 48 x 96 in, thick: 23/32 in, weighs: 2.1 lb/ft2, grain: along, kerf: 1/8 in, have: [48 " \
    "x 44 in]}\n"                                                                                            \
    "  foam: {kind: foam, sheet: 48 x 96 in, thick: 2 in, density: 0.9 lb/ft3}\n"                            \
    "  foam board: {sheet: 40 x 60 in, thick: 1/2 in, weighs: 0.3 lb/ft2, have: [40 x 22 in, 20 x 30 in]}\n" \
    "  dowel: {kind: timber, long: 48 in, thick: 1 1/4 in, kerf: 1/16 in, density: 40 lb/ft3, have: [20 "    \
    "in]}\n"                                                                                                 \
    "  rod: {kind: timber, long: 36 in, thick: 1/4 in, kerf: 1/16 in}\n"                                     \
    "table: {wide: 72 in, deep: 30 in, tall: 29 in, holds: 250 lb}\n"                                        \
    "room: {wide: 14 ft, long: 22 ft, ceiling: 8 ft, door: 32 x 80 in}\n"                                    \
    "carry: 50 lb\n"                                                                                         \
    "reach: 28 in\n"                                                                                         \
    "circuits:\n"                                                                                            \
    "  wall: {amps: 15 A, volts: 120 V}\n"                                                                   \
    "  stove: {amps: 20 A, volts: 120 V}\n"                                                                  \
    "pieces:\n"                                                                                              \
    "  mooring post: {shape: post, tall: 9 in, thick: 1 1/4 in, stock: dowel}\n"                             \
    "  crate: {shape: box, wide: 5 in, tall: 4 in, deep: 4 in, stock: foam board}\n"                         \
    "  lantern: {shape: cone, wide: 2 1/2 in, tall: 4 in}\n"                                                 \
    "flats:\n"                                                                                               \
    "  boathouse: {wide: 16 in, tall: 13 in, stock: foam board, openings: {door: {wide: 4 in, tall: 7 "      \
    "in}}}\n"                                                                                                \
    "every scene:\n"                                                                                         \
    "  camera: {body: hired, stop: f/8}\n"                                                                   \
    "  allow: {lens: 60 to 105 mm, spare: 6 %}\n"                                                            \
    "  ground: {stock: foam, margin: 4 in}\n"                                                                \
    "  base: {stock: ply, lip: 2 in}\n"

/* Two shots have two pages each, and everything has its lists. */
static void check_sheets(Arena *arena, const Plan *plan) {
    const Model *set = plan_to_set(arena, plan);
    const Facts *facts = plan_to_facts(arena, plan);
    const Buffer pdf = set_to_sheets(arena, plan, set, facts);
    const int pages = pdf_page_count(pdf.bytes, pdf.count);
    if (pages < 3 * (int)plan->shot_count || pages > 2000) abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    Arena *arena = arena_new();
    Spec spec = spec_of_bytes(arena, BOOK, (const char *)data, size);
    if (spec.plan && spec.plan->shot_count < 3) {
        spec.plan->parts = plan_to_parts(arena, spec.plan, &spec.diagnostics);
        if (spec.diagnostics.errors == 0) {
            load_to_warnings(spec.plan, &spec.diagnostics);
            check_sheets(arena, spec.plan);
        }
    }
    arena_free(arena);
    return 0;
}
