/*
 * deliver.h - the end of every renderer: all of the text, or nothing.
 *
 * May include: base/, report/report.h.
 */
#ifndef BD_REPORT_DELIVER_H
#define BD_REPORT_DELIVER_H

#include "base/text.h"
#include "report/report.h"

/* No card comes near; a hostile one stops here. */
#define BD_REPORT_CEILING ((size_t)64 * 1024 * 1024)

/*
 * Gives the finished text to the sink in one piece and clears it.
 * Returns BD_OK; BD_MEMORY when the text is not whole, of which nothing is then
 * given; BD_FILE when the sink refused.
 */
bd_status bd_report_deliver(bd_text *text, bd_sink sink, bd_error *err) BD_MUST_CHECK;

#endif
