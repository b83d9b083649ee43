/* Tasks of nesting from standard input, nests to standard output, as words and numbers for nest_check.py. A
 * task:
 *
 *     task KERF KEEP EFFORT WHOLE_WIDE WHOLE_TALL WHOLE_TRIM HAVE_COUNT ITEM_COUNT
 *     WIDE TALL TRIM                               (each in stock)
 *     WIDE TALL MAY_TURN COPIES HAS_OUTLINE [8 numbers]   (each item)
 */
#include "nest_lines.h"

int main(void) {
    while (scanf(" task") != EOF) {
        Arena *arena = arena_new();
        NestTask task = {0};
        task.kerf_mm = number();
        task.keep_mm = number();
        task.effort = number();
        task.whole = sheet();
        task.have_count = whole_number();
        task.item_count = whole_number();
        NestSheet *have = ARENA_ARRAY(arena, NestSheet, task.have_count);
        NestItem *items = ARENA_ARRAY(arena, NestItem, task.item_count);
        for (int i = 0; i < task.have_count; i++)
            have[i] = sheet();
        for (int i = 0; i < task.item_count; i++)
            items[i] = item();
        task.have = have;
        task.items = items;
        print_nest(nest_parts(arena, &task));
        arena_free(arena);
    }
}
