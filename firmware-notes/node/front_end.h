/* From the counts of a logarithmic vacuum sensor, and from tenths of kPa of a linear
 * high-pressure sensor, to what a line says, in integers. */
#ifndef NODE_FRONT_END_H
#define NODE_FRONT_END_H

#include "../encoder.h"

/* Counts of the ADC for a tenfold pressure. */
#define COUNTS_PER_DECADE 8192u

/* Ends of the invented sensor's range, micron and counts. */
#define RANGE_TOP_MICRON 100000u
#define RANGE_TOP_COUNTS (6u * COUNTS_PER_DECADE)
#define RANGE_BOTTOM_MICRON 1u
#define RANGE_BOTTOM_COUNTS (1u * COUNTS_PER_DECADE)

/* 0.1 micron * 10^(counts / COUNTS_PER_DECADE), in tenths of a micron, rounded.
 * Within 0.02 % and half a tenth of the exact value; counts above RANGE_TOP_COUNTS
 * give the top of the range. */
uint32_t tenths_of_micron(uint16_t counts);

/* Value and state of a line. From 1000 micron up whole micron are given: the step of
 * the ADC, 0.028 %, is 0.3 micron there, and a tenth would claim too much. */
void front_end_read(uint16_t counts, struct node_line *line);

/* Ends of the invented high-pressure sensor's range, tenths of kPa, absolute. */
#define HIGH_TOP_TENTHS_KPA 40000u
#define HIGH_BOTTOM_TENTHS_KPA 10u

/* High pressure and its state. Below the range the lower end is sent, never a zero. */
void front_end_read_high(uint16_t tenths_kpa, struct node_line *line);

#endif
