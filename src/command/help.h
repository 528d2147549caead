/*
 * help.h - the help screens, made from the tables of jobs and options.
 *
 * May include: base/, request/, report/wrap.h.
 */
#ifndef BD_COMMAND_HELP_H
#define BD_COMMAND_HELP_H

#include "base/text.h"
#include "request/request.h"

/* What the program does and which jobs it has. */
void bd_help_all(bd_text *out);

/* One job: a worked line and its options. */
void bd_help_job(bd_job job, bd_text *out);

#endif
