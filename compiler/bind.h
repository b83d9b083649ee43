/* Binding: names into indices, texts into formulas. Inside the stage tree_to_scene.h only; its parts are
 * bind.c (slots, quantities put aside), bind_names.c (names and what quantities read of them), bind_book.c,
 * bind_things.c (ground, base, backdrop), bind_puppets.c, bind_pieces.c (and flats), bind_shots.c,
 * bind_camera.c, bind_sharp.c, bind_lamps.c (and circuits) and bind_photos.c (and what was built). */
#ifndef GROUNDROW_BIND_H
#define GROUNDROW_BIND_H

#include "base/diagnostic.h"
#include "plan/scene.h"
#include "tree.h"
#include "vocabulary.h"

/* Whose a path or a name is: a shot's (its index), or one of these. The last ones are no scopes of paths but
 * indices by name. */
enum {
    SCOPE_SET = -1,
    SCOPE_BOOK = -2, /* what the set has of the same name hides it */
    INDEX_NAMES = -3,
    INDEX_PIECES = -4, /* of the scene */
    INDEX_FLATS = -5,
    INDEX_BOOK_PIECES = -6,
    INDEX_BOOK_FLATS = -7
};

/* A quantity whose text is read once every name is known. */
typedef struct Pending {
    const Tree *value;
    QuantitySlot wants;
    int slots[3];
    int count;         /* slots wanted: 1, or 2 for ranges and sizes */
    const char *where; /* `height` of the camera */
    int shot;          /* whose words its names are looked up in first, or SCOPE_SET */
    bool quiet;        /* its faults are said where the text belongs */
    bool no_drawing;   /* there is no drawing that it could be measured on */
} Pending;

typedef struct Named {
    const char *name;
    const char *what; /* piece, flat, stock ... */
    bool of_book;
    bool faulty; /* what it names could not be bound and that was said: whatever hangs on it is silent */
    Span span;
    int shot;  /* or SCOPE_SET */
    int thing; /* index, or -1 */
    int cast;  /* puppets: index, else -1 */
    int next;  /* another one of this name, or -1 */
} Named;

typedef struct PathKey { /* open addressing over scope and path */
    const char *path;
    int scope, value;
} PathKey;

typedef struct AtopName { /* names of things, looked up once all are there */
    int thing;
    const Tree *value;
    const char *where;
    int shot;
    bool quiet;
} AtopName;

/* A table as the maker wrote it, to tell its own words from those that were laid under them. */
typedef struct OwnTable {
    const Tree *table; /* NULL: everything is its own */
    size_t depth;      /* of the path at which it begins */
} OwnTable;

enum { PATH_MOST = 8 };

typedef struct Binder {
    Arena *arena;
    Diagnostics *diagnostics; /* of what does not stand in the book */
    Diagnostics *of_book;     /* of what does */
    Diagnostics nowhere;      /* of what is said elsewhere */
    bool quiet;               /* what is bound now is said elsewhere */
    bool book_alone;          /* there is no scene */
    bool unsure;              /* a section of names could not be read: an unknown name may be one of them */
    Scene *scene;
    LIST(Slot) slots;
    LIST(Thing) things;
    LIST(Shot) shots;
    LIST(CastMember) cast;
    LIST(Body) bodies;
    LIST(LensKind) lenses;
    LIST(Stock) stocks;
    LIST(Built) built;
    LIST(Photo) photos;
    LIST(Circuit) circuits;
    LIST(Lamp) lamps;
    LIST(Accept) accepts;
    LIST(WantedFile) wanted;
    LIST(Named) names;
    LIST(Pending) pending;
    LIST(AtopName) atops;
    PathKey *keys;
    size_t key_count, key_capacity;
    const Tree *book;
    const Tree *words;           /* the scene's, with those of every scene under them */
    const Tree *puppets;         /* the scene's own, which are in every shot; or NULL */
    const char *path[PATH_MOST]; /* words on the way to where we are, for phrases */
    size_t depth;
    OwnTable own_shot, own_thing;
    bool drawing_in_pixels; /* of the shot that is being bound */
    bool no_drawing;
    bool no_depth;    /* what is bound stands nowhere: it is the book's */
    int current_shot; /* or SCOPE_SET */
} Binder;

/* --- bind.c --- */
/* The list that a fault at this place goes to. */
Diagnostics *bind_list(Binder *b, Span span);
void bind_enter(Binder *b, const char *word);
void bind_leave(Binder *b);
/* The phrase of where we are and a word (NULL: none): "`held` of the camera". */
const char *bind_where(const Binder *b, const char *word);
/* Whether a word here was written here, and not copied from what the thing is like. */
bool bind_is_own(const Binder *b, const char *word);

void bind_key(Binder *b, int scope, const char *path, int value);
/* Value of a key, or -1. */
int bind_key_find(const Binder *b, int scope, const char *path);
/* Slot of a path as seen from a shot: its own, the set's, the first shot's, the book's; -1. */
int bind_find(const Binder *b, int shot, const char *path);

/* A new slot, unstated, which references find under its path; or one that they do not. */
int bind_slot(Binder *b, int scope, const char *path, QuantityKind kind, bool on_drawing);
int bind_hidden_slot(Binder *b, const char *path, QuantityKind kind, bool on_drawing);
/* As stated, and faulty until its text has been read. */
void bind_state(Binder *b, int slot, const Tree *value, Span word_span);
/* Puts a text aside for one or more slots; it stands at `word` from where we are (NULL: here). */
void bind_later(Binder *b, const Tree *value, const char *word, QuantitySlot wants, const int *slots,
                int count);
/* A slot for a word of a section, and its text put aside where `table` has it. `scope`: SCOPE_BOOK, or the
 * current shot's. */
int bind_word(Binder *b, SectionId section, const Tree *table, const char *word, const char *owner);
int bind_word_in(Binder *b, int scope, SectionId section, const Tree *table, const char *word,
                 const char *owner);
/* The same for a range or a size: two slots under two paths. */
void bind_pair(Binder *b, SectionId section, const Tree *table, const char *word, const char *owner,
               const char *first, const char *second, int slots[2]);
/* Reads everything that was put aside. */
void bind_pending(Binder *b);

/* Value of a word where it is a table, or a text; else NULL. */
const Tree *bind_table(const Tree *table, const char *word);
const Tree *bind_text(const Tree *table, const char *word);
/* Index of a choice; -1 with a fault; `fallback` where it is not stated. */
int bind_choice(Binder *b, const Tree *table, const char *word, ChoiceId choice, int fallback);
/* Says which needed words of a section a table lacks. A misspelt word hides that. */
void bind_needs(Binder *b, SectionId section, const Tree *table, Span name_span);
bool bind_all_words_known(SectionId section, const Tree *table);
/* Whether a word that a table lacks may stand in it misspelt. */
bool bind_may_be_misspelt(SectionId section, const Tree *table, const char *word);
void bind_missing(Binder *b, Span span, const char *const *words, size_t count, const char *help);

/* --- bind_names.c --- */
extern const QuantityNames bind_quantity_names; /* with a NamesScope as context */
typedef struct NamesScope {
    Binder *binder;
    int shot;
    const QuantitySlot *wants;
    bool poisoned; /* something that it speaks of is faulty */
} NamesScope;
/* Whether the name may be used, and is new in its shot; says why not. On false it is remembered as faulty. */
bool bind_name(Binder *b, const TreeEntry *entry, const Named *named);
/* Remembers a name whose thing could not be bound. */
void bind_faulty_name(Binder *b, const char *name, Span span);
void bind_add_name(Binder *b, const Named *named);
/* What a name is as seen from a shot; NULL: unknown. */
const Named *bind_named(const Binder *b, int shot, const char *name);
/* The thing on the set that a text names, or -1; says why not. `where`: "`atop` of piece `lamp`". */
int bind_thing_named(Binder *b, int shot, const Tree *value, const char *where);
/* "unknown name", once for each name, with the nearest of a list. */
void bind_unknown_name(Binder *b, const Tree *value, const char *where, const char *const *list,
                       size_t count);
/* Whether the name is bound, but faulty, or may stand in a section that could not be read. */
bool bind_is_poison(const Binder *b, int shot, const char *name);
/* Sections of names that cannot be read make unknown names possible. */
void bind_look_for_unsure(Binder *b, SectionId section, const Tree *table);

/* --- bind_book.c --- */
void bind_book(Binder *b, const Tree *book);
int bind_stock_named(Binder *b, const Tree *value);
int bind_body_name(Binder *b, const Tree *table, Span *span);
/* Says that the book (or scene) has no such thing, with the nearest of a list; returns -1. */
int bind_no_such(Binder *b, const Tree *value, const char *whose, const char *what, const char *const *names,
                 size_t count);
/* The body that a text names, or -1; says why not. */
int bind_body_named(Binder *b, const Tree *value);
/* -1: none of that name. */
int bind_lens_index(const Binder *b, const char *name);
int bind_cast_index(const Binder *b, const char *name);
void bind_version(Binder *b, const Tree *table);

/* --- bind_things.c --- */
Thing bind_blank_thing(ThingRole role, ThingShape shape, const char *name, Span span);
/* Its index, or -1 past the limit. */
int bind_thing(Binder *b, Thing thing, const char *owner);
typedef struct FieldWord {
    const char *word;
    Field field;
} FieldWord;
void bind_fields(Binder *b, int thing, SectionId section, const Tree *table, const FieldWord *words,
                 size_t count);
void bind_place(Binder *b, int thing, const Tree *table, SectionId section);
void bind_drawn(Binder *b, int thing, const Tree *table);
void bind_atop(Binder *b, int thing, const Tree *table);
/* What it weighs in all, where it says so. */
void bind_weighs(Binder *b, int thing, SectionId section, const Tree *table);
/* How it is held to the base, where it says so. */
Fixing bind_fixed(Binder *b, const Tree *table, Fixing absent);
void bind_thing_stock(Binder *b, int thing, const Tree *table);
void bind_level_things(Binder *b, const Tree *scene);
void bind_backdrop(Binder *b, const Tree *scene);
void bind_atops(Binder *b);

/* --- bind_puppets.c --- */
/* The leading puppet of the current shot, or -1. */
int bind_lead_puppet(Binder *b, const Tree *mark);
/* `shots`: as the maker wrote them, NULL where one has no words; none: the scene is its own only shot. */
void bind_puppets(Binder *b, const Tree *const *shots, size_t count);

/* --- bind_pieces.c --- */
void bind_pieces(Binder *b, const Tree *scene); /* and flats */
void bind_book_pieces(Binder *b);

/* --- bind_shots.c --- */
void bind_shot(Binder *b, const Tree *words, const TreeEntry *name, int index, bool only);
void bind_mark_words(Binder *b, int thing, const Tree *mark, bool piece);
/* What names things: the leading piece, the focus, what must be sharp. */
void bind_shot_names(Binder *b, const Tree *words, int index);
void bind_accepts(Binder *b, const Tree *list);
/* The file that `image` names: index into wanted, or -1. */
int bind_image(Binder *b, const Tree *table);

/* --- bind_camera.c --- */
void bind_camera(Binder *b, const Tree *words, Shot *shot);
void bind_allow(Binder *b, const Tree *words, Shot *shot);
/* A focal length or a lens of the book, `*kind` its index or -1: its slot. `path` is how references read it.
 */
int bind_focal(Binder *b, const Tree *value, Span word_span, const char *path, int *kind);

void bind_also(Binder *b, const Tree *words, Shot *shot);

/* --- bind_sharp.c --- */
void bind_sharp(Binder *b, const Tree *words, Shot *shot);

/* --- bind_lamps.c --- */
void bind_circuits(Binder *b, const Tree *book);
void bind_lamps(Binder *b, const Tree *scene);

/* --- bind_photos.c --- */
void bind_as_built(Binder *b, const Tree *scene);
void bind_photos(Binder *b, const Tree *scene);

#endif
