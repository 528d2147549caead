/*
 * Every formula of the built-in materials against the chemistry program Open
 * Babel (Debian package "openbabel", program "obabel").
 *
 * Open Babel reads no formulas, so the salts are given to it as SMILES, piece by
 * piece, in tests/published/salts.csv; it answers with the molar mass and the
 * formula by elements.  The atoms must be the same, to the last one; only where
 * the program leaves the hydrogen out of the formulas of some salts, though it
 * weighs it, it is the mass alone that tells (one H is 0.09 % of the heaviest salt
 * and more of all others).
 *
 * Tolerance of the mass: 5e-4 of it.  Open Babel weighs with atomic weights of
 * another year and prints six digits.
 */
#include "support/cmocka_all.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "nutrients/catalogue.h"
#include "nutrients/formula.h"
#include "support/close.h"

static const double relative_tolerance = 5e-4;

enum { SALTS_MAX = 64, NAME_SIZE = 64, LINE_SIZE = 256, SMILES_SIZE = 1024 };

typedef struct salt {
    char name[NAME_SIZE], smiles[SMILES_SIZE];
} salt;

static salt salts[SALTS_MAX];
static size_t salt_count;
static bd_catalogue *catalogue;

/* "11 O" -> "O.O.O. ..." */
static void add_piece(salt *s, const char *piece)
{
    int count = 0;
    char part[LINE_SIZE];

    if (sscanf(piece, "%d %255s", &count, part) != 2 || count < 1)
        fail_msg("%s: '%s' is not a count and a piece", s->name, piece);
    for (; count > 0; count--) {
        size_t used = strlen(s->smiles);

        (void)snprintf(s->smiles + used, sizeof s->smiles - used, "%s%s", used == 0 ? "" : ".",
                       part);
    }
    assert_true(strlen(s->smiles) < sizeof s->smiles - 1);
}

static void read_salt(char *line)
{
    salt *s = &salts[salt_count++];
    char *piece = strtok(line, ",\n");

    assert_true(salt_count < SALTS_MAX);
    (void)snprintf(s->name, sizeof s->name, "%s", piece);
    while ((piece = strtok(NULL, ",\n")) != NULL)
        add_piece(s, piece);
}

static int read_salts(void)
{
    FILE *file = fopen("tests/published/salts.csv", "r");
    char line[LINE_SIZE];

    if (file == NULL) {
        print_error("tests/published/salts.csv cannot be opened; run from the top of the tree\n");
        return -1;
    }
    while (fgets(line, sizeof line, file) != NULL)
        if (line[0] != '#' && line[0] != '\n')
            read_salt(line);
    (void)fclose(file);
    return 0;
}

/* Molar mass and formula, from the program. */
static void ask(const salt *s, double *g_per_mol, char formula[LINE_SIZE])
{
    char command[SMILES_SIZE + LINE_SIZE], answer[LINE_SIZE] = "";
    FILE *program;

    (void)snprintf(command, sizeof command, "obabel -:'%s' -otxt --append 'MW formula' 2>/dev/null",
                   s->smiles);
    (void)fflush(NULL);
    program = popen(command, "r");
    assert_non_null(program);
    if (fgets(answer, sizeof answer, program) == NULL)
        answer[0] = '\0';
    (void)pclose(program);
    if (sscanf(answer, "%lf %255s", g_per_mol, formula) != 2)
        fail_msg("obabel gives no mass of %s: is Debian's package \"openbabel\" installed?",
                 s->name);
}

static void check_salt(void **state)
{
    const salt *s = *state;
    const bd_material *m;
    bd_formula ours, theirs;
    char text[LINE_SIZE] = "";
    double g_per_mol = 0.0;

    assert_int_equal(bd_catalogue_material(catalogue, s->name, &m, NULL), BD_OK);
    assert_string_equal(m->name, s->name);
    assert_int_equal(bd_formula_read(m->formula, &ours, NULL), BD_OK);
    ask(s, &g_per_mol, text);
    assert_close(ours.g_per_mol, g_per_mol, relative_tolerance * g_per_mol);
    assert_int_equal(bd_formula_read(text, &theirs, NULL), BD_OK);
    for (int i = 0; i < BD_ELEMENT_COUNT; i++)
        if ((i != BD_ELEMENT_H || theirs.count[i] > 0.0) &&
            fabs(ours.count[i] - theirs.count[i]) > 0.0)
            fail_msg("%s: %s and %s differ", s->name, m->formula, text);
}

static void every_formula_is_checked(void **state)
{
    size_t count;
    const bd_material *m = bd_catalogue_materials(catalogue, &count);

    (void)state;
    for (size_t i = 0; i < count; i++) {
        size_t k = 0;

        if (m[i].formula[0] == '\0')
            continue;
        while (k < salt_count && strcmp(salts[k].name, m[i].name) != 0)
            k++;
        if (k == salt_count)
            fail_msg("%s, %s, is not in salts.csv", m[i].name, m[i].formula);
    }
}

int main(void)
{
    static struct CMUnitTest tests[SALTS_MAX + 1];
    bd_error err = {.status = BD_OK};
    size_t n = 0;
    int failed;

    if (read_salts() != 0)
        return 1;
    if (bd_catalogue_load(NULL, &catalogue, &err) != BD_OK) {
        print_error("%s: %s\n", err.where, err.text);
        return 1;
    }
    for (size_t i = 0; i < salt_count; i++)
        tests[n++] = (struct CMUnitTest){salts[i].name, check_salt, NULL, NULL, &salts[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(every_formula_is_checked);
    failed = _cmocka_run_group_tests("molar masses", tests, n, NULL, NULL);
    bd_catalogue_free(catalogue);
    return failed;
}
