/* libyaml's faults in a maker's words, at the place where something is to be changed. Its own message names
 * what it was looking for, often a line late; the lines themselves say what was meant. */
#ifndef GROUNDROW_YAML_TROUBLE_H
#define GROUNDROW_YAML_TROUBLE_H

#include "spec_line.h"

/* What a parser says after it failed. Lines and columns as libyaml counts them, from 0, in code points. */
typedef struct YamlTrouble {
    const char *problem, *context; /* may be NULL */
    size_t line, column;
    size_t context_line, context_column;
} YamlTrouble;

/* Reports exactly one fault. */
void yaml_trouble_report(const Reading *reading, const YamlTrouble *trouble);

#endif
