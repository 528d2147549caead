/*
 * A garden file is text somebody sent: whatever it is, it is read whole or
 * refused with a reason and a status of the user's making.
 */
#include <assert.h>
#include <stddef.h>
#include <stdint.h>

#include "request/garden.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    bd_error err = {.status = BD_OK};
    bd_garden *garden = NULL;
    bd_status status = bd_garden_read("g", data, size, BD_MEASURES_NONE, &garden, &err);

    assert((status == BD_OK) == (garden != NULL));
    assert(status == err.status);
    assert(status == BD_OK || err.text[0] != '\0');
    for (size_t i = 0; garden != NULL && i < garden->group_count; i++)
        assert(bd_request_get(&garden->groups[i].ask, BD_OPT_BAG_SIZE)->bag.volume_l > 0.0);
    bd_garden_free(garden);
    return 0;
}
