/*
 * range.h - a number that may be uncertain: low, typical, high.
 *
 * Lowest layer: includes nothing of the project.  An uncertain value stays a
 * range from the file to the card; "too strong?" is judged on the high end and
 * "enough?" on the low one.  Ends are combined low with low and high with high,
 * which is the widest honest answer when nothing is known of how they vary
 * together.
 */
#ifndef BD_BASE_RANGE_H
#define BD_BASE_RANGE_H

#include <stdbool.h>

typedef struct bd_range {
    double low, typical, high; /* low <= typical <= high */
} bd_range;

/* A number known as well as it is printed. */
static inline bd_range bd_exactly(double x)
{
    return (bd_range){x, x, x};
}

static inline bd_range bd_range_of(double low, double typical, double high)
{
    return (bd_range){low, typical, high};
}

/* True when the three ends are the same number. */
static inline bool bd_range_is_exact(bd_range r)
{
    return !(r.low < r.high);
}

/* r times a factor that is not negative. */
static inline bd_range bd_range_scale(bd_range r, double by)
{
    return (bd_range){r.low * by, r.typical * by, r.high * by};
}

static inline bd_range bd_range_add(bd_range a, bd_range b)
{
    return (bd_range){a.low + b.low, a.typical + b.typical, a.high + b.high};
}

/* The lesser of the two at each end. */
static inline bd_range bd_range_least(bd_range a, bd_range b)
{
    return (bd_range){a.low < b.low ? a.low : b.low, a.typical < b.typical ? a.typical : b.typical,
                      a.high < b.high ? a.high : b.high};
}

/* Product of two ranges of numbers that are not negative. */
static inline bd_range bd_range_times(bd_range a, bd_range b)
{
    return (bd_range){a.low * b.low, a.typical * b.typical, a.high * b.high};
}

/* a / b for b above zero: the low end takes the high divisor. */
static inline bd_range bd_range_over(bd_range a, bd_range b)
{
    return (bd_range){a.low / b.high, a.typical / b.typical, a.high / b.low};
}

#endif
