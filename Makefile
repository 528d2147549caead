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
FLAGS_gccwarn := -O2
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
.SECONDARY:
.NOTPARALLEL: deps
.SUFFIXES:
.PHONY: all help deps demo check check-long check-unit check-command check-data check-docs \
        check-layers check-words check-kill check-calendar check-valgrind lint lint-gcc lint-clang lint-tidy lint-cppcheck \
        all-tests format format-check asan bench fuzz coverage install uninstall clean

all: build/bagdose

help: ## this list
	@grep -hE '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sed 's/:.*## /\t/' | expand -t 18

# ---- building -------------------------------------------------------------

build/bagdose: $(if $(filter release,$(FLAVOUR)),$(O)/bagdose)
	@mkdir -p build
	@$(if $(filter release,$(FLAVOUR)),cp $(O)/bagdose $@,$(MAKE) --no-print-directory FLAVOUR=release $@)

$(O)/bagdose: $(O)/src/command/main.o $(LIBRARY)
	@echo "  $(notdir $@)"; $(CC) $(BD_CFLAGS) $(LDFLAGS) -o $@ $^ $(BD_LIBS)

$(LIBRARY): $(OBJECTS)
	@rm -f $@
	@$(AR) rcs $@ $^

$(O)/%.o: %.c
	@mkdir -p $(@D)
	@echo "  $(notdir $@)"; $(CC) $(BD_CFLAGS) -c -o $@ $<

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
	@echo "  $(notdir $@)"; $(CC) $(BD_CFLAGS) -c -o $@ $<

-include $(OBJECTS:.o=.d) $(O)/src/command/main.d $(wildcard $(O)/tests/*.d)

# ---- tests ----------------------------------------------------------------

# Every test may make an allocation fail (tests/support/failing_malloc.h).
TEST_LINK := -Wl,--wrap=malloc,--wrap=calloc,--wrap=realloc -lcmocka

$(O)/tests/published_%: tests/published/%.c $(SUPPORT) $(LIBRARY)
	@mkdir -p $(@D)
	@echo "  $(notdir $@)"; $(CC) $(BD_CFLAGS) -Itests -o $@ $< $(SUPPORT) $(LIBRARY) $(TEST_LINK) $(BD_LIBS)

$(O)/tests/%: tests/unit/%.c $(SUPPORT) $(LIBRARY)
	@mkdir -p $(@D)
	@echo "  $(notdir $@)"; $(CC) $(BD_CFLAGS) -Itests -o $@ $< $(SUPPORT) $(LIBRARY) $(TEST_LINK) $(BD_LIBS)

$(O)/tests/support/%.o: tests/support/%.c
	@mkdir -p $(@D)
	@echo "  $(notdir $@)"; $(CC) $(BD_CFLAGS) -Itests -c -o $@ $<

# ---- the main job on files of examples/ ------------------------------------

demo: build/bagdose ## the whole job on the files of examples/
	@BAGDOSE=$(CURDIR)/build/bagdose sh examples/demo.sh

# ---- what stands in the way of a merge -------------------------------------

check: check-layers check-words check-unit check-command check-data check-docs check-kill check-calendar ## all quick tests (under three minutes)

# A locale with a decimal comma, for the tests that it must change nothing; they skip without it.
LOCALE := build/locale/de_DE.UTF-8
$(LOCALE):
	@mkdir -p $(@D); localedef -i de_DE -f UTF-8 $@ || mkdir -p $@

check-unit: $(UNIT) $(PUBLISHED) $(LOCALE) ## unit tests and the checks against published figures
	@bad=0; export LOCPATH=$(CURDIR)/build/locale; for t in $(UNIT) $(PUBLISHED); do $$t || bad=1; done; exit $$bad

all-tests: $(UNIT) $(PUBLISHED)

check-command: build/bagdose ## command lines against what they must print
	@BAGDOSE=$(CURDIR)/build/bagdose sh tests/command/run.sh

check-data: ## nutrients/ against its JSON schemas, with a validator that is none of ours
	@sh tests/data/check.sh

check-docs: build/bagdose ## worked lines of README and help run and match; options are documented
	@BAGDOSE=$(CURDIR)/build/bagdose sh tests/docs/check.sh

KILLS ?= 50
check-kill: build/bagdose ## `record add` killed and starved at random points
	@BAGDOSE=$(CURDIR)/build/bagdose CC=$(CC) sh tests/kill/kill.sh $(KILLS)

check-calendar: build/bagdose ## the calendar of a season, read by a calendar library
	@/usr/bin/python3 tests/calendar/check.py build/bagdose examples/terrace.garden.json

check-layers: ## who includes whom
	@sh tests/layers/check.sh

check-words: ## every sentence that is used exists, and the other way round
	@sh tests/words/check.sh

asan: ## the unit tests under address and undefined-behaviour sanitizers
	@$(MAKE) --no-print-directory FLAVOUR=asan check-unit

check-valgrind: $(UNIT) $(PUBLISHED) ## the unit tests under valgrind
	@set -e; for t in $(UNIT) $(PUBLISHED); do \
	  valgrind --quiet --error-exitcode=9 --leak-check=full --show-leak-kinds=definite $$t; done

check-long: ## the full counts: long random runs, sanitizers, valgrind
	@BD_LONG=1 $(MAKE) --no-print-directory check-unit
	@$(MAKE) --no-print-directory KILLS=500 check-kill
	@$(MAKE) --no-print-directory asan check-valgrind

lint: format-check lint-gcc lint-clang lint-cppcheck lint-tidy ## compilers' warnings as errors, clang-tidy, cppcheck, format

lint-gcc:
	@$(MAKE) --no-print-directory FLAVOUR=gccwarn DEV=1 build/gccwarn/libbagdose.a build/gccwarn/bagdose

lint-clang:
	@$(MAKE) --no-print-directory FLAVOUR=clang DEV=1 build/clang/bagdose all-tests

lint-cppcheck:
	cppcheck --quiet --std=c11 --error-exitcode=1 --inline-suppr --enable=warning,performance,portability \
	  --suppress=missingIncludeSystem \
	  --suppress=unknownMacro -Isrc $(wildcard src/*/*.c)

lint-tidy:
	@printf '%s\n' $(wildcard src/*/*.c) | xargs -P 2 -n 1 sh -c 'clang-tidy --quiet "$$0" -- -std=c11 -D_DEFAULT_SOURCE -Isrc 2>/dev/null' 

format: ## puts the sources into their form
	clang-format -i $(wildcard src/*/*.[ch] tests/*/*.[ch])

format-check:
	clang-format --dry-run --Werror $(wildcard src/*/*.[ch] tests/*/*.[ch])

bench: $(patsubst tests/bench/%.c,$(O)/bench/%,$(wildcard tests/bench/*.c)) ## how long a solve takes
	@set -e; for b in $^; do $$b; done

$(O)/bench/%: tests/bench/%.c $(LIBRARY)
	@mkdir -p $(@D)
	@echo "  $(notdir $@)"; $(CC) $(BD_CFLAGS) -o $@ $< $(LIBRARY) $(BD_LIBS)

FUZZ_SECONDS ?= 20
fuzz: ## each reader of untrusted text, for FUZZ_SECONDS each
	@$(MAKE) --no-print-directory FLAVOUR=fuzz fuzz-run

fuzz-run: $(patsubst tests/fuzz/%.c,$(O)/fuzz/%,$(wildcard tests/fuzz/*.c))
	@set -e; for f in $^; do mkdir -p $(O)/corpus/$${f##*/}; \
	  $$f -max_total_time=$(FUZZ_SECONDS) -rss_limit_mb=512 -max_len=4096 $(O)/corpus/$${f##*/} \
	  $$(ls -d tests/fuzz/seeds/$${f##*/} 2>/dev/null); done

$(O)/fuzz/%: tests/fuzz/%.c $(LIBRARY)
	@mkdir -p $(@D)
	@echo "  $(notdir $@)"; $(CC) $(BD_CFLAGS) -fsanitize=fuzzer -o $@ $< $(LIBRARY) $(BD_LIBS)

coverage: ## lines that no test reaches
	@$(MAKE) --no-print-directory FLAVOUR=cov check-unit
	@find build/cov -name '*.gcno' -path '*src*' | xargs gcov -n 2>/dev/null | \
	  awk '/^File .src/{f=$$2} /^Lines executed/{if (f!="") {print f, $$0; f=""}}'

# ---- installing ------------------------------------------------------------

install: build/bagdose ## copies the command to PREFIX (/usr/local)
	install -d $(DESTDIR)$(PREFIX)/bin
	install -m 755 build/bagdose $(DESTDIR)$(PREFIX)/bin/bagdose

uninstall:
	rm -f $(DESTDIR)$(PREFIX)/bin/bagdose

# Packages by goal: what is there is skipped, so that it works without a network afterwards.
NEEDS_all   := libjansson-dev
NEEDS_check := libcmocka-dev locales units openbabel python3-jsonschema python3-icalendar
NEEDS_lint  := clang clang-format clang-tidy cppcheck
NEEDS_check-valgrind := valgrind
NEEDS_check-long := valgrind $(NEEDS_check)
NEEDS_asan  := libcmocka-dev
NEEDS_fuzz  := clang
PACKAGES    := $(sort $(NEEDS_all) $(foreach g,$(MAKECMDGOALS),$(NEEDS_$(g))))

deps: ## installs what the other goals on the command line need (Debian)
	@missing=; for p in $(PACKAGES); do \
	  dpkg-query -W -f '$${Status}' $$p 2>/dev/null | grep -q 'ok installed' || missing="$$missing $$p"; done; \
	if [ -n "$$missing" ]; then \
	  command -v apt-get >/dev/null || { echo "deps: needed and not found:$$missing" >&2; exit 1; }; \
	  root=; [ "$$(id -u)" = 0 ] || root=sudo; \
	  $$root apt-get update -q && DEBIAN_FRONTEND=noninteractive $$root apt-get install -q -y $$missing; fi

clean: ## removes build/
	rm -rf build
