#include "command/command.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/date.h"
#include "base/text.h"
#include "command/argument_file.h"
#include "command/help.h"
#include "job/job.h"

enum { LONGEST_SCREEN = 1 << 20, LARGEST_FILE = 1 << 20, EXIT_STOP = 1, SECONDS_PER_DAY = 86400 };

typedef bd_status bd_renderer(const bd_card *, const bd_report_style *, bd_sink, bd_error *);

static const struct {
    const char *name;
    bd_renderer *render;
} formats[] = {{"text", bd_report_text},
               {"json", bd_report_json},
               {"csv", bd_report_csv},
               {"ics", bd_report_ics}};

static void put(bd_sink sink, const char *s)
{
    (void)sink.put(s, strlen(s), sink.to);
}

/* "bagdose: --tank: '5 g' is a mass; accepted: a volume, such as 15 L" */
static int complain(bd_sink to, const bd_error *err)
{
    bd_text t;

    bd_text_init(&t, LONGEST_SCREEN);
    bd_text_add(&t, "bagdose: ");
    if (err->where[0] != '\0')
        bd_text_addf(&t, "%s: ", err->where);
    bd_text_add(&t, err->text[0] == '\0' ? bd_status_words(err->status) : err->text);
    if (err->accepts[0] != '\0')
        bd_text_addf(&t, "; accepted: %s", err->accepts);
    bd_text_add(&t, "\n");
    put(to, t.s);
    bd_text_clear(&t);
    return bd_status_exit(err->status);
}

static int show_screen(bd_streams streams, bd_text *screen)
{
    bd_error err = {0};
    int status = 0;

    if (!bd_text_ok(screen)) {
        (void)bd_fail(&err, BD_MEMORY, NULL, "no memory left");
        status = complain(streams.err, &err);
    } else if (streams.out.put(screen->s, screen->length, streams.out.to) != 0) {
        (void)bd_fail(&err, BD_FILE, "standard output", "cannot be written");
        status = complain(streams.err, &err);
    }
    bd_text_clear(screen);
    return status;
}

static int help(int count, char *const args[], bd_streams streams)
{
    bd_text screen;
    bd_error err = {0};
    bd_job job = BD_JOB_SPRAY;

    if (count > 0 && bd_job_find(args[0], &job, &err) != BD_OK)
        return complain(streams.err, &err);
    bd_text_init(&screen, LONGEST_SCREEN);
    if (count > 0)
        bd_help_job(job, &screen);
    else
        bd_help_all(&screen);
    return show_screen(streams, &screen);
}

static bd_status find_format(const bd_request *r, bd_renderer **out, bd_error *err)
{
    const bd_value *given = bd_request_get(r, BD_OPT_FORMAT);

    for (size_t i = 0; i < sizeof formats / sizeof formats[0]; i++) {
        if (strcmp(formats[i].name, given == NULL ? "text" : given->text) == 0) {
            *out = formats[i].render;
            return BD_OK;
        }
    }
    (void)bd_fail(err, BD_UNKNOWN, "--format", "'%.40s' is not a format", given->text);
    return bd_accepts(err, "text, json, csv or ics");
}

/* ---- the file of --water ------------------------------------------------ */

static bd_status read_file(const char *name, bd_text *bytes, bd_error *err)
{
    FILE *file = fopen(name, "rb");
    char block[4096];
    size_t n;
    bd_status status = BD_OK;

    if (file == NULL) {
        (void)bd_fail(err, BD_FILE, "--water",
                      "'%.100s' is neither a water known here nor a file that opens", name);
        return bd_accepts(err, "pure, soft, hard, or a file with an analysis");
    }
    while ((n = fread(block, 1, sizeof block, file)) > 0)
        bd_text_add_bytes(bytes, block, n);
    if (ferror(file) != 0)
        status = bd_fail(err, BD_FILE, name, "cannot be read");
    else if (!bd_text_ok(bytes))
        status = bd_fail(err, BD_RANGE, name, "is larger than 1 MiB, or memory ran out");
    (void)fclose(file);
    return status;
}

static bd_status load_water(const bd_request *r, bd_knowledge *know, bd_error *err)
{
    const bd_value *water = bd_request_get(r, BD_OPT_WATER);
    const bd_water *preset;
    bd_text bytes;
    bd_status status;

    if (water == NULL || bd_chemistry_water(know->chemistry, water->text, &preset, NULL) == BD_OK)
        return BD_OK;
    bd_text_init(&bytes, LARGEST_FILE);
    status = read_file(water->text, &bytes, err);
    if (status == BD_OK)
        status = bd_chemistry_read_water(know->chemistry, water->text, bytes.s, bytes.length,
                                         &know->user_water, err);
    bd_text_clear(&bytes);
    return status;
}

/* ---- one job ------------------------------------------------------------ */

static bd_status run_job(const bd_request *r, bd_card *card, bd_error *err)
{
    const bd_value *dir = bd_request_get(r, BD_OPT_NUTRIENTS);
    bd_knowledge know;
    bd_status status = bd_knowledge_load(dir == NULL ? NULL : dir->text, &know, err);

    if (status == BD_OK)
        status = load_water(r, &know, err);
    if (status == BD_OK)
        status = bd_job_run(&know, r, card, err);
    bd_knowledge_free(&know);
    return status;
}

/* Collects the whole card before a byte of it is written. */
static int take(const char *bytes, size_t n, void *to)
{
    bd_text_add_bytes(to, bytes, n);
    return bd_text_ok(to) ? 0 : -1;
}

/* The day the card is about: --date, else today. */
static int day_of(const bd_request *r)
{
    const bd_value *date = bd_request_get(r, BD_OPT_DATE);
    int day = r->today;

    if (date != NULL && bd_date_read(date->text, &day, NULL) != BD_OK)
        return r->today;
    return day;
}

/* Read before the job runs: `record` writes, and a job that wrote does not fail after it. */
static bd_status read_style(const bd_request *r, bd_streams streams, bd_report_style *style,
                            bd_error *err)
{
    const bd_value *language = bd_request_get(r, BD_OPT_LANGUAGE);
    bd_status status = BD_OK;

    *style = (bd_report_style){.shows_working = bd_request_get(r, BD_OPT_WORKING) != NULL,
                               .has_colour = streams.has_colour,
                               .today = day_of(r)};
    if (language != NULL)
        status = bd_language_read(language->text, &style->language, err);
    bd_error_at(err, "--language");
    return status;
}

static int deliver(const bd_card *card, const bd_report_style *style, bd_renderer *render,
                   bd_streams streams)
{
    bd_error err = {0};
    bd_text whole;
    bd_status status;
    int exit_status;

    bd_text_init(&whole, (size_t)LONGEST_SCREEN * 16);
    status = render(card, style, (bd_sink){take, &whole}, &err);
    if (status != BD_OK) {
        bd_text_clear(&whole);
        return complain(streams.err, &err);
    }
    exit_status = show_screen(streams, &whole);
    if (exit_status == 0 && bd_card_verdict(card) == BD_STOP)
        exit_status = EXIT_STOP;
    return exit_status;
}

static int do_job(bd_job job, int count, char *const args[], bd_streams streams)
{
    bd_request *request = malloc(sizeof *request);
    bd_card card = {.job = ""};
    bd_renderer *render = bd_report_text;
    bd_report_style style;
    bd_error err = {0};
    bd_status status;
    int exit_status;

    if (request == NULL) {
        (void)bd_fail(&err, BD_MEMORY, NULL, "no memory left");
        return complain(streams.err, &err);
    }
    status = bd_request_read(job, count, args, request, &err);
    if (status == BD_OK)
        request->today = (int)(time(NULL) / SECONDS_PER_DAY);
    if (status == BD_OK)
        status = find_format(request, &render, &err);
    if (status == BD_OK)
        status = read_style(request, streams, &style, &err);
    if (status == BD_OK)
        status = run_job(request, &card, &err);
    exit_status =
        status == BD_OK ? deliver(&card, &style, render, streams) : complain(streams.err, &err);
    bd_card_clear(&card);
    free(request);
    return exit_status;
}

static int run_words(int count, char *const args[], bd_streams streams)
{
    bd_error err = {0};
    bd_job job = BD_JOB_SPRAY;

    if (count == 0 || strcmp(args[0], "help") == 0 || strcmp(args[0], "--help") == 0)
        return help(count > 0 ? count - 1 : 0, args + 1, streams);
    if (bd_job_find(args[0], &job, &err) != BD_OK)
        return complain(streams.err, &err);
    if (count > 1 && strcmp(args[1], "--help") == 0)
        return help(1, args, streams);
    return do_job(job, count - 1, args + 1, streams);
}

int bd_command_run(int count, char *const args[], bd_streams streams)
{
    bd_arguments file;
    bd_error err = {0};
    bd_status status;
    int exit_status;

    if (count == 0 || args[0][0] != '@')
        return run_words(count, args, streams);
    status = bd_arguments_read(args[0] + 1, &file, &err);
    for (int i = 1; i < count && status == BD_OK; i++)
        status = bd_arguments_add(&file, args[i], &err);
    exit_status =
        status == BD_OK ? run_words(file.count, file.words, streams) : complain(streams.err, &err);
    bd_arguments_free(&file);
    return exit_status;
}
