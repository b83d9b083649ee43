#include "run.h"

#include "base/files.h"
#include "book.h"
#include "compile.h"
#include "gather.h"
#include "outputs.h"
#include "picture/summaries_to_sheets.h"
#include "report/facts_to_json.h"
#include "report/summaries_to_book.h"
#include "report/summaries_to_page.h"
#include "same_pages.h"
#include "say.h"

#include <pthread.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

/* One scene's part in a run. */
typedef struct SceneRun {
    const BookScene *scene;
    bool written; /* asked for: its own files are written; else only the book needs it */
    Arena *keeps; /* everything below, and its text */
    Diagnostics said;
    const char *trouble;
    const char *changed; /* the files that were written, or NULL */
    Buffer dump;
    bool sound; /* no fault and no trouble: then the rest holds */
    Summary summary;
    MadeFiles made; /* its scene NULL where none of them were asked for */
    const char *book_title;
    LengthStyle lengths;
    ShopPaper paper;
    Buffer sheets;    /* where the book's are made */
    ScenePages pages; /* none where it could not be planned */
} SceneRun;

typedef struct Run {
    Arena *arena;
    const Options *options;
    const Book *book;
    const char *output;
    CompileGoal goal;
    bool book_faulty; /* warnings about it included where they are faults: nothing is written */
    SceneRun *scenes;
    size_t count, next, done;
    pthread_mutex_t lock; /* of `next`, `done` and the line of progress */
    struct timespec start;
    bool shows_progress, progress_shown;
} Run;

/* Whether the run ends in files of the whole book, so that every scene is needed. */
static bool makes_book(const Options *options) {
    return (options->with_book || options->scene_count == 0) && options->outputs & OUTPUTS_OF_BOOK;
}

/* ---- Progress, on a terminal, once it takes long */

static double seconds_since(const struct timespec *start) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)(now.tv_sec - start->tv_sec) + 1e-9 * (double)(now.tv_nsec - start->tv_nsec);
}

static void show_progress(Run *run) {
    if (!run->shows_progress || run->done == run->count || seconds_since(&run->start) < 0.3) return;
    Arena *arena = arena_new();
    const char *line = arena_format(arena, "\r%zu of %zu scenes", run->done, run->count);
    descriptor_write(STDERR_FILENO, line, strlen(line));
    run->progress_shown = true;
    arena_free(arena);
}

static void clear_progress(const Run *run) {
    static const char clear[] = "\r\033[K";
    if (run->progress_shown) descriptor_write(STDERR_FILENO, clear, sizeof clear - 1);
}

/* ---- One scene */

static void make_strict(Diagnostics *list) {
    for (size_t i = 0; i < list->items.count; i++)
        list->items.items[i]->severity = SEVERITY_ERROR;
    list->errors += list->warnings;
    list->warnings = 0;
}

static void dump_scene(const Run *run, const SceneRun *scene, const Compiled *made, Buffer *out) {
    const Options *options = run->options;
    if (options->dump == DUMP_TREE && made->tree) {
        buffer_format(out, "%s\n", run->book->sources.items[scene->scene->file].path);
        tree_print(out, made->tree);
    }
    if (options->dump == DUMP_FACTS && made->facts) facts_to_json(out, made->facts);
}

static void keep_made(SceneRun *scene, OutputKinds kinds, const OutputFiles *files) {
    scene->made.scene = scene->scene->name;
    scene->made.kinds = kinds;
    for (size_t i = 0; i < files->count; i++) {
        if (files->items[i].kind & kinds)
            LIST_PUSH(scene->keeps, scene->made.endings, arena_string(scene->keeps, files->items[i].ending));
    }
}

static void write_scene(const Run *run, SceneRun *scene, const Compiled *made, OutputKinds kinds,
                        Arena *arena) {
    const char *changed = NULL, *trouble = NULL;
    outputs_write(arena, run->output, scene->scene->name, &made->files, &changed, &trouble);
    if (changed) scene->changed = arena_string(scene->keeps, changed);
    if (!trouble) {
        const OutputKinds varying = kinds & (OUTPUT_PICTURES | OUTPUT_PATTERNS | OUTPUT_BACKDROP);
        if (varying) keep_made(scene, varying, &made->files);
        return;
    }
    scene->trouble = arena_string(scene->keeps, trouble);
    scene->sound = false; /* book.txt would speak of other files than those that are there */
}

static void keep_sheets(SceneRun *scene, const OutputFiles *files) {
    scene->sheets = buffer_new(scene->keeps);
    for (size_t i = 0; i < files->count; i++) {
        const OutputFile *file = &files->items[i];
        if (file->kind == OUTPUT_SHEETS)
            buffer_add_bytes(&scene->sheets, file->bytes.bytes, file->bytes.count);
    }
}

static void keep_for_book(const Run *run, SceneRun *scene, const Compiled *made) {
    const char *title = made->plan->scene->book_title;
    scene->summary = made->summary;
    scene->summary.turn = scene->scene->turn;
    scene->book_title = title ? arena_string(scene->keeps, title) : NULL;
    scene->lengths = made->plan->scene->lengths;
    scene->paper = made->plan->scene->shop_paper;
    if (makes_book(run->options)) keep_sheets(scene, &made->files);
}

/* Of a scene that is not written what the book is made of. Patterns that were asked for once are made again
 * with the shop sheets: nobody cuts by what is no longer true. */
static OutputKinds kinds_of_scene(const Run *run, const SceneRun *scene) {
    const OutputKinds kinds = run->options->outputs;
    if (!scene->written) return kinds & OUTPUTS_FOR_BOOK;
    const bool renewed = run->goal == GOAL_OUTPUTS && kinds & (OUTPUT_SHEETS | OUTPUT_PATTERNS);
    return renewed ? kinds | outputs_patterns_there(run->output, scene->scene->name) : kinds;
}

/* Without files a scene goes as far as the book needs it. */
static CompileGoal goal_of_scene(const Run *run, OutputKinds kinds) {
    return kinds & OUTPUTS_OF_SCENE || run->goal < GOAL_FACTS ? run->goal : GOAL_FACTS;
}

static void run_scene(const Run *run, SceneRun *scene) {
    Arena *arena = arena_new();
    const OutputKinds kinds = kinds_of_scene(run, scene);
    const CompileGoal goal = goal_of_scene(run, kinds);
    Diagnostics said = diagnostics_new(arena);
    const Compiled made = scene_compile(run->book, scene->scene, goal, kinds, arena, scene->keeps, &said);
    diagnostics_sort(&said);
    diagnostics_append(&scene->said, &said);
    if (run->options->strict) make_strict(&scene->said);
    if (made.trouble) scene->trouble = arena_string(scene->keeps, made.trouble);
    if (scene->written) dump_scene(run, scene, &made, &scene->dump);
    scene->sound = made.plan && scene->said.errors == 0 && !made.trouble;
    if (made.plan) scene->pages = pages_of_scene(scene->keeps, scene->scene->name, made.plan->scene);
    if (scene->sound) keep_for_book(run, scene, &made);
    if (scene->sound && scene->written && goal == GOAL_OUTPUTS && !run->book_faulty)
        write_scene(run, scene, &made, kinds, arena);
    arena_free(arena);
}

/* ---- All of them */

static SceneRun *take_scene(Run *run, bool one_done) {
    pthread_mutex_lock(&run->lock);
    if (one_done) {
        run->done++;
        show_progress(run);
    }
    SceneRun *scene = run->next < run->count ? &run->scenes[run->next++] : NULL;
    pthread_mutex_unlock(&run->lock);
    return scene;
}

static void *work(void *context) {
    Run *run = context;
    for (SceneRun *scene = take_scene(run, false); scene; scene = take_scene(run, true))
        run_scene(run, scene);
    return NULL;
}

static size_t worker_count(const Run *run) {
    const long processors = sysconf(_SC_NPROCESSORS_ONLN);
    size_t wanted = run->options->jobs;
    if (wanted == 0) wanted = processors > 0 ? (size_t)processors : 1;
    if (wanted > JOBS_MOST) wanted = JOBS_MOST;
    return wanted < run->count ? wanted : run->count;
}

/* This thread works too, so that a machine that gives no more of them still gets through. */
static void work_all(Run *run) {
    pthread_t threads[JOBS_MOST];
    const size_t wanted = worker_count(run);
    size_t started = 0;
    while (started + 1 < wanted && pthread_create(&threads[started], NULL, work, run) == 0)
        started++;
    work(run);
    for (size_t i = 0; i < started; i++)
        pthread_join(threads[i], NULL);
    clear_progress(run);
}

/* ---- What is asked for */

static bool is_named(const Options *options, const char *name) {
    for (size_t i = 0; i < options->scene_count; i++) {
        if (text_equal(options->scenes[i], name)) return true;
    }
    return false;
}

static void choose_scenes(Run *run) {
    const Options *options = run->options;
    const bool all = options->scene_count == 0 && !options->with_book;
    run->scenes = ARENA_ARRAY(run->arena, SceneRun, run->book->scene_count);
    for (size_t i = 0; i < run->book->scene_count; i++) {
        const BookScene *scene = &run->book->scenes[i];
        const bool written = all || is_named(options, scene->name);
        if (!written && !makes_book(options)) continue;
        SceneRun *entry = &run->scenes[run->count++];
        *entry = (SceneRun){.scene = scene, .written = written, .keeps = arena_new()};
        entry->said = diagnostics_new(entry->keeps);
        entry->dump = buffer_new(entry->keeps);
    }
}

static bool names_are_known(const Run *run) {
    const Options *options = run->options;
    for (size_t i = 0; i < options->scene_count; i++) {
        const char *name = options->scenes[i];
        if (book_find(run->book, name)) continue;
        const char *near = book_near_name(run->book, name);
        say_line(run->arena, near ? arena_format(run->arena, "no scene `%s` in %s; did you mean `%s`?", name,
                                                 options->book, near)
                                  : arena_format(run->arena, "no scene `%s` in %s", name, options->book));
        return false;
    }
    return true;
}

static CompileGoal goal_of(const Options *options) {
    if (options->command == COMMAND_CHECK) return GOAL_SEEN;
    if (options->dump == DUMP_TREE) return GOAL_TREE;
    if (options->dump == DUMP_FACTS) return GOAL_FACTS;
    return GOAL_OUTPUTS;
}

/* ---- What came of it */

static void compare_pages(const Run *run) {
    ScenePages *pages = ARENA_ARRAY(run->arena, ScenePages, run->count);
    for (size_t i = 0; i < run->count; i++) {
        SceneRun *scene = &run->scenes[i];
        pages[i] = scene->pages;
        Diagnostics found = diagnostics_new(scene->keeps);
        if (!warn_of_same_pages(&found, pages, i)) continue;
        if (run->options->strict) make_strict(&found);
        scene->sound = scene->sound && found.errors == 0;
        diagnostics_append(&scene->said, &found);
        diagnostics_sort(&scene->said);
    }
}

static void collect(const Run *run, Said *said) {
    diagnostics_append(&said->diagnostics, &run->book->diagnostics);
    if (run->options->strict) make_strict(&said->diagnostics);
    said->book_faulty = run->book_faulty;
    compare_pages(run);
    SceneSaid *scenes = ARENA_ARRAY(run->arena, SceneSaid, run->count);
    for (size_t i = 0; i < run->count; i++)
        scenes[i] = (SceneSaid){run->scenes[i].scene->name, &run->scenes[i].said};
    gather_said(&said->diagnostics, scenes, run->count);
    for (size_t i = 0; i < run->count; i++) {
        SceneRun *scene = &run->scenes[i];
        if (scene->trouble) LIST_PUSH(run->arena, said->trouble, scene->trouble);
        if (scene->written && scene->said.errors > 0)
            LIST_PUSH(run->arena, said->unwritten, scene->scene->name);
        buffer_add_bytes(&said->results, buffer_text(&scene->dump), scene->dump.count);
        if (scene->changed && !run->options->quiet)
            buffer_format(&said->results, "wrote %s\n", scene->changed);
    }
}

/* A file of the book's own. */
static void write_of_book(const Run *run, const char *name, const OutputFiles *files, Said *said) {
    const char *changed = NULL, *trouble = NULL;
    outputs_write(run->arena, run->output, name, files, &changed, &trouble);
    if (trouble) LIST_PUSH(run->arena, said->trouble, trouble);
    if (changed && !run->options->quiet) buffer_format(&said->results, "wrote %s\n", changed);
}

static bool add_book_sheets(const Run *run, const BookFacts *facts, const Summary *summaries,
                            OutputFiles *files, Said *said) {
    const SceneRun *first = &run->scenes[0];
    Buffer *sheets = ARENA_ARRAY(run->arena, Buffer, run->count);
    for (size_t i = 0; i < run->count; i++)
        sheets[i] = run->scenes[i].sheets;
    const BookSheets book = {.title = first->book_title,
                             .lengths = first->lengths,
                             .paper = first->paper,
                             .facts = facts,
                             .summaries = summaries,
                             .scenes = sheets,
                             .count = run->count};
    const char *trouble = NULL;
    Buffer *pdf = output_add(run->arena, files, OUTPUT_SHEETS, ".pdf");
    if (summaries_to_sheets(run->arena, pdf, &book, &trouble)) return true;
    LIST_PUSH(run->arena, said->trouble, trouble);
    return false;
}

/* book.txt and book.pdf, both or none. */
static void write_book_files(const Run *run, const BookFacts *facts, const Summary *summaries, Said *said) {
    const OutputKinds kinds = run->options->outputs;
    OutputFiles files = {0};
    if (kinds & OUTPUT_REPORTS) book_to_text(output_add(run->arena, &files, OUTPUT_REPORTS, ".txt"), facts);
    if (kinds & OUTPUT_SHEETS && !add_book_sheets(run, facts, summaries, &files, said)) return;
    write_of_book(run, "book", &files, said);
}

/* Links what this run wrote, and of the kinds that were not asked for what is there. */
static void write_page(const Run *run, const BookFacts *facts, const Summary *summaries, Said *said) {
    Arena *arena = run->arena;
    const OutputFolder folder = outputs_list(arena, run->output);
    const OutputKinds kinds = run->options->outputs;
    const bool data = kinds & OUTPUT_DATA || !(kinds & OUTPUT_REPORTS);
    PageScene *scenes = ARENA_ARRAY(arena, PageScene, run->count);
    for (size_t i = 0; i < run->count; i++) {
        const SceneRun *scene = &run->scenes[i];
        const MadeFiles *made = scene->made.scene ? &scene->made : NULL;
        scenes[i] = outputs_of_scene(arena, &folder, scene->scene->name, made, data);
        scenes[i].summary = &summaries[i];
    }
    const Page page = {.title = run->scenes[0].book_title,
                       .book = facts->facts,
                       .lengths = run->scenes[0].lengths,
                       .scenes = scenes,
                       .scene_count = run->count,
                       .book_text = file_exists(path_join(arena, run->output, "book.txt")),
                       .book_sheets = file_exists(path_join(arena, run->output, "book.pdf"))};
    OutputFiles files = {0};
    summaries_to_page(output_add(arena, &files, OUTPUT_PAGE, ".html"), arena, &page);
    write_of_book(run, "index", &files, said);
}

static void write_book(const Run *run, Said *said) {
    if (run->count == 0) return;
    Summary *summaries = ARENA_ARRAY(run->arena, Summary, run->count);
    for (size_t i = 0; i < run->count; i++) {
        if (!run->scenes[i].sound) return;
        summaries[i] = run->scenes[i].summary;
    }
    const BookFacts facts = summaries_to_book(run->arena, run->scenes[0].book_title, run->scenes[0].lengths,
                                              summaries, run->count);
    if (run->options->outputs & (OUTPUT_REPORTS | OUTPUT_SHEETS))
        write_book_files(run, &facts, summaries, said);
    if (run->options->outputs & OUTPUT_PAGE) write_page(run, &facts, summaries, said);
}

/* What this run made, scene by scene. */
static MadeFiles *files_made(const Run *run, size_t *count) {
    MadeFiles *made = ARENA_ARRAY(run->arena, MadeFiles, run->count);
    *count = 0;
    for (size_t i = 0; i < run->count; i++)
        if (run->scenes[i].made.scene) made[(*count)++] = run->scenes[i].made;
    return made;
}

static void say_stale(const StaleFiles *stale, const char *shown, Diagnostics *found, Span none) {
    Diagnostic *warning =
        diagnostics_warning(found, "stale-output", none,
                            stale->scene_gone ? "made by an earlier run for a scene that is gone"
                                              : "made by an earlier run; the scene has no such file now");
    warning->path = shown;
    diagnostic_help(found, warning, "delete it, or run with --prune");
}

static void judge_stale(const Run *run, Said *said) {
    size_t made_count, count;
    const MadeFiles *made = files_made(run, &made_count);
    const StaleFiles *stale =
        outputs_find_stale(run->arena, run->output, run->book, made, made_count, &count);
    Diagnostics found = diagnostics_new(run->arena);
    for (size_t i = 0; i < count; i++) {
        const char *shown = stale_shown(run->arena, run->output, &stale[i]);
        const char *trouble = NULL;
        if (!run->options->prune)
            say_stale(&stale[i], shown, &found, (Span){.file = run->book->sources.count});
        else if (!outputs_prune(run->arena, run->output, &stale[i], &trouble))
            LIST_PUSH(run->arena, said->trouble, trouble);
        else if (!run->options->quiet)
            buffer_format(&said->results, "deleted %s\n", shown);
    }
    if (run->options->strict) make_strict(&found);
    diagnostics_append(&said->diagnostics, &found);
}

static void finish(const Run *run, Said *said) {
    const Options *options = run->options;
    if (run->goal != GOAL_OUTPUTS || said->book_faulty) return;
    if (makes_book(options)) write_book(run, said);
    if (options->prune || (options->scene_count == 0 && !options->with_book)) judge_stale(run, said);
}

ExitCode run_book(Arena *arena, const Options *options) {
    const Book *book = book_new(arena, options->book);
    Run run = {.arena = arena, .options = options, .book = book, .goal = goal_of(options)};
    if (book->trouble) {
        say_line(arena, book->trouble);
        return EXIT_MACHINE;
    }
    if (book->sources.count > 0 && !names_are_known(&run)) return EXIT_USAGE;
    run.book_faulty = book->faulty || (options->strict && book->diagnostics.warnings > 0);
    run.output = options->output ? options->output : outputs_default_folder(arena, options->book);
    run.shows_progress = !options->quiet && isatty(STDERR_FILENO);
    clock_gettime(CLOCK_MONOTONIC, &run.start);
    pthread_mutex_init(&run.lock, NULL);
    choose_scenes(&run);
    work_all(&run);
    Said said = {.diagnostics = diagnostics_new(arena),
                 .sources = &book->sources,
                 .results = buffer_new(arena),
                 .writes = run.goal == GOAL_OUTPUTS};
    collect(&run, &said);
    finish(&run, &said);
    const bool printed = said_print(arena, &said, options);
    const bool faulty = said.diagnostics.errors > 0, troubled = said.trouble.count > 0 || !printed;
    for (size_t i = 0; i < run.count; i++)
        arena_free(run.scenes[i].keeps);
    pthread_mutex_destroy(&run.lock);
    return troubled ? EXIT_MACHINE : faulty ? EXIT_FAULTS : EXIT_DONE;
}
