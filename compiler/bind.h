/* Binding: names into indices, texts into formulas. Inside the stage tree_to_scene.h only; its parts are
 * bind.c (slots, names, references), bind_book.c, bind_things.c and bind_shots.c. */
#ifndef GROUNDROW_BIND_H
#define GROUNDROW_BIND_H

#include "base/diagnostic.h"
#include "plan/scene.h"
#include "tree.h"
#include "vocabulary.h"

/* A quantity whose text is read once every name is known. */
typedef struct Pending {
    const Tree *value;
    QuantitySlot wants;
    int slots[3];
    int count;         /* slots wanted: 1, or 2 for ranges and sizes */
    const char *where; /* `height` of the camera */
    int shot;          /* whose words its names are looked up in first; -1: the set's */
} Pending;

typedef struct Named {
    const char *name;
    const char *what; /* puppet of the book, piece, flat, stock ... */
    NameKind kind;
    Span span;
    int shot;  /* -1: the set's or the book's */
    int thing; /* index, or -1 */
    int cast;  /* index, or -1 */
} Named;

typedef struct PathKey { /* open addressing over `shot` and path */
    const char *path;
    int shot, slot;
} PathKey;

typedef struct AtopName { /* names of things, looked up once all are there */
    int thing;
    const Tree *value;
    int shot;
} AtopName;

typedef struct Binder {
    Arena *arena;
    Diagnostics *diagnostics;
    Scene *scene;
    LIST(Slot) slots;
    LIST(Thing) things;
    LIST(Shot) shots;
    LIST(CastMember) cast;
    LIST(Body) bodies;
    LIST(LensKind) lenses;
    LIST(Stock) stocks;
    LIST(Accept) accepts;
    LIST(WantedFile) wanted;
    LIST(Named) names;
    LIST(Pending) pending;
    LIST(AtopName) atops;
    PathKey *keys;
    size_t key_count, key_capacity;
    const Tree *book;
    const char *path[8]; /* words on the way to where we are, for phrases */
    size_t depth;
    bool drawing_in_pixels; /* of the shot that is being bound */
    int current_shot;       /* -1: of the set */
} Binder;

/* --- slots (bind.c) --- */
/* A new slot, unstated, which references find under `path` (a shot's own, or -1). */
int bind_slot(Binder *b, int shot, const char *path, QuantityKind kind, bool on_drawing);
void bind_key(Binder *b, int shot, const char *path, int slot);
/* Slot of a path as seen from a shot: its own, the set's, the first shot's; -1. */
int bind_find(const Binder *b, int shot, const char *path);
/* A slot for a word of a section, and its text put aside where `table` has it. */
int bind_word(Binder *b, SectionId section, const Tree *table, const char *word, const char *owner);
/* Puts a text aside for one or more slots. */
void bind_later(Binder *b, const Tree *value, QuantitySlot wants, const int *slots, int count);
/* As stated, whatever becomes of its text. */
void bind_state(Binder *b, int slot, const Tree *value, Span word_span);
/* Reads everything that was put aside. */
void bind_pending(Binder *b);

/* --- names (bind.c) --- */
/* Whether the name may be used, and is new in its shot; says why not. `what` is `piece`, `puppet` ... */
bool bind_name(Binder *b, const TreeEntry *entry, const char *what, NameKind kind, int shot, int thing,
               int cast);
const Named *bind_named(const Binder *b, int shot, const char *name);
/* A text with its place: value of `word` in `table`, or NULL (also where it is no text). */
const Tree *bind_text(const Tree *table, const char *word);
/* Index of a choice; -1 with a fault; `fallback` where it is not stated. */
int bind_choice(Binder *b, const Tree *table, const char *word, ChoiceId choice, int fallback);
/* The phrase of where we are and a word: "`held` of the camera". */
const char *bind_where(const Binder *b, const char *word);
void bind_enter(Binder *b, const char *word);
void bind_leave(Binder *b);

/* --- parts --- */
void bind_book(Binder *b, const Tree *book);
int bind_stock_name(Binder *b, const Tree *table, Span *span); /* bind_book.c */
int bind_body_name(Binder *b, const Tree *table, Span *span);
int bind_cast_name(Binder *b, const char *name);

void bind_level_things(Binder *b, const Tree *scene);   /* ground, base: bind_things.c */
void bind_set_entry(Binder *b, const TreeEntry *entry); /* pieces, flats, backdrop, puppets */
int bind_lead_puppet(Binder *b, const Tree *mark, int shot);
void bind_mark_words(Binder *b, int thing, const Tree *mark); /* drawn, turn, atop of the leading thing */
void bind_atops(Binder *b);
int bind_wanted(Binder *b, const Tree *value, bool optional, const char *path);

void bind_shot(Binder *b, const Tree *words, const TreeEntry *name, int index, bool only); /* bind_shots.c */
void bind_accepts(Binder *b, const Tree *list);
void bind_shot_names(Binder *b, const Tree *words, int index); /* what names things: lead piece, focus */

#endif
