#include "support/scratch.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool bd_scratch_make(char folder[BD_SCRATCH_SIZE])
{
    static const char stem[] = "/tmp/bagdose_test_";
    enum { FREE_LETTERS = 6 }; /* that mkdtemp fills in */
    size_t length = sizeof stem - 1;

    memcpy(folder, stem, length);
    memset(folder + length, 'X', FREE_LETTERS);
    folder[length + FREE_LETTERS] = '\0';
    return mkdtemp(folder) != NULL;
}
