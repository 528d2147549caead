/*
 * fuzz_water.c - a user's water analysis in JSON.
 */
#include <stdint.h>
#include <stdlib.h>

#include "nutrients/chemistry.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    bd_chemistry *chemistry = NULL;
    const bd_water *water = NULL;
    bd_error err = {0};

    if (bd_chemistry_load(&chemistry, NULL) != BD_OK)
        abort();
    if (bd_chemistry_read_water(chemistry, "fuzz.json", data, size, &water, &err) != err.status ||
        (err.status == BD_OK) != (water != NULL))
        abort();
    bd_chemistry_free(chemistry);
    return 0;
}
