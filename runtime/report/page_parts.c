#include "report/page_parts.h"

#include "report/html.h"

/* Put into the program whole; the build says where it is. */
__asm__(".section .rodata\n"
        ".globl groundrow_page_style\n"
        "groundrow_page_style:\n"
        ".incbin \"" PAGE_STYLE "\"\n"
        ".byte 0\n"
        ".previous\n");
extern const char groundrow_page_style[];

const char *page_style(void) {
    return groundrow_page_style;
}

const char *page_title(const Page *page) {
    return page->title && page->title[0] ? page->title : "A book without a title";
}

void page_name(Buffer *out, const char *name) {
    buffer_add(out, "<bdi>");
    html_text(out, name);
    buffer_add(out, "</bdi>");
}

void page_file_address(Buffer *out, const char *name, const char *ending) {
    html_address(out, name);
    html_address(out, ending);
}

/* An id must have no blanks; a browser looks for an address's bytes as they are before it decodes them (HTML
 * standard, 7.4.2.3.3), so that one text serves as both. */
void page_scene_anchor(Buffer *out, const char *scene) {
    buffer_add(out, "scene-");
    html_address(out, scene);
}
