/*
 * job.h - one function a trade word: a request in, a card out.
 *
 * May include everything down to request/.  A job prints nothing, reads no clock
 * and no environment.
 */
#ifndef BD_JOB_JOB_H
#define BD_JOB_JOB_H

#include "card/card.h"
#include "nutrients/catalogue.h"
#include "nutrients/chemistry.h"
#include "nutrients/media.h"
#include "nutrients/parts.h"
#include "request/request.h"

/* What the program knows, loaded once. */
typedef struct bd_knowledge {
    bd_catalogue *catalogue;
    bd_chemistry *chemistry;
    bd_media *media;
    bd_parts *parts;
    const bd_water *user_water; /* of the file --water names; NULL for a preset */
} bd_knowledge;

/* Loads all of it; `user_dir` may be NULL.  Freed with bd_knowledge_free, also after a failure. */
bd_status bd_knowledge_load(const char *user_dir, bd_knowledge *out, bd_error *err) BD_MUST_CHECK;
void bd_knowledge_free(bd_knowledge *know);

/*
 * Runs the job of a request.
 *
 *   card  initialised by the job, cleared by the caller in every case
 *
 * Returns BD_OK with a complete card (whose verdict may be stop), or the first
 * trouble with the request; then the card is not to be shown.
 */
bd_status bd_job_run(const bd_knowledge *know, const bd_request *request, bd_card *card,
                     bd_error *err) BD_MUST_CHECK;

/* The jobs, each as bd_job_run. */
bd_status bd_job_spray(const bd_knowledge *know, const bd_request *request, bd_card *card,
                       bd_error *err) BD_MUST_CHECK;
bd_status bd_job_sidedress(const bd_knowledge *know, const bd_request *request, bd_card *card,
                           bd_error *err) BD_MUST_CHECK;
bd_status bd_job_feed(const bd_knowledge *know, const bd_request *request, bd_card *card,
                      bd_error *err) BD_MUST_CHECK;
bd_status bd_job_sprayer(const bd_knowledge *know, const bd_request *request, bd_card *card,
                         bd_error *err) BD_MUST_CHECK;
bd_status bd_job_weather(const bd_knowledge *know, const bd_request *request, bd_card *card,
                         bd_error *err) BD_MUST_CHECK;
bd_status bd_job_stock(const bd_knowledge *know, const bd_request *request, bd_card *card,
                       bd_error *err) BD_MUST_CHECK;
bd_status bd_job_record(const bd_knowledge *know, const bd_request *request, bd_card *card,
                        bd_error *err) BD_MUST_CHECK;
bd_status bd_job_season(const bd_knowledge *know, const bd_request *request, bd_card *card,
                        bd_error *err) BD_MUST_CHECK;
bd_status bd_job_medium(const bd_knowledge *know, const bd_request *request, bd_card *card,
                        bd_error *err) BD_MUST_CHECK;
bd_status bd_job_label(const bd_knowledge *know, const bd_request *request, bd_card *card,
                       bd_error *err) BD_MUST_CHECK;
bd_status bd_job_convert(const bd_knowledge *know, const bd_request *request, bd_card *card,
                         bd_error *err) BD_MUST_CHECK;
bd_status bd_job_materials(const bd_knowledge *know, const bd_request *request, bd_card *card,
                           bd_error *err) BD_MUST_CHECK;

#endif
