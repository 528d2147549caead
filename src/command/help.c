#include "command/help.h"

#include <string.h>

#include "report/wrap.h"
#include "request/groups.h"

enum { NAME_COLUMN = 30 };

static void add_row(bd_text *out, const char *name, const char *what, const char *help)
{
    size_t width = strlen(name) + (what[0] == '\0' ? 0 : strlen(what) + 1);

    bd_text_addf(out, "  %s%s%s", name, what[0] == '\0' ? "" : " ", what);
    if (width + 2 >= NAME_COLUMN) {
        bd_text_add(out, "\n");
        bd_wrap_pad(out, 0, NAME_COLUMN);
    } else {
        bd_wrap_pad(out, width + 2, NAME_COLUMN);
    }
    bd_wrap_add(out, help, NAME_COLUMN, NAME_COLUMN);
}

void bd_help_all(bd_text *out)
{
    bd_text_add(out,
                "bagdose JOB [options]\n\n"
                "How many grams of fertiliser per bag, pot or litre of spray, whether that is\n"
                "safe, and why.  Limits and cautions are printed with every dose.\n\nJobs\n");
    for (int i = 0; i < BD_JOB_COUNT; i++)
        add_row(out, bd_job_about((bd_job)i)->word, "", bd_job_about((bd_job)i)->line);
    bd_text_add(out, "\nOptions of every job\n");
    for (int i = 0; i < BD_OPTION_COUNT; i++) {
        const bd_option_info *o = bd_option_about((bd_option)i);
        char name[64] = "--";

        if (strcmp(o->jobs, "*") != 0)
            continue;
        strncat(name, o->name, sizeof name - 3);
        add_row(out, name, o->what, o->help);
    }
    bd_text_add(out, "\nbagdose @FILE reads the words from a file, one option a line.\n"
                     "bagdose help JOB shows one job.  Exit status: 0 done, 1 the card says STOP,\n"
                     "2 the command line or an input is wrong, 3 a file or memory failed.\n");
}

static void add_example(bd_text *out, const char *example)
{
    const char *at = example;

    bd_text_add(out, "\nFor example\n  ");
    while (*at != '\0') {
        const char *next = strstr(at + 1, " --");

        if (next == NULL)
            next = at + strlen(at);
        bd_text_add_bytes(out, at, (size_t)(next - at));
        if (*next != '\0')
            bd_text_add(out, " \\\n   ");
        at = next;
    }
    bd_text_add(out, "\n");
}

/* Options that are said once for each kind of bag. */
static void add_kinds_of_bags(bd_job job, bd_text *out)
{
    if (!bd_groups_repeats(job, BD_OPT_BAGS))
        return;
    bd_text_add(out,
                "\nBags of several kinds: say these again for each kind, in the same order\n ");
    for (int i = 0; i < BD_OPTION_COUNT; i++)
        if (bd_groups_repeats(job, (bd_option)i))
            bd_text_addf(out, " --%s", bd_option_about((bd_option)i)->name);
    bd_text_add(out, bd_groups_repeats(job, BD_OPT_CANOPY)
                         ? "\n  such as --canopy 0.3m2 --bags 12 --canopy 0.1m2 --bags 30\n"
                         : "\n  such as --bag-size \"round 45cm x 50L\" --bags 12 "
                           "--bag-size \"20L x 30cm\" --bags 30\n");
}

void bd_help_job(bd_job job, bd_text *out)
{
    const bd_job_info *about = bd_job_about(job);

    bd_text_addf(out, "bagdose %s: %s\n", about->word, about->line);
    add_example(out, about->example);
    bd_text_add(out, "\nOptions\n");
    for (int i = 0; i < BD_OPTION_COUNT; i++) {
        const bd_option_info *o = bd_option_about((bd_option)i);
        char name[64] = "--";

        if (!bd_job_takes(job, (bd_option)i))
            continue;
        strncat(name, o->name, sizeof name - 3);
        add_row(out, name, o->what, o->help);
    }
    add_kinds_of_bags(job, out);
}
