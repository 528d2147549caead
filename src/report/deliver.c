#include "report/deliver.h"

bd_status bd_report_deliver(bd_text *text, bd_sink sink, bd_error *err)
{
    bd_status status = BD_OK;

    if (!bd_text_ok(text))
        status = bd_fail(err, BD_MEMORY, "report", "no memory left for the report");
    else if (sink.put(text->s, text->length, sink.to) != 0)
        status = bd_fail(err, BD_FILE, "report", "the report could not be written");
    bd_text_clear(text);
    return status;
}
