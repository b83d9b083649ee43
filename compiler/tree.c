#include "tree.h"

#include <stdlib.h>
#include <string.h>

const TreeEntry *tree_entry(const Tree *table, const char *word) {
    if (!table || table->kind != TREE_TABLE) return NULL;
    for (size_t i = 0; i < table->count; i++) {
        if (strcmp(table->entries[i].word, word) == 0) return &table->entries[i];
    }
    return NULL;
}

const Tree *tree_find(const Tree *table, const char *word) {
    const TreeEntry *entry = tree_entry(table, word);
    return entry ? entry->value : NULL;
}

/* Entries of a table in the order of their words, so that merging large tables stays quick. */
static int compare_words(const void *a, const void *b) {
    return strcmp((*(const TreeEntry *const *)a)->word, (*(const TreeEntry *const *)b)->word);
}

static const TreeEntry **entries_by_word(Arena *arena, const Tree *table) {
    const TreeEntry **sorted = ARENA_ARRAY(arena, const TreeEntry *, table->count);
    for (size_t i = 0; i < table->count; i++)
        sorted[i] = &table->entries[i];
    if (table->count > 1) qsort(sorted, table->count, sizeof *sorted, compare_words);
    return sorted;
}

static const TreeEntry *entry_among(const TreeEntry *const *sorted, size_t count, const TreeEntry *wanted) {
    const TreeEntry *const *found =
        count > 0 ? bsearch(&wanted, sorted, count, sizeof *sorted, compare_words) : NULL;
    return found ? *found : NULL;
}

Tree *tree_merge(Arena *arena, const Tree *defaults, const Tree *own) {
    const Tree *alone = !own ? defaults : own;
    if (!own || !defaults || own->kind != TREE_TABLE || defaults->kind != TREE_TABLE) {
        if (!alone) return NULL;
        Tree *copy = ARENA_NEW(arena, Tree);
        *copy = *alone;
        return copy;
    }
    Tree *merged = ARENA_NEW(arena, Tree);
    *merged = *own;
    merged->entries = ARENA_ARRAY(arena, TreeEntry, own->count + defaults->count);
    merged->count = 0;
    const TreeEntry **of_defaults = entries_by_word(arena, defaults);
    for (size_t i = 0; i < own->count; i++) {
        TreeEntry entry = own->entries[i];
        const TreeEntry *below = entry_among(of_defaults, defaults->count, &entry);
        if (below) entry.value = tree_merge(arena, below->value, entry.value);
        merged->entries[merged->count++] = entry;
    }
    const TreeEntry **of_own = entries_by_word(arena, own);
    for (size_t i = 0; i < defaults->count; i++) {
        if (!entry_among(of_own, own->count, &defaults->entries[i]))
            merged->entries[merged->count++] = defaults->entries[i];
    }
    return merged;
}

static void print_place(Buffer *out, Span span) {
    buffer_format(out, " %zu:%zu", (size_t)span.line, (size_t)span.column);
}

static void print_value(Buffer *out, const Tree *tree, int indent);

static void print_inside(Buffer *out, const Tree *tree, int indent) {
    for (size_t i = 0; i < tree->count; i++) {
        buffer_format(out, "%*s", indent, "");
        if (tree->kind == TREE_TABLE) {
            buffer_add(out, tree->entries[i].word);
            print_place(out, tree->entries[i].word_span);
            buffer_add_char(out, ':');
            print_value(out, tree->entries[i].value, indent);
        } else {
            buffer_add_char(out, '-');
            print_value(out, tree->items[i], indent);
        }
    }
}

static void print_value(Buffer *out, const Tree *tree, int indent) {
    const bool text = tree->kind == TREE_TEXT, faulty = tree->kind == TREE_FAULTY;
    if (text || faulty) {
        const char *quote = tree->quoted ? "\"" : "";
        buffer_format(out, " %s%s%s", quote, text ? tree->text : "?", quote);
        print_place(out, tree->span);
        buffer_add_char(out, '\n');
        return;
    }
    buffer_add(out, tree->kind == TREE_TABLE ? " table" : " list");
    print_place(out, tree->span);
    buffer_add_char(out, '\n');
    print_inside(out, tree, indent + 2);
}

void tree_print(Buffer *out, const Tree *tree) {
    if (tree && (tree->kind == TREE_TABLE || tree->kind == TREE_LIST))
        print_inside(out, tree, 0);
    else if (tree)
        print_value(out, tree, 0);
}
