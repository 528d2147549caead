# bagdose - one Makefile, read top to bottom.  `make help` lists the goals.
#
# Objects of a flavour live in build/<flavour>/, so that builds with and
# without sanitizers never mix; the command of the release is build/bagdose.

FLAVOUR ?= release
CC      ?= cc
O       := build/$(FLAVOUR)

WARN := -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wstrict-prototypes -Wmissing-prototypes \
        -Wdouble-promotion -Wformat=2 -Wundef -Wvla -Wwrite-strings -Wpointer-arith \
        -Wswitch-enum -Wfloat-equal
FLAGS_release := -O2
FLAGS_clang   := -O2
FLAGS_debug   := -O0 -g
FLAGS_asan    := -O1 -g -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
FLAGS_cov     := -O0 -g --coverage
FLAGS_fuzz    := -O1 -g -fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all
ifneq ($(filter clang fuzz,$(FLAVOUR)),)
CC := clang
endif

# _DEFAULT_SOURCE: POSIX files, locks and clocks beside C11; Debian's libraries are built so too.
BD_CFLAGS := -std=c11 -D_DEFAULT_SOURCE -fno-common $(WARN) $(FLAGS_$(FLAVOUR)) \
             $(if $(DEV),-Werror) -Isrc -MMD -MP $(CFLAGS)
BD_LIBS   := -ljansson -lm $(LDLIBS)

SOURCES   := $(filter-out src/command/main.c src/page/%,$(wildcard src/*/*.c))
OBJECTS   := $(SOURCES:%.c=$(O)/%.o) $(O)/gen/builtin_data.o
LIBRARY   := $(O)/libbagdose.a
DATA      := $(sort $(wildcard nutrients/*.json))
UNIT      := $(patsubst tests/unit/%.c,$(O)/tests/%,$(sort $(wildcard tests/unit/test_*.c)))
PUBLISHED := $(patsubst tests/published/%.c,$(O)/tests/published_%,$(sort $(wildcard tests/published/test_*.c)))
SUPPORT   := $(patsubst %.c,$(O)/%.o,$(wildcard tests/support/*.c))

PREFIX ?= /usr/local

.DELETE_ON_ERROR:
.SUFFIXES:
.PHONY: all help deps demo check check-long check-unit check-published check-command check-data \
        check-docs check-layers check-words check-asan check-valgrind lint format format-check \
        asan bench fuzz coverage install clean

all: build/bagdose

help: ## this list
	@grep -hE '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sed 's/:.*## /\t/' | expand -t 18

# ---- building -------------------------------------------------------------

build/bagdose: $(if $(filter release,$(FLAVOUR)),$(O)/bagdose)
	@mkdir -p build
	@$(if $(filter release,$(FLAVOUR)),cp $(O)/bagdose $@,$(MAKE) --no-print-directory FLAVOUR=release $@)

$(O)/bagdose: $(O)/src/command/main.o $(LIBRARY)
	$(CC) $(BD_CFLAGS) $(LDFLAGS) -o $@ $^ $(BD_LIBS)

$(LIBRARY): $(OBJECTS)
	@rm -f $@
	$(AR) rcs $@ $^

$(O)/%.o: %.c
	@mkdir -p $(@D)
	$(CC) $(BD_CFLAGS) -c -o $@ $<

# The data of nutrients/ as C, so that the command runs from anywhere.
build/gen/builtin_data.c: $(DATA) Makefile
	@mkdir -p $(@D)
	@{ echo '/* Made by make from nutrients/, do not edit. */'; \
	   echo '#include "nutrients/builtin.h"'; \
	   n=0; for f in $(DATA); do \
	     echo "static const unsigned char file_$$n[] = {"; \
	     od -An -v -tu1 $$f | sed 's/  */,/g; s/^,//; s/$$/,/'; echo '};'; n=$$((n+1)); done; \
	   echo 'const bd_builtin_file bd_builtin_files[] = {'; \
	   n=0; for f in $(DATA); do \
	     echo "    {\"$${f#nutrients/}\", file_$$n, sizeof file_$$n},"; n=$$((n+1)); done; \
	   echo '    {0, 0, 0}};'; } > $@

$(O)/gen/builtin_data.o: build/gen/builtin_data.c
	@mkdir -p $(@D)
	$(CC) $(BD_CFLAGS) -c -o $@ $<

-include $(OBJECTS:.o=.d) $(O)/src/command/main.d $(wildcard $(O)/tests/*.d)

# ---- tests ----------------------------------------------------------------

$(O)/tests/published_%: tests/published/%.c $(SUPPORT) $(LIBRARY)
	@mkdir -p $(@D)
	$(CC) $(BD_CFLAGS) -Itests -o $@ $< $(SUPPORT) $(LIBRARY) -lcmocka $(BD_LIBS)

$(O)/tests/%: tests/unit/%.c $(SUPPORT) $(LIBRARY)
	@mkdir -p $(@D)
	$(CC) $(BD_CFLAGS) -Itests -o $@ $< $(SUPPORT) $(LIBRARY) -lcmocka $(BD_LIBS)

$(O)/tests/support/%.o: tests/support/%.c
	@mkdir -p $(@D)
	$(CC) $(BD_CFLAGS) -Itests -c -o $@ $<

# ---- what stands in the way of a merge ------------------------------------

UNIT_RUNS := $(UNIT) $(PUBLISHED)

check: check-layers check-words check-unit check-command check-data check-docs ## all quick tests (under three minutes)

check-unit: $(UNIT_RUNS) ## unit tests and the checks against published figures
	@set -e; for t in $(UNIT_RUNS); do $$t; done

check-command: build/bagdose ## command lines against what they must print
	@BAGDOSE=$(CURDIR)/build/bagdose sh tests/command/run.sh

check-data: ## nutrients/ against its JSON schemas, with an independent validator
	@sh tests/data/check.sh

check-docs: build/bagdose ## worked lines of README and help, every option documented
	@sh tests/docs/check.sh

check-layers: ## who includes whom
	@sh tests/layers/check.sh

check-words: ## every sentence that is used exists, and the other way round
	@sh tests/words/check.sh

format: ## puts the sources into their form
	clang-format -i $(wildcard src/*/*.[ch] tests/*/*.[ch])

format-check:
	clang-format --dry-run --Werror $(wildcard src/*/*.[ch] tests/*/*.[ch])

clean: ## removes build/
	rm -rf build
