#include <string.h>

#include "job/job.h"
#include "request/label_text.h"

/* Labels are read above the data files: what those of scoops say is checked here. */
static bd_status check_scoops(const bd_catalogue *catalogue, bd_error *err)
{
    size_t count;
    const bd_own_scoop *scoops = bd_catalogue_scoops(catalogue, &count);
    bd_label label;
    bd_status status = BD_OK;

    for (size_t i = 0; i < count && status == BD_OK; i++)
        if (scoops[i].analysis[0] != '\0') {
            status = bd_label_read(scoops[i].analysis, BD_CONVENTION_NONE, &label, err);
            bd_error_at(err, scoops[i].place);
        }
    return status;
}

bd_status bd_knowledge_load(const char *user_dir, bd_knowledge *out, bd_error *err)
{
    bd_status status;

    memset(out, 0, sizeof *out);
    status = bd_catalogue_load(user_dir, &out->catalogue, err);
    if (status == BD_OK)
        status = check_scoops(out->catalogue, err);
    if (status == BD_OK)
        status = bd_chemistry_load(&out->chemistry, err);
    if (status == BD_OK)
        status = bd_media_load(&out->media, err);
    if (status == BD_OK)
        status = bd_parts_load(&out->parts, err);
    return status;
}

void bd_knowledge_free(bd_knowledge *know)
{
    bd_parts_free(know->parts);
    bd_media_free(know->media);
    bd_chemistry_free(know->chemistry);
    bd_catalogue_free(know->catalogue);
    memset(know, 0, sizeof *know);
}

/* Limits of the user that were looser than the built-in ones: said on every dosing card. */
static void tell_ignored_limits(const bd_knowledge *know, bd_card *card)
{
    size_t count;
    const bd_limit *ignored = bd_catalogue_ignored_limits(know->catalogue, &count);

    for (size_t i = 0; i < count; i++)
        bd_card_find(card, "limit.ignored", BD_NOTE, W("limit.ignored"),
                     BD_ARGS(bd_name(ignored[i].material), bd_name(ignored[i].crop_group)),
                     ignored[i].value.source);
}

bd_status bd_job_run(const bd_knowledge *know, const bd_request *request, bd_card *card,
                     bd_error *err)
{
    static bd_status (*const jobs[BD_JOB_COUNT])(const bd_knowledge *, const bd_request *,
                                                 bd_card *, bd_error *) = {
        [BD_JOB_SPRAY] = bd_job_spray,     [BD_JOB_SIDEDRESS] = bd_job_sidedress,
        [BD_JOB_FEED] = bd_job_feed,       [BD_JOB_SPRAYER] = bd_job_sprayer,
        [BD_JOB_WEATHER] = bd_job_weather, [BD_JOB_STOCK] = bd_job_stock,
        [BD_JOB_SEASON] = bd_job_season,   [BD_JOB_RECORD] = bd_job_record,
        [BD_JOB_LABEL] = bd_job_label,     [BD_JOB_MEDIUM] = bd_job_medium,
        [BD_JOB_CONVERT] = bd_job_convert, [BD_JOB_MATERIALS] = bd_job_materials,
    };
    bd_error own = {0};
    bd_status status;

    if (err == NULL)
        err = &own;
    bd_card_init(card, bd_job_about(request->job)->word);
    status = jobs[request->job](know, request, card, err);
    if (status == BD_OK && (request->job == BD_JOB_SPRAY || request->job == BD_JOB_SIDEDRESS ||
                            request->job == BD_JOB_STOCK))
        tell_ignored_limits(know, card);
    return status == BD_OK ? bd_card_status(card, err) : status;
}
