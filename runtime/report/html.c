#include "report/html.h"

#include <string.h>

/* HTML has no control characters but these (HTML standard, 13.1.4), nor noncharacters. */
static bool is_sayable(uint32_t sign) {
    if (sign < 0x20) return sign == '\t' || sign == '\n';
    if (sign >= 0x7F && sign < 0xA0) return false;
    return (sign & 0xFFFE) != 0xFFFE && !(sign >= 0xFDD0 && sign <= 0xFDEF);
}

/* One sign's worth of text; returns its bytes. */
static size_t add_sign(Buffer *out, const char *text, size_t left) {
    uint32_t sign;
    const size_t used = utf8_decode(text, left, &sign);
    if (used == 0 || !is_sayable(sign))
        buffer_add(out, "\xEF\xBF\xBD");
    else if (sign == '&')
        buffer_add(out, "&amp;");
    else if (sign == '<')
        buffer_add(out, "&lt;");
    else if (sign == '>')
        buffer_add(out, "&gt;");
    else if (sign == '"')
        buffer_add(out, "&quot;");
    else
        buffer_add_bytes(out, text, used);
    return used ? used : 1;
}

static void add_text(Buffer *out, const char *text, size_t count) {
    for (size_t at = 0; at < count;)
        at += add_sign(out, text + at, count - at);
}

void html_text(Buffer *out, const char *text) {
    add_text(out, text, strlen(text));
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/* Whether the blank here stands between a number and its fraction or unit. */
static bool is_inside_number(const char *text, const char *blank) {
    static const char *const units[] = {"in", "mm", "deg", "%"};
    if (blank == text || !is_digit(blank[-1])) return false;
    if (is_digit(blank[1]) && strchr(blank, '/'))
        return strcspn(blank + 1, "/") == strspn(blank + 1, "0123456789");
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        const size_t length = strlen(units[i]);
        if (strncmp(blank + 1, units[i], length) == 0 && strchr(" ;,)", blank[1 + length])) return true;
    }
    return false;
}

void html_numbers(Buffer *out, const char *text) {
    const char *from = text;
    for (const char *c = text; *c; c++) {
        if (*c != ' ' || !is_inside_number(text, c)) continue;
        add_text(out, from, (size_t)(c - from));
        buffer_add(out, "&nbsp;");
        from = c + 1;
    }
    html_text(out, from);
}

void html_prose(Buffer *out, const char *text) {
    for (;;) {
        const size_t before = strcspn(text, "`");
        const char *code = text + before + (text[before] == '`');
        const size_t length = strcspn(code, "`");
        if (text[before] != '`' || code[length] != '`') break;
        add_text(out, text, before);
        buffer_add(out, "<code>");
        add_text(out, code, length);
        buffer_add(out, "</code>");
        text = code + length + 1;
    }
    html_text(out, text);
}

static bool is_unreserved(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '.' || c == '_' || c == '~';
}

void html_address(Buffer *out, const char *name) {
    static const char digits[] = "0123456789ABCDEF";
    for (const char *c = name; *c; c++) {
        const unsigned char byte = (unsigned char)*c;
        if (is_unreserved(*c))
            buffer_add_char(out, *c);
        else
            buffer_format(out, "%%%c%c", digits[byte >> 4], digits[byte & 15]);
    }
}
