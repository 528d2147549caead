/*
 * crops.h - one record of crops.json.  Private to nutrients/.
 *
 * May include: base/, quantity/.
 */
#ifndef BD_NUTRIENTS_CROPS_H
#define BD_NUTRIENTS_CROPS_H

#include "nutrients/reader.h"

/* Reads an item of "crops" into a zeroed bd_crop; for bd_node_list and load.c. */
void bd_crop_read(bd_node *at, void *crop);

#endif
