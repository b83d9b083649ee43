#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

Buffer buffer_new(Arena *arena) {
    return (Buffer){.arena = arena};
}

static void buffer_room(Buffer *buffer, size_t more) {
    if (buffer->capacity - buffer->count > more)
        return;
    size_t capacity = buffer->capacity ? buffer->capacity : 128;
    while (capacity - buffer->count <= more)
        capacity *= 2;
    char *bytes = arena_alloc(buffer->arena, capacity);
    if (buffer->count > 0)
        memcpy(bytes, buffer->bytes, buffer->count);
    buffer->bytes = bytes;
    buffer->capacity = capacity;
}

void buffer_add_bytes(Buffer *buffer, const void *bytes, size_t count) {
    buffer_room(buffer, count);
    if (count > 0)
        memcpy(buffer->bytes + buffer->count, bytes, count);
    buffer->count += count;
    buffer->bytes[buffer->count] = '\0';
}

void buffer_add(Buffer *buffer, const char *text) {
    buffer_add_bytes(buffer, text, strlen(text));
}

void buffer_add_char(Buffer *buffer, char character) {
    buffer_add_bytes(buffer, &character, 1);
}

void buffer_format(Buffer *buffer, const char *format, ...) {
    va_list arguments, again;
    va_start(arguments, format);
    va_copy(again, arguments);
    const int count = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (count > 0) {
        buffer_room(buffer, (size_t)count);
        vsnprintf(buffer->bytes + buffer->count, (size_t)count + 1, format, again);
        buffer->count += (size_t)count;
    }
    va_end(again);
}

const char *buffer_text(const Buffer *buffer) {
    return buffer->bytes ? buffer->bytes : "";
}

bool text_equal(const char *a, const char *b) {
    return strcmp(a, b) == 0;
}

bool text_starts(const char *text, const char *start) {
    return strncmp(text, start, strlen(start)) == 0;
}

bool text_ends(const char *text, const char *end) {
    const size_t count = strlen(text), end_count = strlen(end);
    return count >= end_count && memcmp(text + count - end_count, end, end_count) == 0;
}

size_t utf8_length(const char *bytes, size_t count) {
    size_t length = 0;
    for (size_t i = 0; i < count; i++)
        length += ((unsigned char)bytes[i] & 0xC0) != 0x80;
    return length;
}

size_t utf8_offset(const char *bytes, size_t count, size_t index) {
    size_t offset = 0;
    for (size_t seen = 0; offset < count; offset++) {
        if (((unsigned char)bytes[offset] & 0xC0) != 0x80 && seen++ == index)
            return offset;
    }
    return count;
}

size_t utf8_decode(const char *bytes, size_t count, uint32_t *code_point) {
    if (count == 0)
        return 0;
    const unsigned char first = (unsigned char)bytes[0];
    if (first < 0x80) {
        *code_point = first;
        return 1;
    }
    const size_t need = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
    if (first < 0xC2 || first > 0xF4 || count < need)
        return 0;
    uint32_t value = first & (0x7Fu >> need);
    for (size_t i = 1; i < need; i++) {
        const unsigned char next = (unsigned char)bytes[i];
        if ((next & 0xC0) != 0x80)
            return 0;
        value = value << 6 | (next & 0x3Fu);
    }
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    if (value < least[need] || value > 0x10FFFF || (value >= 0xD800 && value <= 0xDFFF))
        return 0;
    *code_point = value;
    return need;
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/* Compares two runs of digits as numbers and moves past them. */
static int compare_digits(const char **a, const char **b) {
    while (**a == '0')
        ++*a;
    while (**b == '0')
        ++*b;
    const char *ra = *a, *rb = *b;
    while (is_digit(**a))
        ++*a;
    while (is_digit(**b))
        ++*b;
    const ptrdiff_t na = *a - ra, nb = *b - rb;
    return na != nb ? (na < nb ? -1 : 1) : memcmp(ra, rb, (size_t)na);
}

int text_natural_compare(const char *a, const char *b) {
    const char *p = a, *q = b;
    while (*p && *q) {
        if (is_digit(*p) && is_digit(*q)) {
            const int order = compare_digits(&p, &q);
            if (order != 0)
                return order;
        } else if (*p != *q) {
            return (unsigned char)*p < (unsigned char)*q ? -1 : 1;
        } else {
            p++;
            q++;
        }
    }
    if (*p || *q)
        return *p ? 1 : -1;
    return strcmp(a, b);
}

enum { NEAR_WORD_MOST = 64 };

/* Optimal string alignment (Damerau distance with each pair swapped once) in bytes. */
static size_t damerau(const char *a, size_t na, const char *b, size_t nb) {
    size_t rows[3][NEAR_WORD_MOST + 1];
    for (size_t j = 0; j <= nb; j++)
        rows[0][j] = j;
    for (size_t i = 1; i <= na; i++) {
        size_t *row = rows[i % 3];
        const size_t *above = rows[(i + 2) % 3], *above2 = rows[(i + 1) % 3];
        row[0] = i;
        for (size_t j = 1; j <= nb; j++) {
            size_t least = above[j - 1] + (a[i - 1] != b[j - 1]);
            if (above[j] + 1 < least)
                least = above[j] + 1;
            if (row[j - 1] + 1 < least)
                least = row[j - 1] + 1;
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] && above2[j - 2] + 1 < least)
                least = above2[j - 2] + 1;
            row[j] = least;
        }
    }
    return rows[na % 3][nb];
}

const char *text_nearest(const char *word, const char *const *words, size_t count) {
    const size_t length = strlen(word);
    if (length == 0 || length > NEAR_WORD_MOST)
        return NULL;
    const char *best = NULL;
    size_t best_distance = SIZE_MAX;
    bool tie = false;
    for (size_t i = 0; i < count; i++) {
        const size_t other = strlen(words[i]);
        if (other > NEAR_WORD_MOST)
            continue;
        const size_t longer = other > length ? other : length;
        const size_t most = longer / 3 > 1 ? longer / 3 : 1;
        const size_t distance = damerau(word, length, words[i], other);
        if (distance > most || distance >= longer)
            continue;
        if (distance < best_distance) {
            best = words[i];
            best_distance = distance;
            tie = false;
        } else if (distance == best_distance && strcmp(best, words[i]) != 0) {
            tie = true;
        }
    }
    if (best)
        return tie ? NULL : best;
    if (length < 3)
        return NULL;
    for (size_t i = 0; i < count; i++) {
        if (!text_starts(words[i], word))
            continue;
        if (best)
            return NULL;
        best = words[i];
    }
    return best;
}

const char *text_for_files(Arena *arena, const char *name) {
    Buffer plain = buffer_new(arena);
    for (const char *c = name; *c; c++) {
        const bool large = *c >= 'A' && *c <= 'Z';
        const bool fits = large || (*c >= 'a' && *c <= 'z') || (*c >= '0' && *c <= '9') || *c == '_';
        const bool behind_first = ((unsigned char)*c & 0xC0) == 0x80; /* of a letter in several bytes */
        if (!behind_first) buffer_add_char(&plain, !fits ? '-' : large ? (char)(*c - 'A' + 'a') : *c);
    }
    return buffer_text(&plain);
}
