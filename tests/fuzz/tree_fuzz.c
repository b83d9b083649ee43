/* Any bytes as a file of the language: a tree or a fault, every span inside the file, and messages that can
 * be printed. Built with -DFUZZ=ON and clang; tests/grammar/yaml-traps.txt holds inputs to start from. */
#include "text_to_tree.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size);

static void check(bool holds) {
    if (!holds) abort();
}

static void check_span(const Source *source, Span span) {
    check(span.file == 0 && span.line >= 1 && span.line <= source->line_count && span.column >= 1);
}

static void check_tree(const Source *source, const Tree *tree, size_t level) {
    check(level <= TREE_LEVELS_MOST);
    check_span(source, tree->span);
    check(tree->kind != TREE_TEXT || tree->text[0] != '\0');
    for (size_t i = 0; i < tree->count; i++) {
        if (tree->kind == TREE_TABLE) {
            check(tree->entries[i].word[0] != '\0');
            check_span(source, tree->entries[i].word_span);
        }
        check_tree(source, tree->kind == TREE_TABLE ? tree->entries[i].value : tree->items[i], level + 1);
    }
}

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size) {
    Arena *arena = arena_new();
    size_t count = size;
    const char *copy = arena_copy(arena, (const char *)data, size);
    const char *bytes = text_without_mark(copy, &count);
    Source source = source_new(arena, "specs/01.yaml", bytes, count);
    const Sources sources = {&source, 1};
    Diagnostics said = diagnostics_new(arena);
    const Tree *tree = text_to_tree(arena, &source, 0, "scene", &said);
    check(tree || said.errors > 0);
    if (tree) check_tree(&source, tree, 0);
    for (size_t i = 0; i < said.items.count; i++) {
        if (said.items.items[i]->span.line > 0) check_span(&source, said.items.items[i]->span);
    }
    diagnostics_sort(&said);
    Buffer out = buffer_new(arena);
    diagnostics_to_text(&out, &said, &sources, (DiagnosticStyle){.most_a_file = 20});
    diagnostics_to_json(&out, &said, &sources);
    if (tree) tree_print(&out, tree);
    arena_free(arena);
    return 0;
}
