/* Stage: facts into JSON (RFC 8259): the facts of the text as data, to 0.001 mm and 0.000001 degree, with the
 * named points and the cameras beside them. Keys stand in the order of the report; docs/report.md lists them.
 */
#ifndef GROUNDROW_FACTS_TO_JSON_H
#define GROUNDROW_FACTS_TO_JSON_H

#include "base/text.h"
#include "report/facts.h"

void facts_to_json(Buffer *out, const Facts *facts);

#endif
