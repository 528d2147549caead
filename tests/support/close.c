#include "support/close.h"

#include <math.h>

#include "support/cmocka_all.h"

void bd_assert_close(double got, double want, double tolerance, const char *expression,
                     const char *file, int line)
{
    if (fabs(got - want) <= tolerance)
        return;
    print_error("%s:%d: %s is %.12g, wanted %.12g within %.3g\n", file, line, expression, got, want,
                tolerance);
    _fail(file, line);
}
