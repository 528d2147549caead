/*
 * label_text.h - reads a fertiliser label as people type it.
 *
 * May include: base/, quantity/, nutrients/, model/.
 */
#ifndef BD_REQUEST_LABEL_TEXT_H
#define BD_REQUEST_LABEL_TEXT_H

#include "model/analysis.h"

/* "oxide", "element", "ratio" */
bd_status bd_convention_read(const char *text, bd_convention *out, bd_error *err) BD_MUST_CHECK;

/*
 * Reads a label:
 *
 *   13-0-46            hyphens: N-P2O5-K2O (assumed, unless the convention says element)
 *   2:3:4 (30)         ratio and total: elements, N 30 x 2/9 % ...
 *   0:8.8:0:11         other colons: N:P:K:S, only with the convention element
 *   0-0-50 + 45 SO3    more nutrients, number before or after the form, '+' or ','
 *   N 13, K2O 46       forms named throughout
 *   4-3-8 w/v          per cent by volume: g per 100 mL
 *
 *   convention  what the user said, or BD_CONVENTION_NONE
 *   out         written only on BD_OK
 *
 * Returns BD_OK, BD_SYNTAX, BD_AMBIGUOUS (colons without a convention or a
 * total), BD_CONFLICT (a ratio read as oxides), BD_RANGE.
 */
bd_status bd_label_read(const char *text, bd_convention convention, bd_label *out,
                        bd_error *err) BD_MUST_CHECK;

#endif
