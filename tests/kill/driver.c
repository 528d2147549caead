/*
 * Kills `record add` and its kin at every point and makes their writes and syncs
 * fail, then reads the record and asks:
 *
 *   is everything there, once, that a command confirmed by exit 0?
 *   is everything that is read whole, and was it ever asked for?
 *   is nothing there that a command said it had not kept?
 *
 * After a death the file may also lose what was not synced: its end, behind the
 * last confirmed byte, is cut off or filled with zeros at random, as a power cut
 * does.
 *
 * driver COMMAND LIBRARY FOLDER COUNT [SEED]
 */
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "record/record.h"

enum {
    PATH = 512,
    CALLS = 9, /* the most that one addition makes, a torn end included */
    ROWS = 4,  /* of an imported sheet                                  */
    EXIT_FILE = 3,
    KILLED = -1,
    SLOWEST_US = 200000
};

static const char *command, *library, *folder;
static char record[PATH], sheet[PATH];

/* One entry that was asked for; its number is its note, its grams follow from it. */
typedef struct asked {
    bool is_confirmed, may_be_there, must_be_reversed, may_be_reversed;
    int batch; /* number of the first row of its sheet, or -1 */
} asked;

static asked *wanted;
static int wanted_count;
static long confirmed_size;
static int killed, failed, confirmed, cut;

static _Noreturn void give_up(int run, const char *what, int number)
{
    (void)fprintf(stderr, "kill: run %d: %s (entry %d)\n", run, what, number);
    exit(1);
}

/* ---- randomness that a seed repeats ---- */

static unsigned long state = 1;

static int below(int n)
{
    state = state * 6364136223846793005UL + 1442695040888963407UL;
    return (int)((state >> 33) % (unsigned long)n);
}

/* ---- running the command ---- */

static pid_t start(const char *const args[], const char *plan)
{
    pid_t child = fork();
    int nowhere;

    if (child != 0)
        return child;
    nowhere = open("/dev/null", O_RDWR);
    (void)dup2(nowhere, STDOUT_FILENO);
    (void)dup2(nowhere, STDERR_FILENO);
    (void)setenv("LD_PRELOAD", library, 1);
    (void)setenv("BD_KILL_PLAN", plan == NULL ? "0:watch" : plan, 1);
    (void)execv(command, (char *const *)args);
    _exit(126);
}

/* Its exit status, or KILLED. */
static int finish(pid_t child)
{
    int status = 0;

    if (child < 0 || waitpid(child, &status, 0) != child)
        give_up(0, "no child", 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : KILLED;
}

static long now_us(void)
{
    struct timespec t;

    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec * 1000000L + t.tv_nsec / 1000;
}

static void wait_us(long us)
{
    const struct timespec pause = {us / 1000000, us % 1000000 * 1000};

    (void)nanosleep(&pause, NULL);
}

/* ---- what is asked for ---- */

static double grams_of(int number)
{
    return 1.0 + (double)number / 7.0;
}

static int want(int batch)
{
    wanted[wanted_count] = (asked){.batch = batch};
    return wanted_count++;
}

static pid_t start_add(int number, const char *plan)
{
    char note[32], grams[64];
    const char *args[] = {command,
                          "record",
                          "add",
                          "--record",
                          record,
                          "--group",
                          "beets",
                          "--bags",
                          "18",
                          "--material",
                          "potassium-sulfate",
                          "--use",
                          "sidedress",
                          "--product-per-bag",
                          grams,
                          "--note",
                          note,
                          NULL};

    (void)snprintf(note, sizeof note, "%d", number);
    (void)snprintf(grams, sizeof grams, "%.17g g", grams_of(number));
    return start(args, plan);
}

static pid_t start_import(int first, const char *plan)
{
    const char *args[] = {command, "record", "import", sheet, "--record", record, NULL};
    FILE *f = fopen(sheet, "w");

    if (f == NULL)
        give_up(0, "no sheet", first);
    (void)fputs("date,group,bags,material,analysis,use,g_per_bag,l_per_bag,who,note\n", f);
    for (int i = 0; i < ROWS; i++)
        (void)fprintf(f, "2026-05-03,beets,18,potassium-sulfate,,sidedress,%.17g,,,%d\n",
                      grams_of(first + i), first + i);
    (void)fclose(f);
    return start(args, plan);
}

static pid_t start_reverse(const char *id, const char *plan)
{
    const char *args[] = {command, "record", "reverse", "--record", record, "--id", id, NULL};

    return start(args, plan);
}

/* ---- what is found ---- */

static int number_of(int run, const bd_entry *e)
{
    char *end;
    long n = strtol(e->note, &end, 10);

    if (e->note[0] == '\0' || *end != '\0' || n < 0 || n >= wanted_count)
        give_up(run, "an entry that nobody asked for", 0);
    if (e->g_per_bag < grams_of((int)n) || e->g_per_bag > grams_of((int)n) || e->bags < 18 ||
        !e->gives_is_known)
        give_up(run, "an entry that is not what was asked for", (int)n);
    return (int)n;
}

static void check_entry(int run, int i, int times, bool is_reversed)
{
    const asked *a = &wanted[i];

    if (a->is_confirmed && times == 0)
        give_up(run, "a confirmed entry is lost", i);
    if (times > 1)
        give_up(run, "an entry stands twice", i);
    if (times > 0 && !a->is_confirmed && !a->may_be_there)
        give_up(run, "an entry stands that was said not to be kept", i);
    if (times > 0 && a->must_be_reversed && !is_reversed)
        give_up(run, "a confirmed reversal is lost", i);
    if (is_reversed && !a->must_be_reversed && !a->may_be_reversed)
        give_up(run, "an entry is reversed that nobody reversed", i);
}

/* Rows of one sheet stand together or not at all. */
static void check_batch(int run, int i, const int *times)
{
    int first = wanted[i].batch;

    if (first >= 0 && times[i] != times[first])
        give_up(run, "half a sheet stands", i);
}

static void check_record(int run)
{
    int *times = calloc((size_t)wanted_count + 1, sizeof *times);
    bool *is_reversed = calloc((size_t)wanted_count + 1, sizeof *is_reversed);
    bd_records r;
    bd_error err = {0};

    if (times == NULL || is_reversed == NULL)
        give_up(run, "no memory", 0);
    if (bd_record_load(record, &r, &err) != BD_OK) {
        (void)fprintf(stderr, "kill: %s: %s\n", err.where, err.text);
        give_up(run, "the record cannot be read", 0);
    }
    for (size_t i = 0; i < r.count; i++) {
        if (r.items[i].reverses[0] != '\0')
            continue;
        times[number_of(run, &r.items[i])]++;
        is_reversed[number_of(run, &r.items[i])] = r.items[i].is_reversed;
    }
    for (int i = 0; i < wanted_count; i++) {
        check_entry(run, i, times[i], is_reversed[i]);
        check_batch(run, i, times);
        /* what stands now is on disk and stays, unless a power cut takes it: see lose_end */
    }
    bd_records_clear(&r);
    free(is_reversed);
    free(times);
}

/* ---- a power cut ---- */

static long size_of_record(void)
{
    struct stat s;

    return stat(record, &s) == 0 ? (long)s.st_size : 0;
}

static void lose_end(void)
{
    long size = size_of_record(), from;
    int fd;

    if (size <= confirmed_size || below(2) == 0)
        return;
    from = confirmed_size + below((int)(size - confirmed_size) + 1);
    fd = open(record, O_RDWR);
    if (fd < 0)
        return;
    cut++;
    if (below(2) == 0) {
        (void)!ftruncate(fd, from);
    } else {
        for (long at = from; at < size; at++)
            (void)!pwrite(fd, "", 1, at);
    }
    (void)close(fd);
}

/* ---- runs ---- */

static const char *const deaths[] = {"before", "after", "half"};
static const char *const faults[] = {"fail", "short", "failing"};

/* What an exit status says of entries [first, first + n). */
static void conclude(int run, int status, bool rolls_back, int first, int n)
{
    if (status != 0 && status != KILLED && status != EXIT_FILE)
        give_up(run, "an exit status that no fault explains", first);
    for (int i = first; i < first + n; i++) {
        wanted[i].is_confirmed = status == 0;
        wanted[i].may_be_there = status == KILLED || (status == EXIT_FILE && !rolls_back);
    }
    confirmed += status == 0;
    killed += status == KILLED;
    failed += status == EXIT_FILE;
}

static void settle(int status)
{
    if (status == 0)
        confirmed_size = size_of_record();
    if (status == KILLED)
        lose_end();
}

static void run_planned(int run, bool is_import)
{
    bool is_death = below(3) != 0;
    const char *mode = is_death ? deaths[below(3)] : faults[below(3)];
    char plan[32];
    int first = want(is_import ? wanted_count : -1), status;

    for (int i = 1; is_import && i < ROWS; i++)
        (void)want(first);
    (void)snprintf(plan, sizeof plan, "%d:%s", 1 + below(CALLS), mode);
    status = finish(is_import ? start_import(first, plan) : start_add(first, plan));
    conclude(run, status, strcmp(mode, "failing") != 0, first, is_import ? ROWS : 1);
    settle(status);
}

static void run_timed(int run, long usual_us)
{
    int number = want(-1), status;
    pid_t child = start_add(number, NULL);

    wait_us(usual_us * below(1000) / 800);
    (void)kill(child, SIGKILL);
    status = finish(child);
    conclude(run, status, true, number, 1);
    settle(status);
}

/* Two at once, one of them in trouble: the other must not suffer. */
static void run_two(int run)
{
    int first = want(-1), second = want(-1), status;
    char plan[32];
    pid_t one, two;
    const char *mode = below(2) == 0 ? deaths[below(3)] : "fail";

    (void)snprintf(plan, sizeof plan, "%d:%s", 1 + below(3), mode);
    one = start_add(first, plan);
    two = start_add(second, NULL);
    conclude(run, finish(one), true, first, 1);
    status = finish(two);
    conclude(run, status, true, second, 1);
    if (status != 0)
        give_up(run, "the other one suffered", second);
    confirmed_size = size_of_record();
}

static bool find_standing(char id[BD_RECORD_ID_SIZE], int *number, int run)
{
    bd_records r;
    bool is_found = false;

    if (bd_record_load(record, &r, NULL) == BD_OK && r.count > 0) {
        const bd_entry *e = &r.items[below((int)r.count)];

        is_found = bd_entry_stands(e);
        if (is_found) {
            (void)snprintf(id, BD_RECORD_ID_SIZE, "%s", e->id);
            *number = number_of(run, e);
        }
    }
    bd_records_clear(&r);
    return is_found;
}

static void run_reversal(int run)
{
    char id[BD_RECORD_ID_SIZE], plan[32];
    int number = 0, status;

    if (!find_standing(id, &number, run))
        return;
    (void)snprintf(plan, sizeof plan, "%d:%s", 1 + below(CALLS), deaths[below(3)]);
    status = finish(start_reverse(id, plan));
    if (status == 0)
        wanted[number].must_be_reversed = true;
    else
        wanted[number].may_be_reversed = true;
    killed += status == KILLED;
    confirmed += status == 0;
    settle(status);
}

static long usual_us(void)
{
    long began = now_us(), took;
    int number = want(-1);

    conclude(0, finish(start_add(number, NULL)), true, number, 1);
    settle(0);
    took = now_us() - began;
    return took < SLOWEST_US ? took : SLOWEST_US;
}

static void run_one(int run, long usual)
{
    int kind = below(10);

    if (kind < 5)
        run_planned(run, false);
    else if (kind < 6)
        run_planned(run, true);
    else if (kind < 8)
        run_timed(run, usual);
    else if (kind < 9)
        run_two(run);
    else
        run_reversal(run);
}

int main(int argc, char *argv[])
{
    int count = argc > 4 ? atoi(argv[4]) : 0;
    long usual;

    if (argc < 5 || count <= 0) {
        (void)fprintf(stderr, "driver COMMAND LIBRARY FOLDER COUNT [SEED]\n");
        return 2;
    }
    command = argv[1];
    library = argv[2];
    folder = argv[3];
    state = argc > 5 ? strtoul(argv[5], NULL, 10) : 1;
    (void)snprintf(record, sizeof record, "%s/killed.record.jsonl", folder);
    (void)snprintf(sheet, sizeof sheet, "%s/sheet.csv", folder);
    wanted = calloc((size_t)count * ROWS + 1, sizeof *wanted);
    if (wanted == NULL)
        return 1;
    usual = usual_us();
    for (int run = 1; run <= count; run++) {
        run_one(run, usual);
        check_record(run);
    }
    (void)printf(
        "kill: %d runs: %d confirmed, %d killed, %d failed, %d ends lost; nothing confirmed "
        "was lost, nothing half-written was read\n",
        count, confirmed, killed, failed, cut);
    free(wanted);
    return 0;
}
