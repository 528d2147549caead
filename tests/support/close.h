/*
 * close.h - comparing doubles in double.  cmocka 1.1.5 compares as float.
 */
#ifndef BD_TESTS_CLOSE_H
#define BD_TESTS_CLOSE_H

/* Fails the running test unless |got - want| <= tolerance; NaN fails. */
#define assert_close(got, want, tolerance)                                                         \
    bd_assert_close((got), (want), (tolerance), #got, __FILE__, __LINE__)

void bd_assert_close(double got, double want, double tolerance, const char *expression,
                     const char *file, int line);

/* |x| where 0 is meant exactly; for -Wfloat-equal. */
#define assert_zero(x) assert_close((x), 0.0, 0.0)

#endif
