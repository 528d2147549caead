/*
 * bag_size.h - "round 30cm x 35cm": how much soil a bag, pot or box holds.
 *
 * May include: base/, quantity/quantity.h.
 */
#ifndef BD_QUANTITY_BAG_SIZE_H
#define BD_QUANTITY_BAG_SIZE_H

#include <stdbool.h>

#include "base/error.h"
#include "quantity/quantity.h"

typedef enum bd_bag_shape {
    BD_BAG_ROUND, /* diameter, and soil depth or volume */
    BD_BAG_GIRTH, /* a round bag measured around, and soil depth or volume */
    BD_BAG_BOX,   /* length, width, soil depth */
    BD_BAG_VOLUME /* volume and soil depth; the outline is not known */
} bd_bag_shape;

typedef struct bd_bag_size {
    bd_bag_shape shape;
    double area_m2;    /* of soil surface */
    double volume_l;   /* of soil */
    double depth_m;    /* of soil */
    double diameter_m; /* round and girth, else 0 */
    double girth_m;    /* girth, else 0 */
    double length_m;   /* box, else 0 */
    double width_m;    /* box, else 0 */
    bool is_guessed;   /* only the litres were given: the shape is assumed */
} bd_bag_size;

/*
 * Reads the size of one bag; 'x', '*' or a multiplication sign between its measures.
 *
 *     round 30cm x 35cm      diameter, soil depth
 *     round 45cm x 50L       diameter, volume
 *     girth 141cm x 35cm     measured around, soil depth
 *     girth 141cm x 50L      measured around, volume
 *     30cm x 20cm x 35cm     length, width, soil depth
 *     20L x 30cm             volume, soil depth
 *     20L                    volume; taken as round and as deep as it is wide
 *
 * Returns BD_OK, BD_SYNTAX, BD_AMBIGUOUS (two lengths and no word for the shape,
 * whose gallon), BD_DIMENSION, BD_UNKNOWN, or BD_RANGE when a measure is not
 * above zero, the depth is outside 2 cm..2 m or the volume outside 0.05..2000 L.
 *
 * Method   area of a circle = pi d^2 / 4 = g^2 / (4 pi); volume = area * depth.
 *          A bag is taken to be as wide below as above.
 * Example  "round 30cm x 35cm" -> 0.0707 m2, 24.7 L
 */
bd_status bd_bag_size_read(const char *text, bd_measures measures, bd_bag_size *out,
                           bd_error *err) BD_MUST_CHECK;

#endif
