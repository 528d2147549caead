/*
 * convert.c - any quantity in any unit of its dimension.
 */
#include "job/job.h"

bd_status bd_job_convert(const bd_knowledge *know, const bd_request *request, bd_card *card,
                         bd_error *err)
{
    bd_range value;
    bd_status status = bd_quantity_convert(request->positionals[0], request->positionals[1],
                                           request->measures, &value, err);

    (void)know;
    bd_error_at(err, request->positionals[0]);
    if (status != BD_OK)
        return status;
    bd_card_title(card, W("convert.title"),
                  BD_ARGS(bd_name(request->positionals[0]), bd_name(request->positionals[1])));
    bd_card_figure(card, "converted", W("figure.converted"),
                   BD_ARGS(bd_name(request->positionals[0])), value, request->positionals[1]);
    bd_card_work(
        card, W("work.converted"),
        BD_ARGS(bd_name(request->positionals[0]), bd_exact(value.typical, request->positionals[1])),
        "NIST SP 811 and UK Weights and Measures Act 1985; exact definitions");
    return BD_OK;
}
