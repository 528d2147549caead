/*
 * fuzz_command.c - whole command lines, a line of the input a word.  Whatever
 * comes, the exit status is one of four and an error writes nothing to the card.
 */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "command/command.h"

enum { MOST_WORDS = 24, LONGEST = 2048 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int count_bytes(const char *bytes, size_t n, void *to)
{
    (void)bytes;
    *(size_t *)to += n;
    return 0;
}

/* Files are another target's: no word may open one. */
static int names_a_file(const char *word)
{
    return word[0] == '@' || strstr(word, "--water") == word ||
           strstr(word, "--nutrients") == word || strstr(word, "--record") == word ||
           strcmp(word, "season") == 0 || strcmp(word, "record") == 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char text[LONGEST], *words[MOST_WORDS], *at = text;
    size_t out = 0, err = 0;
    int count = 0, status;

    if (size >= sizeof text)
        return 0;
    memcpy(text, data, size);
    text[size] = '\0';
    while (at != NULL && count < MOST_WORDS) {
        words[count] = at;
        at = strchr(at, '\n');
        if (at != NULL)
            *at++ = '\0';
        if (names_a_file(words[count++]))
            return 0;
    }
    status =
        bd_command_run(count, words, (bd_streams){{count_bytes, &out}, {count_bytes, &err}, false});
    if (status < 0 || status > 3 || (status >= 2 && (out > 0 || err == 0)))
        abort();
    return 0;
}
