/* A scene as the maker stated it, bound: names are indices, quantities are formulas over slots, spans are
 * kept. No YAML, no text to read; nothing is worked out yet. Made by compiler/tree_to_scene.h, read by
 * scene_to_plan.h, which can do so again and again.
 *
 * Everything the book says (page, cast, bodies, stock ...) is bound into each scene, under file 0's spans.
 * All of it belongs to the scene's arena. */
#ifndef GROUNDROW_SCENE_H
#define GROUNDROW_SCENE_H

#include "base/number.h"
#include "base/span.h"
#include "plan/formula.h"

#include <stdbool.h>
#include <stddef.h>

/* The words of a thing (and of ground, base, mounds, openings, cast) that hold a quantity. */
typedef enum Field {
    FIELD_WIDE,
    FIELD_TALL,
    FIELD_DEEP,
    FIELD_THICK,
    FIELD_EYES,   /* above its foot */
    FIELD_ACROSS, /* `at`: middle of the footprint; flats and backdrop: middle of the front face's foot */
    FIELD_BACK,
    FIELD_UP, /* stated: hung, its foot so high above the flat ground (`up`); openings: sill above the flat's
                 foot */
    FIELD_TURN,    /* left positive */
    FIELD_DRAWN_X, /* `drawn: {foot: [x, y]}` */
    FIELD_DRAWN_Y,
    FIELD_DRAWN_TALL,
    FIELD_DRAWN_WIDE,
    FIELD_COUNT_OF, /* `row: {count}`, `steps: N` for the shape steps is FIELD_STEPS */
    FIELD_EVERY,    /* `row: {every}` */
    FIELD_STEPS,
    FIELD_MARGIN, /* ground */
    FIELD_LIP,    /* base */
    /* edges; stated only for the ground (front, rear), else worked out */
    FIELD_LEFT,
    FIELD_RIGHT,
    FIELD_FRONT,
    FIELD_REAR,
    FIELD_TOP,
    FIELD_FOOT,
    FIELD_COUNT
} Field;

/* One quantity of the scene. Slots exist for every word of a thing, stated or not, so that any can be
 * referred to. */
typedef struct Slot {
    const char *path; /* `far bank.tall`, `camera.height`, `book.cut` */
    QuantityKind kind;
    bool stated;     /* `formula` holds; otherwise it has a default, is worked out, or is not known */
    bool faulty;     /* stated and unreadable: poison, already reported */
    bool on_drawing; /* a length on the drawing */
    Formula formula;
    Span word_span; /* of the word it stands at; none where unstated */
    int thing;      /* whose it is, or -1 */
    Field field;    /* with thing >= 0 */
    int shot;       /* of a shot's section (camera, drawing, mark, allow, page), or -1 */
} Slot;

typedef enum ThingRole {
    ROLE_PUPPET,
    ROLE_PIECE,
    ROLE_FLAT,
    ROLE_BACKDROP,
    ROLE_GROUND,
    ROLE_BASE,
    ROLE_MOUND,   /* of the ground */
    ROLE_HOLLOW,  /* of the ground; tall is how deep it is */
    ROLE_OPENING, /* of a flat: `parent` */
    ROLE_COUNT
} ThingRole;

typedef enum ThingShape {
    SHAPE_NONE,   /* ground, base, mounds, openings */
    SHAPE_FIGURE, /* a puppet's stand-in */
    SHAPE_PANEL,  /* flats, backdrop */
    SHAPE_BOX,
    SHAPE_POST,   /* upright cylinder, `thick` across */
    SHAPE_CONE,   /* `wide` across at the foot (deep too where stated) */
    SHAPE_WEDGE,  /* full height at the rear, none in front */
    SHAPE_STEPS,  /* `steps` equal ones, rising to the rear */
    SHAPE_CUTOUT, /* a flat shape, `thick`; its outline is its rectangle unless an image gives it */
    SHAPE_COUNT
} ThingShape;

/* How a thing that stands on the ground is held to the base (docs/geometry.md, rule 103). */
typedef enum Fixing {
    FIXED_BELOW, /* a screw or tie-down through the base, driven from under it */
    FIXED_ABOVE, /* screwed from above */
    FIXED_OFF    /* it stands by itself */
} Fixing;

/* One of the stocks that something is built of in layers. */
typedef struct ThingLayer {
    int stock; /* index */
    Span span;
} ThingLayer;
enum { LAYER_STOCKS_MOST = 4 };

typedef struct Thing {
    ThingRole role;
    ThingShape shape;
    const char *name;      /* the maker's; openings: `window`; ground, base, backdrop: those words */
    Span span;             /* of its name where it is put on the set */
    bool faulty;           /* something of it could not be read: no warnings about it */
    int shot;              /* puppets of one shot; -1: in every shot */
    int slot[FIELD_COUNT]; /* always valid; puppets share the slots of their cast member or pose for sizes */
    int cast;              /* puppets: index, else -1 */
    const char *pose;      /* puppets: `seated`, or NULL */
    int stock;             /* index, or -1; of several, the first */
    Span stock_span;
    int weighs;               /* slot, of one item; -1: has none (puppets: their cast member's) */
    Fixing fixed;             /* puppets: as of their cast member */
    const ThingLayer *layers; /* stocks of differing thickness, several: it is built of them in layers */
    size_t layer_count;       /* 0: of its one stock */
    bool whole;               /* `split: off` */
    Span whole_span;
    bool of_book; /* built once for the whole book */
    int atop;     /* the thing it stands on, or -1 */
    Span atop_span;
    int parent; /* openings: the flat; mounds and hollows: the ground; else -1 */
    bool row;   /* FIELD_COUNT_OF and FIELD_EVERY are stated */
    int like;   /* the pattern it was made like, or -1 */
    int image;  /* cutouts: index into wanted, or -1 */
    bool lead;  /* the leading thing of some shot: it stands at that shot's mark */
} Thing;

typedef struct CastMember {
    const char *name;
    Span span;
    int tall, eyes, wide, deep; /* slots, standing */
    int weighs;                 /* slot */
    Fixing fixed;
    const char *const *pose_names;
    size_t pose_count;
} CastMember;

typedef struct Body {
    const char *name;
    Span span;
    int sensor_wide, sensor_tall, pixels_wide, pixels_tall; /* slots; pixels may be unstated */
} Body;

typedef struct LensKind {
    const char *name;
    Span span;
    int focal, nearest, smallest; /* slots; the last two may be unstated */
} LensKind;

/* A sheet or an offcut on hand; of timber, a length: `tall`. Slots. */
typedef struct StockOnHand {
    int wide, tall;
    Span span;
} StockOnHand;

/* What of a struck set serves a later one: nothing, its parts as they are, or cut smaller too. */
typedef enum UseAgain { AGAIN_NEVER, AGAIN_WHOLE, AGAIN_CUT } UseAgain;

typedef struct Stock {
    const char *name;
    Span span;
    const char *kind; /* `board`, `foam`, ...: the maker's word, or NULL */
    int sheet_wide, sheet_tall, thick, area_weight, density;
    int modulus;     /* slot: of elasticity */
    int bar_long;    /* slot; timber and rods */
    int kerf, price; /* slots */
    bool grain;      /* along sheet_tall */
    UseAgain again;
    StockOnHand *have;
    size_t have_count;
} Stock;

typedef struct WantedFile {
    const char *path; /* inside the book's folder */
    Span span;        /* where it is asked for; none where it is only looked for by name */
    bool optional;    /* found by name: no fault when it is not there */
    bool outlined;    /* a cutout's: its silhouette is wanted */
} WantedFile;

/* What the rim found of a wanted file, in the same order. */
typedef struct FoundFile {
    bool found;
    unsigned width_px, height_px; /* upright: Exif's orientation is in them */
    const unsigned char *bytes;   /* to be embedded: the file's, or turned upright anew; may be NULL */
    size_t count;
    const char *mime;                    /* `image/png`, `image/jpeg` */
    const struct Pixels *pixels;         /* base/pixels.h, perhaps smaller; NULL where no pictures are made */
    const struct Silhouette *silhouette; /* base/silhouette.h; NULL unless it is wanted */
    double focal_mm; /* of the lens, by the photograph's own metadata; 0: it does not say */
} FoundFile;

enum { ALLOWED_MOST = 32, ALSO_MOST = 32 };

/* Another body with a lens, put where the planned camera stands. */
typedef struct Also {
    int body; /* index */
    Span span;
    int lens, lens_kind; /* slot; by name, or -1 */
    Span lens_span;
} Also;

/* What of a thing must be sharp. */
typedef enum SharpPart { SHARP_WHOLE, SHARP_FRONT, SHARP_REAR, SHARP_EYES } SharpPart;

typedef struct SharpWish {
    int thing;
    SharpPart part;
    const char *text; /* as written: `ferry.front` */
    Span span;
} SharpWish;

/* Where text will be printed: slots, on paper from the pages' lower left trim corner. */
typedef struct TextArea {
    const char *name;
    Span span;
    int left, low, wide, tall;
} TextArea;

/* What a shot states of its camera, picture and mark; slots unless said otherwise. */
typedef struct Shot {
    const char *name;          /* NULL: the scene is its own only shot */
    Span span;                 /* of its name, or of the scene's title */
    int first_page, last_page; /* 0: none stated */
    Span pages_span;
    int page_wide, page_tall, bleed, safe, gutter, print;
    int picture_wide, picture_tall, picture_left, picture_low; /* on paper; unstated: the whole pages */
    const TextArea *texts;
    size_t text_count;
    int drawing_wide;    /* KIND_LENGTH, or KIND_PIXELS where the drawing is in px */
    bool drawing_stated; /* the scene has a `drawing` at all */
    bool drawing_in_px;
    Span drawing_span;
    int image;                  /* index into wanted, or -1 */
    int lead;                   /* thing at the mark, or -1 (missing or faulty, reported) */
    int mark_across, mark_back; /* a later shot's `mark: {at: ...}` */
    Span mark_span;
    int body; /* index, or -1 */
    Span body_span;
    Span camera_span; /* of the word `camera`; else of `mark` or the scene */
    int lens_kind;    /* index where the lens is given by name, or -1: its focal slot is `lens` then */
    int lens, distance, height, tilt, across, horizon, frame, stop;
    bool upright; /* held: upright */
    int focus;    /* thing in focus, or -1: the leading one's eyes */
    Span focus_span;
    int focus_back; /* stated: so far behind the leading one's eyes instead */
    int crop_uses, crop_across, crop_up;
    bool crop_up_free;
    Span crop_up_span;
    /* allowed */
    bool lens_range; /* lens[0], lens[1] are the ends of a range; else a list of primes */
    int allow_lens[ALLOWED_MOST];
    int allow_lens_kind[ALLOWED_MOST]; /* by name, or -1 */
    size_t allow_lens_count;           /* 0: nothing stated */
    Span allow_lens_span;
    int allow_height_low, allow_height_high; /* unstated when nothing is */
    Span allow_height_span;
    int spare;
    Also *also; /* other bodies in the camera's place */
    size_t also_count;
    SharpWish *sharp; /* what must be sharp together */
    size_t sharp_count;
} Shot;

/* What was really made and taped of a thing; slots, unstated where it is as planned. */
typedef struct Built {
    int thing;
    Span span;
    int from_front, right, left; /* from the front edge and the centre line (docs/geometry.md, rule 26) */
    int up, wide, tall, deep, thick, turn;
} Built;

/* A named point of the set, and where a photograph shows it. */
typedef struct PhotoMark {
    const char *name;  /* `far bank.top left` */
    const char *point; /* `top left`; "" for the mark itself */
    Span span;
    int thing; /* -1: the mark */
    int x, y;  /* slots, px right and down from the upper left corner */
} PhotoMark;

typedef struct Photo {
    const char *name;
    Span span;
    int shot;  /* index */
    int image; /* index into wanted, or -1 */
    Span image_span;
    int body;      /* index, or -1: the shot's */
    int lens;      /* slot, or -1: not stated */
    int lens_kind; /* by name, or -1 */
    Span lens_span;
    bool keeps_camera; /* the camera stays, and the set is moved */
    PhotoMark *marks;
    size_t mark_count;
} Photo;

/* A circuit of the book; slots. */
typedef struct Circuit {
    const char *name;
    Span span;
    int amps, volts;
} Circuit;

/* What lights the set; slots, the last two may be unstated. */
typedef struct Lamp {
    const char *name;
    Span span;
    int watts, across, back, up;
    int circuit; /* index, or -1 */
    Span circuit_span;
    int colour, clear;
} Lamp;

typedef struct Accept {
    const char *thing; /* its name, or the section's word (`camera`) */
    const char *word;  /* `drawn-apart` */
    Span span;
} Accept;

/* Paper of the sheets for the workshop's wall, upright. */
typedef enum ShopPaper { SHOP_A4, SHOP_LETTER, SHOP_A3, SHOP_TABLOID } ShopPaper;

typedef struct Scene {
    Arena *arena;
    const char *name; /* the file's name without `.yaml`: `08-fog` */
    const char *title;
    const char *book_title;
    Span span; /* the title's, for what has no better place */
    LengthStyle lengths;
    ShopPaper shop_paper;
    Slot *slots;
    size_t slot_count;
    int agree, cut;         /* slots, unstated: 1 mm; 1/8 in or 1 mm by `lengths` */
    int sharpness, reading; /* slots, unstated: 0.2 mm on paper, read from 250 mm */
    CastMember *cast;
    size_t cast_count;
    Body *bodies;
    size_t body_count;
    LensKind *lenses;
    size_t lens_count;
    Stock *stocks;
    size_t stock_count;
    int table_wide, table_deep, table_tall, table_holds,
        table_apart;            /* slots; unstated: no table in the book */
    int legs_inset, legs_thick; /* slots */
    bool table_whole;           /* nothing is drilled through its top */
    int room_wide, room_long, room_ceiling, door_wide, door_tall;
    int carry;                         /* kg that one person carries */
    int tripod_lowest, tripod_highest; /* lens above the floor */
    int reach;                         /* of an arm */
    Thing *
        things; /* in the order of the spec: leads, puppets, pieces, flats, openings, backdrop, ground, ... */
    size_t thing_count;
    Shot *shots; /* at least one */
    size_t shot_count;
    Built *built;
    size_t built_count;
    Circuit *circuits;
    size_t circuit_count;
    Lamp *lamps;
    size_t lamp_count;
    int floor_top; /* slot: the floor, above the flat ground */
    Photo *photos;
    size_t photo_count;
    Accept *accepts;
    size_t accept_count;
    WantedFile *wanted;
    size_t wanted_count;
} Scene;

#endif
