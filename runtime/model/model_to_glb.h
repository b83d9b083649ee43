/* Stage: a model into binary glTF 2.0 (Khronos; ISO/IEC 12113): one file, everything in it, nothing that a
 * plain viewer could misread. KHR_materials_unlit is the only extension. The same model gives the same bytes.
 */
#ifndef GROUNDROW_MODEL_TO_GLB_H
#define GROUNDROW_MODEL_TO_GLB_H

#include "base/text.h"
#include "model/model.h"

/* Adds the whole file to `glb`. False, with nothing added, when the machine has no memory for it or the file
 * would not fit into the 4 GiB that its header can count. */
bool model_to_glb(Arena *arena, const Model *model, Buffer *glb);

#endif
