#include "base/diagnostic.h"

#include <string.h>

/* ---- What was said where: a set with open addressing, so that a file full of faults stays linear. Looked up
 * only, never walked: its order reaches no output. */

typedef struct Slot {
    uint64_t hash;
    Diagnostic *diagnostic; /* NULL: free */
    const char *key;        /* the key of an error said once, or NULL: then the slot is the place `span` */
    Span span;
} Slot;

struct DiagnosticIndex {
    Slot *slots;
    size_t count, capacity; /* a power of two */
};

static uint64_t hash_bytes(uint64_t hash, const void *bytes, size_t count) {
    const unsigned char *next = bytes;
    for (size_t i = 0; i < count; i++)
        hash = (hash ^ next[i]) * 1099511628211u; /* FNV-1a */
    return hash;
}

static uint64_t place_hash(Span span) {
    const uint32_t parts[] = {span.file, span.line, span.column};
    const uint64_t hash = hash_bytes(14695981039346656037u, parts, sizeof parts);
    return hash ^ hash >> 29;
}

static uint64_t key_hash(uint32_t file, const char *key) {
    const uint64_t hash = hash_bytes(1469598103934665603u, &file, sizeof file);
    return hash_bytes(hash, key, strlen(key));
}

static void index_put(struct DiagnosticIndex *index, Slot slot) {
    size_t at = slot.hash & (index->capacity - 1);
    while (index->slots[at].diagnostic)
        at = (at + 1) & (index->capacity - 1);
    index->slots[at] = slot;
    index->count++;
}

static void index_add(Arena *arena, struct DiagnosticIndex *index, Slot slot) {
    if (2 * (index->count + 1) > index->capacity) {
        const struct DiagnosticIndex old = *index;
        index->capacity = old.capacity ? 2 * old.capacity : 32;
        index->slots = ARENA_ARRAY(arena, Slot, index->capacity);
        index->count = 0;
        for (size_t i = 0; i < old.capacity; i++) {
            if (old.slots[i].diagnostic) index_put(index, old.slots[i]);
        }
    }
    index_put(index, slot);
}

static void add_place(Diagnostics *list, Diagnostic *diagnostic, Span span) {
    index_add(list->arena, list->index,
              (Slot){.hash = place_hash(span), .diagnostic = diagnostic, .span = span});
}

static bool same_text(const char *a, const char *b) {
    return a == b || (a && b && strcmp(a, b) == 0);
}

/* Whether what stands at this place already speaks for the new one too. */
static bool hides(const Diagnostic *earlier, const Diagnostic *later, Span span) {
    if (span_is_none(span) || later->path || earlier->path)
        return same_text(earlier->message, later->message) && same_text(earlier->path, later->path);
    if (earlier->severity == SEVERITY_ERROR) return true;
    return later->severity == SEVERITY_WARNING && same_text(earlier->word, later->word);
}

static bool is_hidden(const Diagnostics *list, const Diagnostic *later) {
    const struct DiagnosticIndex *index = list->index;
    if (index->capacity == 0) return false;
    const uint64_t hash = place_hash(later->span);
    for (size_t at = hash & (index->capacity - 1); index->slots[at].diagnostic;
         at = (at + 1) & (index->capacity - 1)) {
        const Slot *slot = &index->slots[at];
        if (slot->hash == hash && !slot->key && span_equal(slot->span, later->span) &&
            hides(slot->diagnostic, later, later->span))
            return true;
    }
    return false;
}

static Diagnostic *find_key(const Diagnostics *list, uint32_t file, const char *key) {
    const struct DiagnosticIndex *index = list->index;
    if (index->capacity == 0) return NULL;
    const uint64_t hash = key_hash(file, key);
    for (size_t at = hash & (index->capacity - 1); index->slots[at].diagnostic;
         at = (at + 1) & (index->capacity - 1)) {
        const Slot *slot = &index->slots[at];
        if (slot->hash == hash && slot->key && slot->span.file == file && strcmp(slot->key, key) == 0)
            return slot->diagnostic;
    }
    return NULL;
}

/* ---- Collecting */

Diagnostics diagnostics_new(Arena *arena) {
    return (Diagnostics){.arena = arena, .index = ARENA_NEW(arena, struct DiagnosticIndex)};
}

static Diagnostic *diagnostic_new(Arena *arena, Severity severity, Span span, const char *format,
                                  va_list arguments) {
    Diagnostic *diagnostic = ARENA_NEW(arena, Diagnostic);
    diagnostic->severity = severity;
    diagnostic->span = span;
    diagnostic->message = arena_vformat(arena, format, arguments);
    return diagnostic;
}

static void list_add(Diagnostics *list, Diagnostic *diagnostic) {
    LIST_PUSH(list->arena, list->items, diagnostic);
    if (diagnostic->severity == SEVERITY_ERROR)
        list->errors++;
    else
        list->warnings++;
    add_place(list, diagnostic, diagnostic->span);
}

Diagnostic *diagnostics_error(Diagnostics *list, Span span, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    Diagnostic *diagnostic = diagnostic_new(list->arena, SEVERITY_ERROR, span, format, arguments);
    va_end(arguments);
    if (!is_hidden(list, diagnostic)) list_add(list, diagnostic);
    return diagnostic;
}

Diagnostic *diagnostics_warning(Diagnostics *list, const char *word, Span span, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    Diagnostic *diagnostic = diagnostic_new(list->arena, SEVERITY_WARNING, span, format, arguments);
    va_end(arguments);
    diagnostic->word = word ? arena_string(list->arena, word) : NULL;
    if (!is_hidden(list, diagnostic)) list_add(list, diagnostic);
    return diagnostic;
}

/* Counts one more at `span` on `first`. Returns whether the new place comes before what is shown: then
 * `first` was emptied and moved there, and is to be filled again. */
static bool count_repeat(Diagnostics *list, Diagnostic *first, const Diagnostic *again) {
    const bool earlier = span_compare(again->span, first->span) < 0;
    const Span repeat = earlier ? first->span : again->span;
    if (first->repeats == 0 || span_compare(repeat, first->first_repeat) < 0) first->first_repeat = repeat;
    first->repeats++;
    add_place(list, first, again->span);
    if (earlier) {
        first->span = again->span;
        first->message = again->message;
        first->help = NULL;
        first->notes.count = 0;
    }
    return earlier;
}

Diagnostic *diagnostics_error_once(Diagnostics *list, const char *key, Span span, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    Diagnostic *diagnostic = diagnostic_new(list->arena, SEVERITY_ERROR, span, format, arguments);
    va_end(arguments);
    if (is_hidden(list, diagnostic)) return diagnostic;
    Diagnostic *first = find_key(list, span.file, key);
    if (first) return count_repeat(list, first, diagnostic) ? first : diagnostic;
    diagnostic->unsaid_key = arena_string(list->arena, key);
    list_add(list, diagnostic);
    index_add(list->arena, list->index,
              (Slot){.hash = key_hash(span.file, key),
                     .diagnostic = diagnostic,
                     .key = diagnostic->unsaid_key,
                     .span = span});
    return diagnostic;
}

void diagnostic_note(Diagnostics *list, Diagnostic *diagnostic, Span span, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    const DiagnosticNote note = {span, arena_vformat(list->arena, format, arguments)};
    va_end(arguments);
    LIST_PUSH(list->arena, diagnostic->notes, note);
}

void diagnostic_help(Diagnostics *list, Diagnostic *diagnostic, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    diagnostic->help = arena_vformat(list->arena, format, arguments);
    va_end(arguments);
}

static const char *copy_text(Arena *arena, const char *text) {
    return text ? arena_string(arena, text) : NULL;
}

void diagnostics_append(Diagnostics *into, const Diagnostics *from) {
    for (size_t i = 0; i < from->items.count; i++) {
        const Diagnostic *old = from->items.items[i];
        Diagnostic *copy = ARENA_NEW(into->arena, Diagnostic);
        *copy = (Diagnostic){.severity = old->severity,
                             .word = copy_text(into->arena, old->word),
                             .span = old->span,
                             .path = copy_text(into->arena, old->path),
                             .message = copy_text(into->arena, old->message),
                             .help = copy_text(into->arena, old->help),
                             .repeats = old->repeats,
                             .first_repeat = old->first_repeat,
                             .unsaid_key = copy_text(into->arena, old->unsaid_key)};
        for (size_t j = 0; j < old->notes.count; j++) {
            const DiagnosticNote *note = &old->notes.items[j];
            LIST_PUSH(into->arena, copy->notes,
                      (DiagnosticNote){note->span, copy_text(into->arena, note->text)});
        }
        list_add(into, copy);
    }
}

/* ---- Order */

static int compare_diagnostics(const Diagnostic *a, const Diagnostic *b) {
    return span_compare(a->span, b->span);
}

/* A merge sort, because qsort need not be stable. */
static void merge_sort(Diagnostic **items, Diagnostic **spare, size_t count) {
    if (count < 2) return;
    const size_t half = count / 2;
    merge_sort(items, spare, half);
    merge_sort(items + half, spare, count - half);
    memcpy(spare, items, half * sizeof *items);
    size_t left = 0, right = half;
    for (size_t to = 0; left < half; to++) {
        const bool take_right = right < count && compare_diagnostics(items[right], spare[left]) < 0;
        items[to] = take_right ? items[right++] : spare[left++];
    }
}

void diagnostics_sort(Diagnostics *list) {
    const size_t count = list->items.count;
    merge_sort(list->items.items, ARENA_ARRAY(list->arena, Diagnostic *, count), count);
}

/* ---- In words, for a terminal */

enum { TAB_COLUMNS = 4, GUTTER_LEAST = 5, LINE_COLUMNS_MOST = 160, WINDOW_BEFORE = 60 };

static const char bold[] = "\033[1m", red[] = "\033[1;31m", yellow[] = "\033[1;33m", cyan[] = "\033[1;36m",
                  green[] = "\033[1;32m", plain[] = "\033[0m";

static void add_colored(Buffer *out, bool color, const char *code, const char *text) {
    if (color) buffer_add(out, code);
    buffer_add(out, text);
    if (color) buffer_add(out, plain);
}

/* Signs that steer a terminal or reorder a line instead of standing on it. */
static bool is_unshowable(uint32_t sign) {
    return sign < 0x20 || (sign >= 0x7F && sign <= 0x9F) || (sign >= 0x200B && sign <= 0x200F) ||
           (sign >= 0x2028 && sign <= 0x202E) || (sign >= 0x2060 && sign <= 0x206F) || sign == 0xFEFF ||
           (sign >= 0xFFF9 && sign <= 0xFFFB);
}

/* Columns on a terminal: marks that join the letter before take none, East Asian wide ones two (the main
 * blocks of Unicode's East Asian Width property, UAX #11). */
static size_t sign_columns(uint32_t sign) {
    if ((sign >= 0x300 && sign <= 0x36F) || (sign >= 0x1AB0 && sign <= 0x1AFF) ||
        (sign >= 0x20D0 && sign <= 0x20FF) || (sign >= 0xFE00 && sign <= 0xFE0F))
        return 0;
    const bool wide = (sign >= 0x1100 && sign <= 0x115F) || (sign >= 0x2E80 && sign <= 0xA4CF) ||
                      (sign >= 0xAC00 && sign <= 0xD7A3) || (sign >= 0xF900 && sign <= 0xFAFF) ||
                      (sign >= 0xFE30 && sign <= 0xFE6F) || (sign >= 0xFF00 && sign <= 0xFF60) ||
                      (sign >= 0xFFE0 && sign <= 0xFFE6) || (sign >= 0x1F300 && sign <= 0x1F64F) ||
                      (sign >= 0x1F900 && sign <= 0x1F9FF) || (sign >= 0x20000 && sign <= 0x3FFFD);
    return wide ? 2 : 1;
}

/* Adds the next sign of a text as it can be shown; returns its bytes, and its columns in `columns`. */
static size_t add_sign(Buffer *out, const char *bytes, size_t count, size_t *columns) {
    uint32_t sign = 0;
    const size_t used = utf8_decode(bytes, count, &sign);
    *columns = 1;
    if (used > 0 && sign == '\t') {
        *columns = TAB_COLUMNS;
        buffer_format(out, "%*s", TAB_COLUMNS, "");
    } else if (used == 0 || is_unshowable(sign)) {
        buffer_add_char(out, '?');
    } else {
        *columns = sign_columns(sign);
        buffer_add_bytes(out, bytes, used);
    }
    return used > 0 ? used : 1;
}

static void add_shown(Buffer *out, const char *text) {
    const size_t count = strlen(text);
    for (size_t at = 0, columns; at < count;)
        at += add_sign(out, text + at, count - at, &columns);
}

/* Bytes of the next sign, a byte that is no UTF-8 counting as one. */
static size_t sign_bytes(const char *bytes, size_t count) {
    uint32_t sign;
    const size_t used = utf8_decode(bytes, count, &sign);
    return used > 0 ? used : 1;
}

static size_t count_signs(const char *line, size_t count) {
    size_t signs = 0;
    for (size_t at = 0; at < count; signs++)
        at += sign_bytes(line + at, count - at);
    return signs;
}

/* The part of a line to show: code points `first` up to, not including, `end`. */
typedef struct Window {
    size_t first, end;
} Window;

static Window line_window(size_t signs, size_t start, size_t stop) {
    if (signs <= LINE_COLUMNS_MOST) return (Window){0, signs};
    if (stop <= LINE_COLUMNS_MOST) return (Window){0, LINE_COLUMNS_MOST};
    const size_t wanted = start > WINDOW_BEFORE ? start - WINDOW_BEFORE : 0;
    const size_t last = signs - LINE_COLUMNS_MOST;
    const size_t first = wanted < last ? wanted : last;
    return (Window){first, first + LINE_COLUMNS_MOST};
}

/* The source line and the caret line under it. */
static void add_source_line(Buffer *out, const Source *source, Span span, bool color, const char *code) {
    size_t count;
    const char *line = source_line(source, span.line, &count);
    const char *number = arena_format(out->arena, "%zu", (size_t)span.line);
    const int width = strlen(number) > GUTTER_LEAST ? (int)strlen(number) : GUTTER_LEAST;
    const size_t start = span.column - 1, stop = start + (span.length > 0 ? span.length : 1);
    const size_t signs = count_signs(line, count);
    const Window window = line_window(signs, start, stop);
    size_t before = 0, under = 0; /* columns left of the caret, and under the span */
    buffer_format(out, "%*s | ", width, number);
    size_t at = 0, sign = 0;
    for (; sign < window.first; sign++)
        at += sign_bytes(line + at, count - at);
    if (window.first > 0) {
        buffer_add(out, "...");
        before = 3;
    }
    for (; sign < window.end; sign++) {
        size_t columns;
        at += add_sign(out, line + at, count - at, &columns);
        if (sign < start)
            before += columns;
        else if (sign < stop)
            under += columns;
    }
    buffer_format(out, "%s\n%*s | %*s", window.end < signs ? "..." : "", width, "", (int)before, "");
    if (color) buffer_add(out, code);
    buffer_add_char(out, '^');
    for (size_t i = 1; i < under && span.length > 0; i++)
        buffer_add_char(out, '~');
    buffer_format(out, "%s\n", color ? plain : "");
}

static const char *file_path(const Sources *sources, uint32_t file) {
    return file < sources->count ? sources->items[file].path : "?";
}

/* `FILE:LINE:COLUMN: `, or as much of it as there is. */
static void add_place_words(Buffer *out, const char *path, Span span, bool color) {
    if (color) buffer_add(out, bold);
    add_shown(out, path);
    if (!span_is_none(span)) buffer_format(out, ":%zu:%zu", (size_t)span.line, (size_t)span.column);
    buffer_format(out, ":%s ", color ? plain : "");
}

static void add_indented(Buffer *out, bool color, const char *code, const char *label, const char *text) {
    buffer_add(out, "  ");
    add_colored(out, color, code, label);
    buffer_add_char(out, ' ');
    add_shown(out, text);
    buffer_add_char(out, '\n');
}

static void add_note(Buffer *out, const DiagnosticNote *note, const Sources *sources, bool color) {
    if (span_is_none(note->span)) {
        add_indented(out, color, cyan, "note:", note->text);
        return;
    }
    add_place_words(out, file_path(sources, note->span.file), note->span, color);
    add_colored(out, color, cyan, "note:");
    buffer_add_char(out, ' ');
    add_shown(out, note->text);
    buffer_add_char(out, '\n');
    if (note->span.file < sources->count)
        add_source_line(out, &sources->items[note->span.file], note->span, color, cyan);
}

/* The note about the same fault elsewhere in the file, or NULL. */
static const char *repeats_text(Arena *arena, const Diagnostic *diagnostic) {
    if (diagnostic->repeats == 0) return NULL;
    const size_t line = diagnostic->first_repeat.line, column = diagnostic->first_repeat.column;
    return diagnostic->repeats == 1 ? arena_format(arena, "and once more, at %zu:%zu", line, column)
                                    : arena_format(arena, "and %zu times more, first at %zu:%zu",
                                                   diagnostic->repeats, line, column);
}

static void add_diagnostic(Buffer *out, const Diagnostic *diagnostic, const Sources *sources, bool color) {
    const bool error = diagnostic->severity == SEVERITY_ERROR;
    const char *code = error ? red : yellow;
    const Span span = diagnostic->span;
    if (diagnostic->path)
        add_place_words(out, diagnostic->path, (Span){0}, color);
    else
        add_place_words(out, file_path(sources, span.file), span, color);
    add_colored(out, color, code, error ? "error:" : "warning:");
    buffer_add_char(out, ' ');
    add_shown(out, diagnostic->message);
    buffer_add_char(out, '\n');
    if (!diagnostic->path && !span_is_none(span) && span.file < sources->count)
        add_source_line(out, &sources->items[span.file], span, color, code);
    for (size_t i = 0; i < diagnostic->notes.count; i++)
        add_note(out, &diagnostic->notes.items[i], sources, color);
    const char *repeats = repeats_text(out->arena, diagnostic);
    if (repeats) add_indented(out, color, cyan, "note:", repeats);
    if (diagnostic->help) add_indented(out, color, green, "help:", diagnostic->help);
}

void diagnostics_to_text(Buffer *out, const Diagnostics *list, const Sources *sources,
                         DiagnosticStyle style) {
    const size_t count = list->items.count;
    const size_t most_a_run = style.most_a_run > 0 ? style.most_a_run : SIZE_MAX;
    const size_t most_a_file = style.most_a_file > 0 ? style.most_a_file : SIZE_MAX;
    size_t shown = 0, past_run = 0;
    for (size_t i = 0, end; i < count; i = end) {
        const uint32_t file = list->items.items[i]->span.file;
        for (end = i; end < count && list->items.items[end]->span.file == file;)
            end++;
        const size_t of_file = end - i < most_a_file ? end - i : most_a_file;
        const size_t show = of_file < most_a_run - shown ? of_file : most_a_run - shown;
        for (size_t j = 0; j < show; j++)
            add_diagnostic(out, list->items.items[i + j], sources, style.color);
        shown += show;
        if (show < of_file) {
            past_run += end - i - show;
        } else if (show < end - i) {
            add_shown(out, file_path(sources, file));
            buffer_format(out, ": and %zu more (see --errors=json)\n", end - i - show);
        }
    }
    if (past_run > 0) buffer_format(out, "and %zu more (see --errors=json)\n", past_run);
}

/* ---- As JSON (RFC 8259) */

static void add_json_sign(Buffer *out, uint32_t sign, const char *bytes, size_t count) {
    if (sign == '"' || sign == '\\')
        buffer_format(out, "\\%c", (char)sign);
    else if (sign == '\n')
        buffer_add(out, "\\n");
    else if (sign == '\t')
        buffer_add(out, "\\t");
    else if (sign < 0x20 || sign == 0x7F || sign == 0x2028 || sign == 0x2029)
        buffer_format(out, "\\u%04x", (unsigned)sign);
    else
        buffer_add_bytes(out, bytes, count);
}

static void add_json_text(Buffer *out, const char *text) {
    const size_t count = strlen(text);
    buffer_add_char(out, '"');
    for (size_t at = 0; at < count;) {
        uint32_t sign;
        const size_t used = utf8_decode(text + at, count - at, &sign);
        if (used > 0)
            add_json_sign(out, sign, text + at, used);
        else
            buffer_add(out, "\xEF\xBF\xBD"); /* U+FFFD: JSON has no way to hold other bytes */
        at += used > 0 ? used : 1;
    }
    buffer_add_char(out, '"');
}

static void add_json_place(Buffer *out, const char *path, Span span) {
    buffer_add(out, "\"file\": ");
    add_json_text(out, path);
    if (!span_is_none(span))
        buffer_format(out, ", \"line\": %zu, \"column\": %zu, \"length\": %zu", (size_t)span.line,
                      (size_t)span.column, (size_t)span.length);
    buffer_add(out, ", ");
}

static void add_json_message(Buffer *out, const char *text) {
    buffer_add(out, "\"message\": ");
    add_json_text(out, text);
}

static void add_json_notes(Buffer *out, const Diagnostic *diagnostic, const Sources *sources) {
    buffer_add(out, ", \"notes\": [");
    for (size_t i = 0; i < diagnostic->notes.count; i++) {
        const DiagnosticNote *note = &diagnostic->notes.items[i];
        buffer_add(out, i > 0 ? ", {" : "{");
        if (!span_is_none(note->span)) add_json_place(out, file_path(sources, note->span.file), note->span);
        add_json_message(out, note->text);
        buffer_add_char(out, '}');
    }
    const char *repeats = repeats_text(out->arena, diagnostic);
    if (repeats) {
        buffer_add(out, diagnostic->notes.count > 0 ? ", {" : "{");
        add_json_message(out, repeats);
        buffer_add_char(out, '}');
    }
    buffer_add_char(out, ']');
}

static void add_json_diagnostic(Buffer *out, const Diagnostic *diagnostic, const Sources *sources) {
    buffer_format(out, "{\"severity\": \"%s\", ",
                  diagnostic->severity == SEVERITY_ERROR ? "error" : "warning");
    if (diagnostic->word) {
        buffer_add(out, "\"word\": ");
        add_json_text(out, diagnostic->word);
        buffer_add(out, ", ");
    }
    if (diagnostic->path)
        add_json_place(out, diagnostic->path, (Span){0});
    else
        add_json_place(out, file_path(sources, diagnostic->span.file), diagnostic->span);
    add_json_message(out, diagnostic->message);
    add_json_notes(out, diagnostic, sources);
    if (diagnostic->help) {
        buffer_add(out, ", \"help\": ");
        add_json_text(out, diagnostic->help);
    }
    buffer_add_char(out, '}');
}

void diagnostics_to_json(Buffer *out, const Diagnostics *list, const Sources *sources) {
    buffer_add_char(out, '[');
    for (size_t i = 0; i < list->items.count; i++) {
        buffer_add(out, i > 0 ? ",\n " : "\n ");
        add_json_diagnostic(out, list->items.items[i], sources);
    }
    buffer_add(out, list->items.count > 0 ? "\n]\n" : "]\n");
}
