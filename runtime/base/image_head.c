#include "base/image_head.h"

#include <stdint.h>
#include <string.h>

static unsigned big_endian(const unsigned char *bytes, size_t count) {
    unsigned value = 0;
    for (size_t i = 0; i < count; i++)
        value = value << 8 | bytes[i];
    return value;
}

static unsigned little_endian(const unsigned char *bytes, size_t count) {
    unsigned value = 0;
    for (size_t i = count; i > 0; i--)
        value = value << 8 | bytes[i - 1];
    return value;
}

/* ---- Exif: which way is up, and with which lens */

/* Exif data is a TIFF file: byte order, 42, where its first directory stands. */
typedef struct Tiff {
    const unsigned char *bytes;
    size_t count;
    unsigned (*number)(const unsigned char *, size_t);
    size_t directory;
} Tiff;

static bool tiff_open(Tiff *tiff, const unsigned char *bytes, size_t count) {
    enum { HEADER = 8 };
    if (count < HEADER) return false;
    const bool little = memcmp(bytes, "II*", 4) == 0;
    if (!little && memcmp(bytes, "MM\0*", 4) != 0) return false;
    *tiff = (Tiff){.bytes = bytes, .count = count, .number = little ? little_endian : big_endian};
    tiff->directory = tiff->number(bytes + 4, 4);
    return true;
}

/* Directories hold entries of 12 bytes: tag, type, count, and the value or where it stands. The last four
 * bytes of the first such entry that holds one value of this type; NULL: there is none, or it is odd. */
static const unsigned char *tiff_value(const Tiff *tiff, size_t directory, unsigned tag, unsigned type) {
    enum { ENTRY = 12 };
    if (directory > tiff->count || tiff->count - directory < 2) return NULL;
    const size_t entries = tiff->number(tiff->bytes + directory, 2);
    for (size_t i = 0; i < entries; i++) {
        const size_t at = directory + 2 + i * ENTRY;
        if (at > tiff->count || tiff->count - at < ENTRY) return NULL;
        const unsigned char *entry = tiff->bytes + at;
        if (tiff->number(entry, 2) != tag) continue;
        return tiff->number(entry + 2, 2) == type && tiff->number(entry + 4, 4) == 1 ? entry + 8 : NULL;
    }
    return NULL;
}

/* The focal length stands in a directory of its own, as a fraction. */
static double exif_focal_mm(const Tiff *tiff) {
    enum { EXIF = 0x8769, FOCAL_LENGTH = 0x920A, LONG = 4, RATIONAL = 5 };
    static const double most_mm = 10000;
    const unsigned char *inner = tiff_value(tiff, tiff->directory, EXIF, LONG);
    const unsigned char *value =
        inner ? tiff_value(tiff, tiff->number(inner, 4), FOCAL_LENGTH, RATIONAL) : NULL;
    const size_t at = value ? tiff->number(value, 4) : tiff->count;
    if (at > tiff->count || tiff->count - at < 8) return 0;
    const double above = tiff->number(tiff->bytes + at, 4), below = tiff->number(tiff->bytes + at + 4, 4);
    return below > 0 && above / below >= 1 && above / below <= most_mm ? above / below : 0;
}

static void read_exif(const unsigned char *bytes, size_t count, ImageHead *head) {
    enum { ORIENTATION = 0x0112, SHORT = 3 };
    Tiff tiff;
    if (!tiff_open(&tiff, bytes, count)) return;
    const unsigned char *value = tiff_value(&tiff, tiff.directory, ORIENTATION, SHORT);
    const unsigned orientation = value ? tiff.number(value, 2) : 1;
    head->orientation = orientation >= 1 && orientation <= 8 ? (int)orientation : 1;
    head->focal_mm = exif_focal_mm(&tiff);
}

bool image_lies(const ImageHead *head) {
    return head->orientation >= 5;
}

unsigned image_wide_px(const ImageHead *head) {
    return image_lies(head) ? head->tall_px : head->wide_px;
}

unsigned image_tall_px(const ImageHead *head) {
    return image_lies(head) ? head->wide_px : head->tall_px;
}

/* ---- PNG, JPEG */

static ImageFault size_fault(unsigned wide_px, unsigned tall_px) {
    if (wide_px == 0 || tall_px == 0) return IMAGE_NO_PIXELS;
    const bool fits = wide_px <= IMAGE_SIDE_MOST_PX && tall_px <= IMAGE_SIDE_MOST_PX &&
                      (uint64_t)wide_px * tall_px <= IMAGE_ALL_MOST_PX;
    return fits ? IMAGE_SOUND : IMAGE_TOO_LARGE;
}

/* Chunks from IHDR to IEND: 4 bytes of length, 4 of type, the data, 4 of check sum. */
static ImageFault read_png(const unsigned char *bytes, size_t count, ImageHead *head) {
    enum { SIGNATURE = 8, AROUND = 12, HEADER = 13 };
    if (count < SIGNATURE + AROUND + HEADER) return IMAGE_CUT_SHORT;
    if (big_endian(bytes + SIGNATURE, 4) != HEADER || memcmp(bytes + SIGNATURE + 4, "IHDR", 4) != 0)
        return IMAGE_BROKEN;
    head->wide_px = big_endian(bytes + 16, 4);
    head->tall_px = big_endian(bytes + 20, 4);
    const ImageFault fault = size_fault(head->wide_px, head->tall_px);
    if (fault) return fault;
    bool data = false;
    for (size_t at = SIGNATURE; count - at >= AROUND;) {
        const size_t length = big_endian(bytes + at, 4);
        const unsigned char *type = bytes + at + 4;
        if (length > count - at - AROUND) return IMAGE_CUT_SHORT;
        if (memcmp(type, "IEND", 4) == 0) return data ? IMAGE_SOUND : IMAGE_BROKEN;
        if (memcmp(type, "eXIf", 4) == 0) read_exif(type + 4, length, head);
        data = data || memcmp(type, "IDAT", 4) == 0;
        at += AROUND + length;
    }
    return IMAGE_CUT_SHORT;
}

/* Frame headers hold the size: C0 to CF but for C4 (tables), C8 (kept free) and CC (conditioning). */
static bool is_frame_header(unsigned char marker) {
    return marker >= 0xC0 && marker <= 0xCF && marker != 0xC4 && marker != 0xC8 && marker != 0xCC;
}

static bool has_end_of_jpeg(const unsigned char *bytes, size_t count) {
    for (size_t at = count; at >= 2; at--) { /* cameras put things behind it */
        if (bytes[at - 2] == 0xFF && bytes[at - 1] == 0xD9) return true;
    }
    return false;
}

/* Marker, two bytes of length (themselves counted), the data. */
static ImageFault read_segment(const unsigned char *segment, size_t length, ImageHead *head) {
    static const char exif[] = "Exif\0"; /* and the NUL of the text itself */
    enum { APP1 = 0xE1, DATA = 4 };
    if (segment[1] == APP1 && length >= 2 + sizeof exif && memcmp(segment + DATA, exif, sizeof exif) == 0)
        read_exif(segment + DATA + sizeof exif, length - 2 - sizeof exif, head);
    if (!is_frame_header(segment[1])) return IMAGE_SOUND;
    if (head->wide_px > 0 || length < 8) return IMAGE_BROKEN;
    head->tall_px = big_endian(segment + 5, 2);
    head->wide_px = big_endian(segment + 7, 2);
    return size_fault(head->wide_px, head->tall_px);
}

/* Segments before the first scan. */
static ImageFault read_jpeg(const unsigned char *bytes, size_t count, ImageHead *head) {
    enum { SOS = 0xDA, FILL = 0xFF };
    for (size_t at = 2; count - at >= 4;) {
        if (bytes[at] != 0xFF) return IMAGE_BROKEN;
        if (bytes[at + 1] == FILL) {
            at++;
            continue;
        }
        const size_t length = big_endian(bytes + at + 2, 2);
        if (length < 2) return IMAGE_BROKEN;
        if (length > count - at - 2) return IMAGE_CUT_SHORT;
        if (bytes[at + 1] == SOS) {
            if (head->wide_px == 0) return IMAGE_BROKEN;
            return has_end_of_jpeg(bytes + at, count - at) ? IMAGE_SOUND : IMAGE_CUT_SHORT;
        }
        const ImageFault fault = read_segment(bytes + at, length, head);
        if (fault) return fault;
        at += 2 + length;
    }
    return IMAGE_CUT_SHORT;
}

/* ---- Other kinds, by their first bytes */

typedef struct Magic {
    size_t at;
    const char *bytes;
    size_t count;
    const char *name;
} Magic;

#define MAGIC(at, text, name)                                                                                \
    { at, text, sizeof text - 1, name }
static const Magic magics[] = {
    MAGIC(0, "GIF8", "a GIF"),        MAGIC(0, "%PDF-", "a PDF"),      MAGIC(0, "%!PS", "PostScript"),
    MAGIC(0, "II*\0", "a TIFF"),      MAGIC(0, "MM\0*", "a TIFF"),     MAGIC(8, "WEBP", "a WebP"),
    MAGIC(4, "ftypavif", "an AVIF"),  MAGIC(4, "ftypheic", "a HEIC"),  MAGIC(4, "ftypheix", "a HEIC"),
    MAGIC(4, "ftypmif1", "a HEIF"),   MAGIC(4, "ftyp", "a film"),      MAGIC(0, "8BPS", "a PSD"),
    MAGIC(0, "PK\3\4", "an archive"), MAGIC(0, "<svg", "an SVG"),      MAGIC(0, "\xFF\x0A", "a JPEG XL"),
    MAGIC(4, "JXL ", "a JPEG XL"),    MAGIC(4, "jP  ", "a JPEG 2000"), MAGIC(0, "v/1\1", "an OpenEXR"),
};

static bool holds(const unsigned char *bytes, size_t count, const char *wanted) {
    const size_t length = strlen(wanted);
    for (size_t at = 0; at + length <= count; at++) {
        if (memcmp(bytes + at, wanted, length) == 0) return true;
    }
    return false;
}

/* Nothing among its first bytes that a text has not. */
static bool is_text(const unsigned char *bytes, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (bytes[i] < ' ' && !strchr("\t\n\r\f", bytes[i])) return false;
        if (bytes[i] == 0) return false;
    }
    return true;
}

static const char *other_kind(const unsigned char *bytes, size_t count) {
    enum { LOOKED_AT = 1024 };
    for (size_t i = 0; i < sizeof magics / sizeof *magics; i++) {
        const Magic *magic = &magics[i];
        if (count >= magic->at + magic->count && memcmp(bytes + magic->at, magic->bytes, magic->count) == 0)
            return magic->name;
    }
    const size_t first = count < LOOKED_AT ? count : LOOKED_AT;
    if (!is_text(bytes, first)) return count > 2 && memcmp(bytes, "BM", 2) == 0 ? "a BMP" : NULL;
    return holds(bytes, first, "<svg") ? "an SVG" : holds(bytes, first, "<html") ? "a web page" : "text";
}

ImageHead image_head(const unsigned char *bytes, size_t count) {
    static const unsigned char png[8] = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
    static const unsigned char jpeg[3] = {0xFF, 0xD8, 0xFF};
    ImageHead head = {.orientation = 1};
    if (count == 0) {
        head.fault = IMAGE_EMPTY;
    } else if (memcmp(bytes, png, count < sizeof png ? count : sizeof png) == 0) {
        head.kind = IMAGE_PNG;
        head.fault = read_png(bytes, count, &head);
    } else if (memcmp(bytes, jpeg, count < sizeof jpeg ? count : sizeof jpeg) == 0) {
        head.kind = IMAGE_JPEG;
        head.fault = count < 4 ? IMAGE_CUT_SHORT : read_jpeg(bytes, count, &head);
    } else {
        head.fault = IMAGE_OTHER;
        head.other = other_kind(bytes, count);
    }
    const bool sized = !head.fault || head.fault == IMAGE_NO_PIXELS || head.fault == IMAGE_TOO_LARGE;
    if (!sized) head.wide_px = head.tall_px = 0;
    return head;
}
