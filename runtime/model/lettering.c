#include "model/lettering.h"

#include "base/text.h"
#include "model/latin.h"
#include "optics/space.h"

#include <math.h>
#include <string.h>

/* The alphabet stands on a grid: capitals are 12 high, small letters 8, tails go 4 down. */
static const double CAPITAL = 12, GAP = 2.8, BLANK = 5, HALF_STROKE = 0.85;

/* Strokes are parted by blanks; each is pairs of a column (`0` is 0, `9` is 9, `:` 10, `;` 11, `<` 12) and a
 * line
 * (`a` is -4, `e` the base line, `m` 8, `q` 12). `~` before a stroke rounds its corners; one that ends where
 * it begins is closed. */
typedef struct Glyph {
    char sign;
    signed char wide;
    const char *strokes;
} Glyph;

static const Glyph glyphs[] = {
    {'A', 8, "0e4q8e 1i7i"},
    {'B', 7, "0e0q ~0q6q6k0k ~0k7k7e0e"},
    {'C', 8, "~8n8q0q0e8e8h"},
    {'D', 8, "0e0q ~0q8q8e0e"},
    {'E', 7, "7q0q0e7e 0k5k"},
    {'F', 7, "7q0q0e 0k5k"},
    {'G', 8, "~8n8q0q0e8e8j 5j8j"},
    {'H', 8, "0e0q 8e8q 0k8k"},
    {'I', 2, "1e1q"},
    {'J', 6, "~6q6e0e0h"},
    {'K', 7, "0e0q 7q0i 2k7e"},
    {'L', 6, "0q0e6e"},
    {'M', 10, "0e0q5g:q:e"},
    {'N', 8, "0e0q8e8q"},
    {'O', 9, "~0e9e9q0q0e"},
    {'P', 7, "0e0q ~0q7q7j0j"},
    {'Q', 9, "~0e9e9q0q0e 5i9d"},
    {'R', 7, "0e0q ~0q7q7j0j 3j7e"},
    {'S', 7, "~7n7q0q0k7k7e0e0h"},
    {'T', 8, "0q8q 4q4e"},
    {'U', 8, "~0q0e8e8q"},
    {'V', 8, "0q4e8q"},
    {'W', 12, "0q3e6o9e<q"},
    {'X', 8, "0e8q 0q8e"},
    {'Y', 8, "0q4k8q 4k4e"},
    {'Z', 8, "0q8q0e8e"},
    {'a', 6, "~6m0m0e6e 6m6e"},
    {'b', 6, "0q0e ~0m6m6e0e"},
    {'c', 6, "~6k6m0m0e6e6g"},
    {'d', 6, "6q6e ~6m0m0e6e"},
    {'e', 6, "0i6i ~6i6m0m0e6e6g"},
    {'f', 4, "~5q1q1e 0m4m"},
    {'g', 6, "~6m0m0e6e ~6m6a0a0c"},
    {'h', 6, "0q0e ~0m6m6e"},
    {'i', 2, "1m1e 1o1p"},
    {'j', 3, "~2m2a0a 2o2p"},
    {'k', 6, "0q0e 6m0h 2i6e"},
    {'l', 3, "~1q1e3e"},
    {'m', 10, "0m0e ~0m5m5e ~4m:m:e"},
    {'n', 6, "0m0e ~0m6m6e"},
    {'o', 7, "~0e7e7m0m0e"},
    {'p', 6, "0m0a ~0m6m6e0e"},
    {'q', 6, "6m6a ~6m0m0e6e"},
    {'r', 4, "0m0e ~0i0m4m"},
    {'s', 6, "~6k6m0m0i6i6e0e0g"},
    {'t', 4, "~1q1e4e 0m4m"},
    {'u', 6, "~0m0e6e 6m6e"},
    {'v', 6, "0m3e6m"},
    {'w', 8, "0m2e4l6e8m"},
    {'x', 6, "0e6m 0m6e"},
    {'y', 6, "0m3e 6m2a"},
    {'z', 6, "0m6m0e6e"},
    {'0', 7, "~0e7e7q0q0e"},
    {'1', 4, "0n3q3e"},
    {'2', 7, "~0n0q7q7l0e 0e7e"},
    {'3', 7, "~0o0q7q7k2k ~2k7k7e0e0g"},
    {'4', 8, "5e5q 5q0h 0h8h"},
    {'5', 7, "7q1q 1q1k ~1k7l7e0e0g"},
    {'6', 7, "~7o7q0q0e7e7k0k"},
    {'7', 7, "0q7q 7q2e"},
    {'8', 7, "~1k6k6q1q1k ~0e7e7k0k0e"},
    {'9', 7, "~0g0e7e7q0q0j7j"},
    {'\'', 2, "1n1q"},
    {'"', 4, "0n0q 3n3q"},
    {'/', 6, "0d6q"},
    {'.', 2, "1e1f"},
    {',', 2, "1f0c"},
    {':', 2, "1e1f 1k1l"},
    {';', 2, "1f0c 1k1l"},
    {'-', 5, "0j5j"},
    {'_', 6, "0d6d"},
    {'+', 6, "0j6j 3m3g"},
    {'=', 6, "0l6l 0h6h"},
    {'(', 3, "~3q0q0c3c"},
    {')', 3, "~0q3q3c0c"},
    {'!', 2, "1i1q 1e1f"},
    {'?', 6, "~0n0q6q6k3k3i 3e3f"},
    {'%', 9, "0e9q ~0m3m3q0q0m ~6e9e9i6i6e"},
    {'&', 8, "~8e0l0q6q6l0k0e6e8j"},
    {'#', 8, "1e3q 5e7q 0i8i 0m8m"},
    {'*', 6, "3j3q 0l6o 6l0o"},
};

/* Marks over and through letters, about the middle of the letter, on lines counted from the top of the
 * letter: there `e` is the top of a small letter or capital, and column `4` the middle. */
static const char *const marks[MARK_COUNT] = {[MARK_GRAVE] = "3i5g",
                                              [MARK_ACUTE] = "5i3g",
                                              [MARK_CIRCUMFLEX] = "2g4i6g",
                                              [MARK_TILDE] = "~1g3i5g7i",
                                              [MARK_DIAERESIS] = "2g2h 6g6h",
                                              [MARK_RING] = "~3g5g5i3i3g",
                                              [MARK_CARON] = "2i4g6i",
                                              [MARK_MACRON] = "2h6h",
                                              [MARK_BREVE] = "~2i2g6g6i",
                                              [MARK_DOT] = "4g4h",
                                              [MARK_DOUBLE_ACUTE] = "3i2g 6i5g"};

/* ---- strokes */

enum { STROKE_MOST = 64 };

typedef struct Place {
    double x, y;
} Place;

/* What is being lettered: a mesh, a line, and how far along it the current letter begins. */
typedef struct Pen {
    Mesh *mesh;
    const Baseline *line;
    Point3 facing;
    double unit_mm, x, y;
} Pen;

static Point3 on_line(const Pen *pen, Place at) {
    const Point3 across = point_toward(pen->line->at, pen->line->along, (pen->x + at.x) * pen->unit_mm);
    return point_toward(across, pen->line->up, (pen->y + at.y) * pen->unit_mm);
}

static Place direction(Place from, Place to) {
    const double length = hypot(to.x - from.x, to.y - from.y);
    return (Place){(to.x - from.x) / length, (to.y - from.y) / length};
}

/* Both edges of the ribbon at a point, where its way turns from `in` to `out`: the mitre. */
static void add_edges(Pen *pen, Place at, Place in, Place out) {
    const Place middle = {-(in.y + out.y), in.x + out.x};
    const double length = hypot(middle.x, middle.y), cosine = length / 2;
    const double reach = HALF_STROKE / (cosine * length);
    const Place aside = {middle.x * reach, middle.y * reach};
    mesh_vertex(pen->mesh, on_line(pen, (Place){at.x + aside.x, at.y + aside.y}), pen->facing);
    mesh_vertex(pen->mesh, on_line(pen, (Place){at.x - aside.x, at.y - aside.y}), pen->facing);
}

static void add_links(Pen *pen, uint32_t first, size_t count) {
    for (uint32_t i = 0; i + 1 < count; i++) {
        const uint32_t left = first + 2 * i;
        mesh_triangle(pen->mesh, left, left + 1, left + 3);
        mesh_triangle(pen->mesh, left, left + 3, left + 2);
    }
}

/* Open: square ends half a stroke past its points. */
static void add_open_ribbon(Pen *pen, const Place *points, size_t count) {
    const uint32_t first = (uint32_t)pen->mesh->vertices.count;
    for (size_t i = 0; i < count; i++) {
        const Place in = direction(points[i > 0 ? i - 1 : 0], points[i > 0 ? i : 1]);
        const Place out = i + 1 < count ? direction(points[i], points[i + 1]) : in;
        const double past = i == 0 ? -HALF_STROKE : i + 1 == count ? HALF_STROKE : 0;
        add_edges(pen, (Place){points[i].x + past * in.x, points[i].y + past * in.y}, in, out);
    }
    add_links(pen, first, count);
}

/* Closed: the last point is the first. */
static void add_closed_ribbon(Pen *pen, const Place *points, size_t count) {
    const uint32_t first = (uint32_t)pen->mesh->vertices.count;
    for (size_t i = 0; i < count; i++) {
        const Place in = direction(points[i > 0 ? i - 1 : count - 2], points[i > 0 ? i : count - 1]);
        const Place out =
            i + 1 < count ? direction(points[i], points[i + 1]) : direction(points[0], points[1]);
        add_edges(pen, points[i], in, out);
    }
    add_links(pen, first, count);
}

/* Corners sharper than this are no mitre but two strokes that overlap. */
static const double SHARPEST = -0.2; /* cosine between the ways in and out */

static void add_stroke(Pen *pen, const Place *points, size_t count, bool closed) {
    if (closed) {
        add_closed_ribbon(pen, points, count);
        return;
    }
    size_t begin = 0;
    for (size_t i = 1; i < count; i++) {
        if (i + 1 < count) {
            const Place in = direction(points[i - 1], points[i]), out = direction(points[i], points[i + 1]);
            if (in.x * out.x + in.y * out.y > SHARPEST) continue;
        }
        add_open_ribbon(pen, points + begin, i - begin + 1);
        begin = i;
    }
}

/* Cuts every corner at a quarter of its two sides (after G. Chaikin, 1974); the ends of an open stroke stay.
 */
static size_t cut_corners(Place *points, size_t count, bool closed) {
    Place cut[STROKE_MOST];
    size_t made = 0;
    if (!closed) cut[made++] = points[0];
    for (size_t i = 0; i + 1 < count && made + 3 < STROKE_MOST; i++) {
        const Place a = points[i], b = points[i + 1];
        if (closed || i > 0) cut[made++] = (Place){a.x + (b.x - a.x) / 4, a.y + (b.y - a.y) / 4};
        if (closed || i + 2 < count) cut[made++] = (Place){b.x + (a.x - b.x) / 4, b.y + (a.y - b.y) / 4};
    }
    cut[made++] = closed ? cut[0] : points[count - 1];
    memcpy(points, cut, made * sizeof *cut);
    return made;
}

static const char *next_stroke(const char *strokes, Place *points, size_t *count, bool *round) {
    while (*strokes == ' ')
        strokes++;
    *round = *strokes == '~';
    if (*round) strokes++;
    for (*count = 0; *strokes && *strokes != ' '; strokes += 2)
        points[(*count)++] = (Place){strokes[0] - '0', strokes[1] - 'e'};
    return strokes;
}

static void add_strokes(Pen *pen, const char *strokes) {
    while (*strokes) {
        Place points[STROKE_MOST];
        size_t count;
        bool round;
        strokes = next_stroke(strokes, points, &count, &round);
        const bool closed =
            count > 2 && points[0].x == points[count - 1].x && points[0].y == points[count - 1].y;
        for (int i = 0; round && i < 2; i++)
            count = cut_corners(points, count, closed);
        add_stroke(pen, points, count, closed);
    }
}

/* ---- letters */

static const Glyph *glyph_of(char sign) {
    static const Glyph box = {0, 7, "0e7e7q0q0e"};
    for (size_t i = 0; i < sizeof glyphs / sizeof *glyphs; i++) {
        if (glyphs[i].sign == sign) return &glyphs[i];
    }
    return &box;
}

static void add_mark(Pen *pen, const Glyph *glyph, LatinMark mark) {
    static const char *const below[MARK_COUNT] = {
        [MARK_CEDILLA] = "~4d5b3b", [MARK_OGONEK] = "~4e3b5b", [MARK_STROKE] = "1g7k"};
    const Pen letter = *pen;
    const bool small = glyph->sign >= 'a' && glyph->sign <= 'z';
    const bool tall = !small || strchr("bdfhklt", glyph->sign);
    pen->x += glyph->wide / 2.0 - 4;
    if (marks[mark]) pen->y += tall ? 12 : 8;
    add_strokes(pen, marks[mark] ? marks[mark] : below[mark]);
    *pen = letter;
}

/* The dot of i and j makes room for a mark. */
static const char *strokes_under(const Glyph *glyph, LatinMark mark) {
    if (mark == MARK_NONE || mark >= MARK_CEDILLA) return glyph->strokes;
    return glyph->sign == 'i' ? "1m1e" : glyph->sign == 'j' ? "~2m2a0a" : glyph->strokes;
}

/* Goes along a line; letters it when there is a mesh. */
static void letter_line(Pen *pen, const char *text) {
    const size_t count = strlen(text);
    for (size_t at = 0; at < count;) {
        uint32_t sign = 0;
        LatinMark mark;
        char under[3];
        const size_t used = utf8_decode(text + at, count - at, &sign);
        at += used > 0 ? used : 1;
        const char *base = used > 0 ? latin_base(sign, &mark, under) : "";
        if (sign == ' ') {
            pen->x += BLANK;
            continue;
        }
        do {
            const Glyph *glyph = glyph_of(*base);
            if (pen->mesh) add_strokes(pen, strokes_under(glyph, mark));
            if (pen->mesh && *base && mark != MARK_NONE) add_mark(pen, glyph, mark);
            pen->x += glyph->wide + GAP;
        } while (*base && *++base);
    }
}

double lettering_width(const char *text) {
    Pen pen = {0};
    letter_line(&pen, text);
    return fmax(0, pen.x - GAP) / CAPITAL;
}

void lettering_add(Mesh *mesh, const char *text, const Baseline *line, double height_mm) {
    Pen pen = {.mesh = mesh,
               .line = line,
               .facing = point_cross(line->along, line->up),
               .unit_mm = height_mm / CAPITAL};
    letter_line(&pen, text);
}
