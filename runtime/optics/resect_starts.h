/* Cameras to start from: of three marks and a focal length there are up to four; of many threes, those that
 * see most marks where they are. docs/geometry.md, rule 65. Internal to optics/: others use resect.h. */
#ifndef GROUNDROW_RESECT_STARTS_H
#define GROUNDROW_RESECT_STARTS_H

#include "optics/resect_fit.h"

enum { STARTS_MOST = 8 };

/* Cameras that see three points along three rays (unit vectors right, down, forward; both by rows). Returns
 * how many, at most 4; those with a point behind are left out. Of a pair of complex solutions the real part
 * is one: under noise that is where two real ones have met. */
size_t three_point_cameras(const Turn *points, const Turn *rays, double lens[4][3], Turn axes[4]);

typedef struct Starts {
    FitCamera camera[STARTS_MOST];
    double miss[STARTS_MOST]; /* of all marks, bounded for each, so that a mis-marked one counts little */
    size_t count;             /* best first, different ones */
} Starts;

/* From `threes` threes of the marks that are far apart in the photograph, at most `most` starts. Where the
 * focal length is sought, it is tried from very wide to very long. */
void starts_find(const FitModel *model, const MarkSet *marks, size_t threes, size_t most, Starts *starts);

/* The same points in one plane, seen from the other side of its normal: what a plane seen from afar may be
 * mistaken for. `normal` of the plane, `middle` of the points. */
FitCamera start_mirrored(const FitCamera *camera, const double normal[3], const double middle[3]);

#endif
