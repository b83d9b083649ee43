/* What an image file is, before its pixels are decoded: kind, size and which way is up (PNG: W3C PNG
 * specification, 5 and 11.3.4.5; JPEG: ITU-T T.81, annex B; orientation and focal length: CIPA
 * DC-008 (Exif), 4.6.5.1 and 4.6.5.5 [tag numbers from memory]). */
#ifndef GROUNDROW_IMAGE_HEAD_H
#define GROUNDROW_IMAGE_HEAD_H

#include <stdbool.h>
#include <stddef.h>

/* The most that is read: a photograph of 100 million pixels, and little more. What a few bytes of deflate
 * unfold to is bounded by the second. */
enum { IMAGE_SIDE_MOST_PX = 32768, IMAGE_ALL_MOST_PX = 200 * 1000 * 1000 };

typedef enum ImageKind { IMAGE_NONE, IMAGE_PNG, IMAGE_JPEG } ImageKind;

/* Why a file cannot be read as an image. */
typedef enum ImageFault {
    IMAGE_SOUND,
    IMAGE_EMPTY,     /* a file of no bytes */
    IMAGE_OTHER,     /* neither PNG nor JPEG: `other` says what it is */
    IMAGE_CUT_SHORT, /* ends before its end mark, or its data do */
    IMAGE_CHECK_SUM, /* bytes have changed since it was written */
    IMAGE_BROKEN,    /* its parts contradict each other */
    IMAGE_NO_PIXELS, /* a side of 0 px */
    IMAGE_TOO_LARGE, /* over one of the limits above */
    IMAGE_RARE       /* lossless, hierarchical, or of more than 8 bits a colour (JPEG) */
} ImageFault;

/* Where row 0 and column 0 of the file belong in the upright picture: Exif's orientation, 1 to 8. */
typedef struct ImageHead {
    ImageKind kind; /* IMAGE_NONE with IMAGE_EMPTY and IMAGE_OTHER */
    ImageFault fault;
    const char *other; /* `a GIF`, `text`; NULL where its first bytes say nothing, or it is none other */
    unsigned wide_px,
        tall_px;     /* as stored in the file; also with IMAGE_NO_PIXELS and IMAGE_TOO_LARGE, else 0 */
    int orientation; /* 1 where none is stated */
    double focal_mm; /* of the lens, by Exif's FocalLength; 0 where none is stated */
} ImageHead;

/* Reads the parts of the file up to its pixels and looks for its end mark; never past `count`. */
ImageHead image_head(const unsigned char *bytes, size_t count);

/* Orientations 5 to 8: upright, the picture is as wide as the file is tall. */
bool image_lies(const ImageHead *head);
unsigned image_wide_px(const ImageHead *head); /* upright */
unsigned image_tall_px(const ImageHead *head);

#endif
