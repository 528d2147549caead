/*
 * error.h - the one way a function says that it failed, and why.
 *
 * Lowest layer: includes nothing of the project.
 *
 * Three kinds of trouble are never mixed.  A bug of ours is an assert.  An
 * input we cannot use is a bd_error (this file).  A remark about the plant or
 * the person is a finding on a card (card/card.h).
 */
#ifndef BD_BASE_ERROR_H
#define BD_BASE_ERROR_H

#if defined(__GNUC__)
#define BD_PRINTF(fmt, args) __attribute__((format(printf, fmt, args)))
#define BD_MUST_CHECK        __attribute__((warn_unused_result))
#else
#define BD_PRINTF(fmt, args)
#define BD_MUST_CHECK
#endif

typedef enum bd_status {
#define BD_STATUS(name, exit_status, words) BD_##name,
#include "base/status.def"
#undef BD_STATUS
    BD_STATUS_COUNT
} bd_status;

typedef struct bd_error {
    bd_status status;
    char where[160];   /* "--tank", "garden.json:12:9", "limits.json#/limits/3/upper" */
    char text[240];    /* what is wrong, the offender in single quotes, no full stop    */
    char accepts[240]; /* what would be accepted instead; may be empty                  */
} bd_error;

/*
 * Records a failure unless one is already recorded: the first is the cause, the
 * rest are its echoes.  Control characters that come with the arguments are
 * shown as '?', so that a message can never move a terminal's cursor.
 *
 *   err     may be NULL
 *   status  not BD_OK
 *   where   place of the trouble; may be NULL for "not known here"
 *
 * Returns `status`, so that callers write `return bd_fail(err, ...)`.
 */
bd_status bd_fail(bd_error *err, bd_status status, const char *where, const char *fmt, ...)
    BD_PRINTF(4, 5);

/* Adds what would be accepted, and gives back err->status (BD_SYNTAX when nobody listens: err
 * NULL). Keeps the first text, like bd_fail. */
bd_status bd_accepts(bd_error *err, const char *fmt, ...) BD_PRINTF(2, 3);

/* Fills in the place if none is recorded yet (a lower layer rarely knows it). */
void bd_error_at(bd_error *err, const char *where);

/* The exit status of the command, 0, 2 or 3, for a status. */
int bd_status_exit(bd_status status);

/* What a status means, in a few English words; never NULL. */
const char *bd_status_words(bd_status status);

#endif
