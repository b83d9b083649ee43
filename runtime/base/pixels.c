#include "base/pixels.h"

#include <assert.h>
#include <png.h>
#include <setjmp.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <zlib.h>
/* need stdio.h before them */
#include <jerror.h>
#include <jpeglib.h>

/* ---- Shrinking while rows come in */

/* One axis in units of which both grids are whole ones: pixel i that comes in covers i * in .. (i + 1) * in,
 * pixel j that goes out j * out .. (j + 1) * out. in <= out. */
typedef struct Axis {
    uint32_t count; /* that go out */
    uint32_t in, out;
} Axis;

typedef struct Shrinker {
    Axis across, down;
    bool same;           /* nothing to shrink: pixels are put where they belong */
    uint32_t *argb;      /* what goes out, as stored in the file (not yet turned upright) */
    uint32_t *row;       /* sums of one row that comes in, three a pixel that goes out */
    uint64_t *sums;      /* of `held` rows that go out */
    uint32_t held, done; /* `done` rows have gone out */
} Shrinker;

/* Places along an axis stay under IMAGE_SIDE_MOST_PX^2 = 2^30, a row's sums under 255 * 2^15, all under 255 *
 * 2^30. */
static Shrinker shrinker_new(Arena *arena, Arena *scratch, Axis across, Axis down, bool any_order) {
    Shrinker s = {.across = across, .down = down};
    s.same = across.in == across.out && down.in == down.out;
    s.argb = ARENA_ARRAY(arena, uint32_t, (size_t)across.count * down.count);
    if (s.same) return s;
    s.held = any_order || down.count < 2 ? down.count : 2; /* one row reaches into two at the most */
    s.row = ARENA_ARRAY(scratch, uint32_t, (size_t)across.count * 3);
    s.sums = ARENA_ARRAY(scratch, uint64_t, (size_t)across.count * 3 * s.held);
    return s;
}

static uint32_t opaque(uint32_t red, uint32_t green, uint32_t blue) {
    return 0xFF000000u | red << 16 | green << 8 | blue;
}

/* How much of pixel `in` that comes in lies on pixel `out` that goes out. */
static uint32_t overlap(const Axis *axis, uint32_t in, uint32_t out) {
    const uint32_t low = in * axis->in > out * axis->out ? in * axis->in : out * axis->out;
    const uint32_t in_end = (in + 1) * axis->in, out_end = (out + 1) * axis->out;
    const uint32_t high = in_end < out_end ? in_end : out_end;
    return high > low ? high - low : 0;
}

/* Some columns of a row. */
static void sum_some(Shrinker *s, const unsigned char *rgb, uint32_t first, uint32_t every, uint32_t count) {
    memset(s->row, 0, sizeof *s->row * 3 * s->across.count);
    for (uint32_t i = 0; i < count; i++, rgb += 3) {
        const uint32_t x = first + i * every, start = x * s->across.in / s->across.out;
        for (uint32_t to = start; to < s->across.count && to < start + 2; to++) {
            const uint32_t weight = overlap(&s->across, x, to);
            for (uint32_t c = 0; c < 3; c++)
                s->row[3 * to + c] += weight * rgb[c];
        }
    }
}

/* A whole row: of each pixel that goes out a part of one that comes in, some whole ones, a part of another.
 */
static void sum_all(Shrinker *s, const unsigned char *rgb) {
    const uint32_t in = s->across.in, out = s->across.out;
    for (uint32_t to = 0; to < s->across.count; to++) {
        const uint32_t start = to * out, end = start + out, first = start / in, last = (end - 1) / in;
        const unsigned char *from = rgb + 3 * (size_t)first, *until = rgb + 3 * (size_t)last;
        const uint32_t at_first = (first + 1) * in - start, at_last = end - last * in;
        uint32_t red = 0, green = 0, blue = 0;
        for (const unsigned char *whole = from + 3; whole < until; whole += 3) {
            red += whole[0];
            green += whole[1];
            blue += whole[2];
        }
        uint32_t *sum = s->row + 3 * (size_t)to;
        const uint32_t once = first == last ? 0 : at_last; /* one alone covers it */
        const uint32_t more = first == last ? out : at_first;
        sum[0] = red * in + from[0] * more + until[0] * once;
        sum[1] = green * in + from[1] * more + until[1] * once;
        sum[2] = blue * in + from[2] * more + until[2] * once;
    }
}

/* Lets rows go out up to `end`. */
static void rows_out(Shrinker *s, uint32_t end) {
    const uint64_t area = (uint64_t)s->across.out * s->down.out, half = area / 2;
    for (; s->done < end; s->done++) {
        uint64_t *sum = s->sums + (size_t)(s->done % s->held) * s->across.count * 3;
        uint32_t *argb = s->argb + (size_t)s->done * s->across.count;
        for (uint32_t x = 0; x < s->across.count; x++) {
            const uint64_t *of = sum + (size_t)x * 3;
            argb[x] = opaque((uint32_t)((of[0] + half) / area), (uint32_t)((of[1] + half) / area),
                             (uint32_t)((of[2] + half) / area));
        }
        memset(sum, 0, sizeof *sum * 3 * s->across.count);
    }
}

/* `count` pixels of row y, from column `first` on every so many. Rows in their order, but for a shrinker that
 * takes any. */
static void row_in(Shrinker *s, const unsigned char *rgb, uint32_t y, uint32_t first, uint32_t every,
                   uint32_t count) {
    if (s->same) {
        uint32_t *argb = s->argb + (size_t)y * s->across.count + first;
        for (uint32_t i = 0; i < count; i++, rgb += 3)
            argb[(size_t)i * every] = opaque(rgb[0], rgb[1], rgb[2]);
        return;
    }
    if (every == 1)
        sum_all(s, rgb);
    else
        sum_some(s, rgb, first, every, count);
    const uint32_t start = y * s->down.in / s->down.out;
    for (uint32_t to = start; to < s->down.count && to < start + 2; to++) {
        const uint64_t weight = overlap(&s->down, y, to);
        uint64_t *sum = s->sums + (size_t)(to % s->held) * s->across.count * 3;
        for (uint32_t i = 0; weight > 0 && i < 3 * s->across.count; i++)
            sum[i] += weight * s->row[i];
    }
    if (s->held < s->down.count) rows_out(s, (y + 1) * s->down.in / s->down.out);
}

static void all_out(Shrinker *s) {
    if (!s->same) rows_out(s, s->down.count);
}

/* ---- One image being read */

typedef struct Decoder {
    Arena *arena, *scratch;
    const unsigned char *bytes;
    size_t count, at;
    const ImageHead *head;
    uint32_t wide_px, tall_px; /* to be made of it, as stored */
    Shrinker shrinker;
    ImageFault fault;
    /* PNG */
    png_structp png;
    png_infop info;
    bool alpha;
    bool only_alpha; /* it is what is wanted, in place of the colours */
    /* JPEG */
    struct jpeg_decompress_struct jpeg;
    struct jpeg_error_mgr jpeg_errors;
    struct jpeg_progress_mgr jpeg_progress;
    jmp_buf back;
} Decoder;

/* ---- PNG, by libpng: what it allocates it frees, whichever way it ends */

static void png_bytes_in(png_structp png, png_bytep into, size_t count) {
    Decoder *d = png_get_io_ptr(png);
    if (count > d->count - d->at) png_error(png, "Read Error");
    memcpy(into, d->bytes + d->at, count);
    d->at += count;
}

/* libpng tells its errors apart by their words alone. */
static _Noreturn void on_png_error(png_structp png, png_const_charp words) {
    Decoder *d = png_get_error_ptr(png);
    d->fault = strstr(words, "CRC")          ? IMAGE_CHECK_SUM
               : strstr(words, "Not enough") ? IMAGE_CUT_SHORT
               : strstr(words, "Read Error") ? IMAGE_CUT_SHORT
               : strstr(words, "emory")      ? IMAGE_TOO_LARGE
                                             : IMAGE_BROKEN;
    png_longjmp(png, 1);
}

static void on_png_warning(png_structp png, png_const_charp words) {
    (void)png;
    (void)words;
}

static unsigned char over_white(unsigned char color, unsigned char alpha) {
    return (unsigned char)((color * alpha + 255 * (255 - alpha) + 127) / 255);
}

/* From four bytes a pixel to three, in place; without alpha there are three already. */
static void row_over_white(const Decoder *d, unsigned char *row, uint32_t count) {
    const unsigned char *from = row;
    for (uint32_t i = 0; d->alpha && i < count; i++, row += 3, from += 4) {
        const unsigned char alpha = from[3];
        for (int c = 0; c < 3; c++)
            row[c] = d->only_alpha ? alpha : over_white(from[c], alpha);
    }
}

static void png_rows(Decoder *d, unsigned char *row) {
    const uint32_t wide = d->head->wide_px;
    for (uint32_t y = 0; y < d->head->tall_px; y++) {
        png_read_row(d->png, row, NULL);
        row_over_white(d, row, wide);
        row_in(&d->shrinker, row, y, 0, 1, wide);
    }
}

/* An interlaced PNG's seven passes: each a picture of some rows and some columns. */
static void png_passes(Decoder *d, unsigned char *row) {
    const int wide = (int)d->head->wide_px, tall = (int)d->head->tall_px;
    for (int pass = 0; pass < 7; pass++) {
        const uint32_t columns = (uint32_t)(int)PNG_PASS_COLS(wide, pass);
        const int rows = columns > 0 ? (int)PNG_PASS_ROWS(tall, pass) : 0;
        for (int i = 0; i < rows; i++) {
            png_read_row(d->png, row, NULL);
            row_over_white(d, row, columns);
            row_in(&d->shrinker, row, (uint32_t)(int)PNG_ROW_FROM_PASS_ROW(i, pass),
                   (uint32_t)(int)PNG_PASS_START_COL(pass), 1u << PNG_PASS_COL_SHIFT(pass), columns);
        }
    }
}

static void read_png(Decoder *d) {
    png_structp png = d->png;
    png_set_read_fn(png, d, png_bytes_in);
    /* what is no pixel is not even looked at: profiles, comments, times */
    png_set_keep_unknown_chunks(png, PNG_HANDLE_CHUNK_NEVER, NULL, -1);
    png_set_user_limits(png, IMAGE_SIDE_MOST_PX, IMAGE_SIDE_MOST_PX);
    png_read_info(png, d->info);
    png_set_expand(png);
    png_set_scale_16(png);
    png_set_gray_to_rgb(png);
    png_read_update_info(png, d->info);
    d->alpha = png_get_channels(png, d->info) == 4;
    const bool interlaced = png_get_interlace_type(png, d->info) != PNG_INTERLACE_NONE;
    d->shrinker = shrinker_new(d->arena, d->scratch, (Axis){d->wide_px, d->wide_px, d->head->wide_px},
                               (Axis){d->tall_px, d->tall_px, d->head->tall_px}, interlaced);
    unsigned char *row = ARENA_ARRAY(d->scratch, unsigned char, png_get_rowbytes(png, d->info));
    (interlaced ? png_passes : png_rows)(d, row);
    png_read_end(png, NULL);
}

/* Of every chunk that a picture needs (the capital of its type says so), before libpng comes upon what has
 * changed in one as a contradiction in the compressed data. The chunks fit into each other: image_head.h. */
static bool sums_agree(const unsigned char *bytes) {
    enum { SIGNATURE = 8, TYPE = 4, ANCILLARY = 0x20 };
    for (const unsigned char *chunk = bytes + SIGNATURE;;) {
        const size_t length = png_get_uint_32(chunk);
        const unsigned char *type = chunk + 4, *sum = type + TYPE + length;
        const bool agrees = crc32_z(0, type, TYPE + length) == png_get_uint_32(sum);
        if (!agrees && !(type[0] & ANCILLARY)) return false;
        if (memcmp(type, "IEND", TYPE) == 0) return true;
        chunk = sum + 4;
    }
}

static void decode_png(Decoder *d) {
    if (!sums_agree(d->bytes)) {
        d->fault = IMAGE_CHECK_SUM;
        return;
    }
    d->png = png_create_read_struct(PNG_LIBPNG_VER_STRING, d, on_png_error, on_png_warning);
    d->info = d->png ? png_create_info_struct(d->png) : NULL;
    if (!d->info)
        d->fault = IMAGE_TOO_LARGE;
    else if (setjmp(png_jmpbuf(d->png)) == 0)
        read_png(d);
    png_destroy_read_struct(&d->png, &d->info, NULL);
}

/* ---- JPEG, by libjpeg; likewise */

static const long JPEG_MEMORY_MOST = 1L << 30;
enum { JPEG_SCANS_MOST = 200 }; /* a few bytes can ask for thousands, each over all of the picture */

static ImageFault jpeg_fault(int code) {
    switch (code) {
    case JERR_OUT_OF_MEMORY:
    case JERR_NO_BACKING_STORE:
    case JERR_IMAGE_TOO_BIG:
    case JERR_WIDTH_OVERFLOW:
        return IMAGE_TOO_LARGE;
    case JERR_BAD_PRECISION:
    case JERR_SOF_UNSUPPORTED:
    case JERR_CONVERSION_NOTIMPL:
    case JERR_COMPONENT_COUNT:
    case JERR_FRACT_SAMPLE_NOTIMPL:
    case JERR_ARITH_NOTIMPL:
    case JERR_NOTIMPL:
    case JERR_NOT_COMPILED:
        return IMAGE_RARE;
    case JWRN_JPEG_EOF:
    case JWRN_HIT_MARKER:
    case JERR_INPUT_EOF:
        return IMAGE_CUT_SHORT;
    default:
        return IMAGE_BROKEN;
    }
}

static _Noreturn void on_jpeg_error(j_common_ptr jpeg) {
    Decoder *d = jpeg->client_data;
    d->fault = jpeg_fault(jpeg->err->msg_code);
    longjmp(d->back, 1);
}

/* libjpeg goes on after these, with grey where nothing is known: for us the image is damaged. Of what else it
 * warns, cameras write much, and no pixel is lost by it. */
static bool is_damage(const struct jpeg_error_mgr *errors) {
    switch (errors->msg_code) {
    case JWRN_JPEG_EOF:
    case JWRN_HIT_MARKER:
    case JWRN_HUFF_BAD_CODE:
    case JWRN_MUST_RESYNC:
        return true;
    default:
        return false;
    }
}

static void on_jpeg_message(j_common_ptr jpeg, int level) {
    if (level < 0 && is_damage(jpeg->err)) on_jpeg_error(jpeg);
}

static void on_jpeg_print(j_common_ptr jpeg) {
    (void)jpeg;
}

static void on_jpeg_progress(j_common_ptr jpeg) {
    Decoder *d = jpeg->client_data;
    if (d->jpeg.input_scan_number > JPEG_SCANS_MOST) ERREXIT(jpeg, JERR_BAD_PROGRESSION);
}

/* Inks to light; with Adobe's marker they are stored inverted. */
static void row_of_inks(unsigned char *row, uint32_t count, bool inverted) {
    const unsigned char *from = row;
    for (uint32_t i = 0; i < count; i++, row += 3, from += 4) {
        const int black = inverted ? from[3] : 255 - from[3];
        for (int c = 0; c < 3; c++)
            row[c] = (unsigned char)(((inverted ? from[c] : 255 - from[c]) * black + 127) / 255);
    }
}

/* In eighths, the least size of those that libjpeg makes at no cost that is not under what is wanted. */
static unsigned jpeg_eighths(const Decoder *d) {
    unsigned eighths = 8;
    while (eighths > 1 && (uint64_t)d->head->wide_px * eighths / 2 >= (uint64_t)d->wide_px * 8 &&
           (uint64_t)d->head->tall_px * eighths / 2 >= (uint64_t)d->tall_px * 8)
        eighths /= 2;
    return eighths;
}

static void read_jpeg(Decoder *d) {
    j_decompress_ptr jpeg = &d->jpeg;
    jpeg->mem->max_memory_to_use = JPEG_MEMORY_MOST;
    jpeg_mem_src(jpeg, d->bytes, d->count);
    jpeg_read_header(jpeg, TRUE);
    if (jpeg->image_width != d->head->wide_px || jpeg->image_height != d->head->tall_px)
        ERREXIT(jpeg, JERR_BAD_LENGTH);
    const bool inks = jpeg->jpeg_color_space == JCS_CMYK || jpeg->jpeg_color_space == JCS_YCCK;
    jpeg->out_color_space = inks ? JCS_CMYK : JCS_RGB;
    jpeg->scale_num = jpeg_eighths(d);
    jpeg->scale_denom = 8;
    jpeg_start_decompress(jpeg);
    const uint32_t shrunk = 8 / jpeg->scale_num; /* the last row and column may cover less than that */
    d->shrinker =
        shrinker_new(d->arena, d->scratch, (Axis){d->wide_px, shrunk * d->wide_px, d->head->wide_px},
                     (Axis){d->tall_px, shrunk * d->tall_px, d->head->tall_px}, false);
    unsigned char *row = ARENA_ARRAY(d->scratch, unsigned char, (size_t)jpeg->output_width * 4);
    while (jpeg->output_scanline < jpeg->output_height) {
        const uint32_t y = jpeg->output_scanline;
        jpeg_read_scanlines(jpeg, &row, 1);
        if (inks) row_of_inks(row, jpeg->output_width, jpeg->saw_Adobe_marker);
        row_in(&d->shrinker, row, y, 0, 1, jpeg->output_width);
    }
    jpeg_finish_decompress(jpeg);
}

static void decode_jpeg(Decoder *d) {
    d->jpeg.err = jpeg_std_error(&d->jpeg_errors);
    d->jpeg_errors.error_exit = on_jpeg_error;
    d->jpeg_errors.emit_message = on_jpeg_message;
    d->jpeg_errors.output_message = on_jpeg_print;
    d->jpeg_progress.progress_monitor = on_jpeg_progress;
    d->jpeg.client_data = d;
    if (setjmp(d->back) == 0) {
        jpeg_create_decompress(&d->jpeg); /* keeps err and client_data */
        d->jpeg.progress = &d->jpeg_progress;
        read_jpeg(d);
    }
    jpeg_destroy_decompress(&d->jpeg);
}

/* ---- Upright */

/* Exif's orientation says where the stored row 0 and column 0 are in the upright picture: 1 top and left, 2
 * top and right, 3 bottom and right, 4 bottom and left, 5 left and top, 6 right and top, 7 right and bottom,
 * 8 left and bottom. */
static const Pixels *turn_upright(const Decoder *d) {
    const int tag = d->head->orientation;
    const size_t wide = d->wide_px, tall = d->tall_px;
    const bool lies = image_lies(d->head);
    Pixels *pixels = ARENA_NEW(d->arena, Pixels);
    *pixels = (Pixels){(int)(lies ? tall : wide), (int)(lies ? wide : tall), d->shrinker.argb};
    if (tag == 1) return pixels;
    const bool row_backward = tag == 3 || tag == 4 || tag == 6 || tag == 7;
    const bool column_backward = tag == 2 || tag == 3 || tag == 7 || tag == 8;
    pixels->argb = ARENA_ARRAY(d->arena, uint32_t, wide * tall);
    for (size_t row = 0; row < tall; row++) {
        const size_t r = row_backward ? tall - 1 - row : row;
        for (size_t column = 0; column < wide; column++) {
            const size_t c = column_backward ? wide - 1 - column : column;
            pixels->argb[lies ? c * tall + r : r * wide + c] = d->shrinker.argb[row * wide + column];
        }
    }
    return pixels;
}

/* A side of what is made: its own, or shrunk as the longer one is. */
static uint32_t side_px(uint32_t side, uint32_t longer, uint32_t most) {
    if (longer <= most) return side;
    const uint64_t shrunk = ((uint64_t)side * most + longer / 2) / longer;
    return shrunk > 0 ? (uint32_t)shrunk : 1;
}

static ImageFault decode(Arena *arena, const unsigned char *bytes, size_t count, const ImageHead *head,
                         int most_px, bool only_alpha, const Pixels **pixels) {
    assert(!head->fault && head->kind != IMAGE_NONE && most_px >= 8 && most_px <= IMAGE_SIDE_MOST_PX);
    const uint32_t longer = head->wide_px > head->tall_px ? head->wide_px : head->tall_px;
    Arena *scratch = arena_new();
    Decoder *d = ARENA_NEW(scratch, Decoder);
    d->arena = arena;
    d->scratch = scratch;
    d->bytes = bytes;
    d->count = count;
    d->head = head;
    d->only_alpha = only_alpha;
    d->wide_px = side_px(head->wide_px, longer, (uint32_t)most_px);
    d->tall_px = side_px(head->tall_px, longer, (uint32_t)most_px);
    if (head->kind == IMAGE_PNG)
        decode_png(d);
    else
        decode_jpeg(d);
    const ImageFault fault = d->fault;
    *pixels = NULL;
    if (!fault && (d->alpha || !only_alpha)) {
        all_out(&d->shrinker);
        *pixels = turn_upright(d);
    }
    arena_free(scratch);
    return fault;
}

ImageFault image_to_pixels(Arena *arena, const unsigned char *bytes, size_t count, const ImageHead *head,
                           int most_px, const Pixels **pixels) {
    return decode(arena, bytes, count, head, most_px, false, pixels);
}

ImageFault image_to_opacity(Arena *arena, const unsigned char *bytes, size_t count, const ImageHead *head,
                            int most_px, const Pixels **opacity) {
    return decode(arena, bytes, count, head, most_px, true, opacity);
}
