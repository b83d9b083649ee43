#include "plan/stiffness.h"

#include "base/number.h"
#include "plan/parts.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

double sag_mm(double load_n_mm2, double span_mm, double stiffness_n_mm2, double inertia_mm3, double k) {
    return load_n_mm2 * pow(span_mm, 4) / (k * stiffness_n_mm2 * inertia_mm3);
}

/* Between the rows of the table as a power of the thickness; past them as its cube. */
double plywood_inertia_mm3(double thick_mm) {
    static const struct {
        double thick_in, inertia_in4_ft;
    } rows[] = {{15.0 / 32, 0.018}, {0.5, 0.024},       {19.0 / 32, 0.029},
                {5.0 / 8, 0.038},   {23.0 / 32, 0.072}, {0.75, 0.092},
                {7.0 / 8, 0.151},   {1, 0.270},         {1.125, 0.398}};
    enum { ROWS = sizeof rows / sizeof *rows };
    const double in4_ft_mm3 = pow(MM_PER_INCH, 4) / (12 * MM_PER_INCH), thick = thick_mm / MM_PER_INCH;
    if (thick <= rows[0].thick_in)
        return rows[0].inertia_in4_ft * pow(thick / rows[0].thick_in, 3) * in4_ft_mm3;
    for (int i = 1; i < ROWS; i++) {
        if (thick > rows[i].thick_in) continue;
        const double power = log(rows[i].inertia_in4_ft / rows[i - 1].inertia_in4_ft) /
                             log(rows[i].thick_in / rows[i - 1].thick_in);
        return rows[i - 1].inertia_in4_ft * pow(thick / rows[i - 1].thick_in, power) * in4_ft_mm3;
    }
    return rows[ROWS - 1].inertia_in4_ft * pow(thick / rows[ROWS - 1].thick_in, 3) * in4_ft_mm3;
}

double plain_inertia_mm3(double thick_mm) {
    return pow(thick_mm, 3) / 12;
}

double bead_foam_n_mm2(double density_kg_m3) {
    static const struct {
        double density_kg_m3, kpa_at_1_percent;
    } types[] = {{11.2, 15}, {14.4, 25}, {18.4, 40}, {21.6, 50}, {28.8, 75}, {38.4, 103}};
    double kpa = types[0].kpa_at_1_percent;
    for (size_t i = 1; i < sizeof types / sizeof *types; i++)
        if (density_kg_m3 >= types[i].density_kg_m3) kpa = types[i].kpa_at_1_percent;
    return kpa * 1e-3 / 0.01;
}

/* --- what a stock says of its kind */

/* The weaker way where there are two, the least where a range is published. */
typedef enum BoardKind { BOARD_PLYWOOD, BOARD_PLAIN, BOARD_FOAM, BOARD_NOT_KNOWN } BoardKind;

static const struct {
    const char *words; /* between blanks */
    BoardKind kind;
    double n_mm2;
    const char *name;
} boards[] = {
    {" foamboard foamcore cardboard paper ", BOARD_NOT_KNOWN, NAN,
     "paper-faced foam"}, /* and a `foam` that is a `board` */
    {" ply plywood ", BOARD_PLYWOOD, 0, "plywood, across its face grain"},
    {" mdf ", BOARD_PLAIN, 3590, "MDF"},
    {" chipboard particleboard particle ", BOARD_PLAIN, 2760, "particle board"},
    {" osb ", BOARD_PLAIN, 1920, "strand board, across its strands"},
    {" hardboard ", BOARD_PLAIN, 3100, "hardboard"},
    {" softwood pine spruce fir deal ", BOARD_PLAIN, 10070, "softwood boards, along their grain"},
    {" foam polystyrene eps xps ", BOARD_FOAM, 0, "bead foam"},
};
enum { BOARDS = sizeof boards / sizeof *boards, WORD_MOST = 24 };

/* Whether a word of `text`, in letters of any size, is one of `words`. */
static bool has_word(const char *text, const char *words) {
    for (size_t at = 0; text && text[at];) {
        char word[WORD_MOST + 3] = " ";
        size_t length = 1;
        for (; isalpha((unsigned char)text[at]); at++)
            if (length <= WORD_MOST) word[length++] = (char)tolower((unsigned char)text[at]);
        word[length++] = ' ';
        word[length] = '\0';
        if (length > 2 && strstr(words, word)) return true;
        if (text[at]) at++;
    }
    return false;
}

static bool says(const Stock *stock, const char *words) {
    return has_word(stock->kind, words) || has_word(stock->name, words);
}

/* `board` alone says nothing; `foam board` and `foam core` are what they say. */
static int board_of(const Stock *stock) {
    if (says(stock, " foam ") && says(stock, " board core ")) return 0;
    for (int i = 0; i < BOARDS; i++) {
        if (says(stock, boards[i].words)) return i;
    }
    return -1;
}

/* --- the base */

static double stated(const Plan *plan, int slot) {
    return plan->scene->slots[slot].stated && plan->known[slot] ? plan->values[slot] : NAN;
}

static double density_of(const Plan *plan, const Stock *stock) {
    const double density = stated(plan, stock->density);
    const double by_area = stated(plan, stock->area_weight) / stated(plan, stock->thick) * 1e3;
    return isnan(density) ? (isnan(by_area) ? 0 : by_area) : density;
}

/* A layer of the base: what it is cut from, or NULL. */
typedef struct Layer {
    const Stock *stock;
    double thick_mm, up_mm;
} Layer;
typedef LIST(Layer) Layers;

static double ei_of(const Plan *plan, const Layer *layer) {
    const Stock *stock = layer->stock;
    const int board = stock ? board_of(stock) : -1;
    const double modulus = stock ? stated(plan, stock->modulus) : NAN;
    if (!isnan(modulus)) return modulus * plain_inertia_mm3(layer->thick_mm);
    if (board < 0 || boards[board].kind == BOARD_PLYWOOD)
        return PLYWOOD_N_MM2 * plywood_inertia_mm3(layer->thick_mm);
    if (boards[board].kind == BOARD_FOAM)
        return bead_foam_n_mm2(density_of(plan, stock)) * plain_inertia_mm3(layer->thick_mm);
    return boards[board].n_mm2 * plain_inertia_mm3(layer->thick_mm);
}

static const char *name_of(Arena *arena, const Plan *plan, const Layer *layer, bool *guessed) {
    const int board = layer->stock ? board_of(layer->stock) : -1;
    if (layer->stock && !isnan(stated(plan, layer->stock->modulus)))
        return arena_format(arena, "%s of the modulus that is stated", layer->stock->name);
    *guessed |= board < 0;
    return board < 0 ? boards[1].name : boards[board].name;
}

/* As they are cut (rules 80 and 87); one, where nothing is. */
static Layers layers_of(Arena *arena, const Plan *plan) {
    const int stock = plan->things[plan->base].thing->stock;
    Layers layers = {0};
    for (size_t i = 0; plan->parts && i < plan->parts->items.count; i++) {
        const Part *part = &plan->parts->items.items[i];
        bool known = part->thing != plan->base;
        for (size_t k = 0; k < layers.count && !known; k++)
            known = fabs(layers.items[k].up_mm - part->at_up_mm) < 1e-6;
        if (!known)
            LIST_PUSH(arena, layers,
                      (Layer){&plan->scene->stocks[part->stock], part->finished_thick_mm, part->at_up_mm});
    }
    if (layers.count == 0)
        LIST_PUSH(arena, layers,
                  (Layer){stock >= 0 ? &plan->scene->stocks[stock] : NULL, plan->base_thick_mm, 0});
    return layers;
}

BoardStiffness base_stiffness(Arena *arena, const Plan *plan) {
    const Layers layers = layers_of(arena, plan);
    BoardStiffness of = {.layers = (int)layers.count};
    Buffer names = buffer_new(arena);
    for (size_t i = 0; i < layers.count; i++) {
        bool named = false;
        for (size_t k = 0; k < i && !named; k++)
            named = layers.items[k].stock == layers.items[i].stock;
        of.ei_n_mm += ei_of(plan, &layers.items[i]);
        if (!named)
            buffer_format(&names, "%s%s", i > 0 ? " and " : "",
                          name_of(arena, plan, &layers.items[i], &of.guessed));
    }
    of.name = buffer_text(&names);
    return of;
}
