#include "model/latin.h"

#include "base/text.h"

#include <string.h>

/* The Latin letters of Latin-1 and Latin Extended-A, with one mark each, and what is under them, in step. */
static const struct {
    LatinMark mark;
    const char *letters, *bases;
} marked[] = {{MARK_GRAVE, "ÀÈÌÒÙàèìòù", "AEIOUaeiou"},
              {MARK_ACUTE, "ÁÉÍÓÚÝáéíóúýĆćĹĺŃńŔŕŚśŹź", "AEIOUYaeiouyCcLlNnRrSsZz"},
              {MARK_CIRCUMFLEX, "ÂÊÎÔÛâêîôûĈĉĜĝĤĥĴĵŜŝŴŵŶŷ", "AEIOUaeiouCcGgHhJjSsWwYy"},
              {MARK_TILDE, "ÃÑÕãñõĨĩŨũ", "ANOanoIiUu"},
              {MARK_DIAERESIS, "ÄËÏÖÜäëïöüÿŸ", "AEIOUaeiouyY"},
              {MARK_RING, "ÅåŮů", "AaUu"},
              {MARK_CARON, "ČčĎďĚěĽľŇňŘřŠšŤťŽž", "CcDdEeLlNnRrSsTtZz"},
              {MARK_MACRON, "ĀāĒēĪīŌōŪū", "AaEeIiOoUu"},
              {MARK_BREVE, "ĂăĔĕĞğĬĭŎŏŬŭ", "AaEeGgIiOoUu"},
              {MARK_DOT, "ĊċĖėĠġİŻż", "CcEeGgIZz"},
              {MARK_DOUBLE_ACUTE, "ŐőŰű", "OoUu"},
              {MARK_CEDILLA, "ÇçĢģĶķĻļŅņŖŗŞşŢţȘșȚț", "CcGgKkLlNnRrSsTtSsTt"},
              {MARK_OGONEK, "ĄąĘęĮįŲų", "AaEeIiUu"},
              {MARK_STROKE, "ØøĐđĦħŁłŦŧ", "OoDdHhLlTt"}};

static const struct {
    uint32_t sign;
    const char *base;
} spelt[] = {{0xC6, "AE"},  {0xE6, "ae"},   {0x152, "OE"}, {0x153, "oe"}, {0xDF, "ss"}, {0xDE, "Th"},
             {0xFE, "th"},  {0xD0, "D"},    {0xF0, "d"},   {0x131, "i"},  {0xD7, "x"},  {0x2019, "'"},
             {0x2032, "'"}, {0x2033, "\""}, {0x2013, "-"}, {0x2014, "-"}};

static char base_of(const char *letters, const char *bases, uint32_t sign) {
    const size_t count = strlen(letters);
    for (size_t at = 0, i = 0; at < count; i++) {
        uint32_t letter;
        at += utf8_decode(letters + at, count - at, &letter);
        if (letter == sign) return bases[i];
    }
    return 0;
}

const char *latin_base(uint32_t code_point, LatinMark *mark, char base[3]) {
    base[0] = base[1] = base[2] = 0;
    *mark = MARK_NONE;
    if (code_point < 0x80) {
        base[0] = (char)code_point;
        return base;
    }
    for (size_t i = 0; i < sizeof marked / sizeof *marked; i++) {
        base[0] = base_of(marked[i].letters, marked[i].bases, code_point);
        if (base[0]) {
            *mark = marked[i].mark;
            return base;
        }
    }
    for (size_t i = 0; i < sizeof spelt / sizeof *spelt; i++) {
        if (spelt[i].sign == code_point) return spelt[i].base;
    }
    return base;
}

static bool is_plain(char c) {
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
}

static void add_hex(Buffer *out, uint32_t sign) {
    buffer_add_char(out, 'u');
    for (int shift = sign > 0xFFFF ? 20 : 12; shift >= 0; shift -= 4)
        buffer_add_char(out, "0123456789abcdef"[(sign >> shift) & 15]);
}

const char *latin_plain_name(Arena *arena, const char *name) {
    Buffer out = buffer_new(arena);
    const size_t count = strlen(name);
    for (size_t at = 0; at < count;) {
        uint32_t sign = 0;
        LatinMark mark;
        char under[3];
        const size_t used = utf8_decode(name + at, count - at, &sign);
        at += used > 0 ? used : 1;
        if (used == 0) continue;
        const char *base = latin_base(sign, &mark, under);
        if (sign == ' ')
            buffer_add_char(&out, '_');
        else if (base[0] && is_plain(base[0]))
            buffer_add(&out, base);
        else
            add_hex(&out, sign);
    }
    return out.count > 0 ? buffer_text(&out) : "_";
}
