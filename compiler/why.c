#include "why.h"

#include "one_scene.h"
#include "report/points_to_text.h"
#include "report/reasons_to_text.h"
#include "say.h"
#include "see/point_sight.h"

ExitCode run_why(Arena *arena, const Options *options) {
    OneScene scene;
    ExitCode code;
    if (!one_scene_plan(arena, options, &scene, &code)) return code;
    Buffer chain = buffer_new(arena);
    if (reasons_to_text(&chain, scene.plan, &scene.book->sources, options->quantity))
        return say_output(arena, &chain) ? EXIT_DONE : EXIT_MACHINE;
    const char *near = reasons_nearest(arena, scene.plan, options->quantity);
    say_line(arena, arena_format(arena, "nothing called `%s` in %s%s", options->quantity, options->scenes[0],
                                 near ? one_scene_near(arena, near)
                                      : arena_format(arena, "; %s",
                                                     reasons_offered(arena, scene.plan, options->quantity))));
    return EXIT_USAGE;
}

ExitCode run_points(Arena *arena, const Options *options) {
    OneScene scene;
    ExitCode code;
    if (!one_scene_plan(arena, options, &scene, &code)) return code;
    Buffer points = buffer_new(arena);
    points_to_text(&points, scene.plan, points_hidden(arena, scene.plan));
    return say_output(arena, &points) ? EXIT_DONE : EXIT_MACHINE;
}
