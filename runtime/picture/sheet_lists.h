/* The tables of a scene's sheets: what their files share. All of them are facts, in the report's words. */
#ifndef GROUNDROW_SHEET_LISTS_H
#define GROUNDROW_SHEET_LISTS_H

#include "picture/sheet.h"

/* A row; cells that are not given are empty. */
void sheet_row(Sheets *sheets, SheetTable *table, SheetRow row);
/* `3 heron`; the name alone where no thing has it. */
const char *sheet_numbered(const Sheets *sheets, const char *name);
/* Of a scene's blocks, one after the other: the next of a kind from `*at` on, or NULL. */
const FactBlock *sheet_next_block(const Sheets *sheets, const char *kind, size_t *at);
const Fact *sheet_fact(const Sheets *sheets, const FactBlock *block, const char *key);
/* Those of a fact's parts that have these names, up to three; without the words round them, but where `whole`
 * those behind them. "" where it has none, or there is no fact. */
typedef struct SheetParts {
    const char *names[3];
    bool whole;
} SheetParts;
const char *sheet_parts(const Sheets *sheets, const Fact *fact, SheetParts parts);
/* Without what the column's head says. */
const char *sheet_without(const Sheets *sheets, const char *text, const char *ending);
/* `Label: text.` */
const char *sheet_sentence(const Sheets *sheets, const Fact *fact);
/* Those, one after the other, of the facts for which `takes` says yes. */
typedef bool SheetTakes(const Fact *fact);
const char *sheet_sentences(const Sheets *sheets, const FactBlock *block, SheetTakes *takes);
/* A block as it stands in the report. */
void sheet_block_table(Sheets *sheets, const FactBlock *block, const char *title, const char *first);

void sheet_tape_lists(Sheets *sheets);   /* where everything goes */
void sheet_make_lists(Sheets *sheets);   /* what is built, how large */
void sheet_cut_lists(Sheets *sheets);    /* from what, and how that is cut */
void sheet_room_lists(Sheets *sheets);   /* tables, lamps, the room */
void sheet_camera_lists(Sheets *sheets); /* how cameras are set */

#endif
