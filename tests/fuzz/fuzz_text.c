/*
 * fuzz_text.c - the readers of short text: quantities, targets, bag sizes,
 * dilutions, labels, dates.  Each either fails with a status that its error
 * repeats, or gives finite numbers in order.
 */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/date.h"
#include "quantity/bag_size.h"
#include "quantity/dilution.h"
#include "quantity/quantity.h"
#include "request/label_text.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(int holds)
{
    if (!holds)
        abort();
}

static void check_range(bd_status status, const bd_error *err, bd_range r)
{
    must(status == err->status);
    if (status == BD_OK)
        must(isfinite(r.low) && r.low <= r.typical && r.typical <= r.high && isfinite(r.high));
    else
        must(err->text[0] != '\0');
}

static void read_all(const char *text, bd_measures measures)
{
    bd_range r = {0, 0, 0};
    bd_target target;
    bd_bag_size bag;
    bd_label label;
    double factor = 1.0;
    int day;

    for (int kind = 0; kind < BD_KIND_COUNT; kind++) {
        bd_error err = {0};

        check_range(bd_quantity_read(text, (bd_kind)kind, measures, &r, &err), &err, r);
    }
    (void)!bd_target_read(text, measures, &target, NULL);
    if (bd_bag_size_read(text, measures, &bag, NULL) == BD_OK)
        must(bag.area_m2 > 0.0 && bag.volume_l > 0.0 && bag.depth_m > 0.0);
    if (bd_dilution_read(text, measures, &factor, NULL) == BD_OK)
        must(factor >= 1.0);
    for (int c = BD_CONVENTION_NONE; c <= BD_CONVENTION_RATIO; c++)
        if (bd_label_read(text, (bd_convention)c, &label, NULL) == BD_OK)
            for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
                must(label.share[n] >= 0.0 && label.share[n] <= 1.0);
    (void)!bd_date_read(text, &day, NULL);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char text[512];

    if (size < 1 || size >= sizeof text)
        return 0;
    memcpy(text, data + 1, size - 1);
    text[size - 1] = '\0';
    read_all(text, (bd_measures)(data[0] % 5));
    return 0;
}
