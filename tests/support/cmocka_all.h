/* cmocka.h wants four headers before itself; every test takes them here. */
#ifndef BD_TESTS_CMOCKA_ALL_H
#define BD_TESTS_CMOCKA_ALL_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#endif
