/* The invented plant in front of the invented sensor: a pump-down and a hold, played
 * in about twenty seconds instead of half an hour. In a node that measures, the
 * driver of the ADC stands here. */
#ifndef NODE_REHEARSED_H
#define NODE_REHEARSED_H

#include <stdint.h>

/* At this moment the rehearsed firmware hangs, once, for the watchdog to show its worth. */
#define PLANT_HANG_MS 4000u

/* Counts of the ADC at this moment of the plant, noise included. */
uint16_t rehearsed_counts(uint32_t plant_ms);

/* The high-pressure sensor on the same system, absolute, tenths of kPa. */
uint16_t rehearsed_high_tenths_kpa(uint32_t plant_ms);

/* The air around the node, tenths of hPa. */
uint16_t rehearsed_barometer_tenths_hpa(uint32_t plant_ms);

/* Temperature of the sensor, tenths of °C. */
int16_t rehearsed_temperature_tenths_c(uint32_t plant_ms);

#endif
