#include "rehearsed.h"

#include <stddef.h>

struct moment {
    uint32_t plant_ms;
    uint16_t level;
};

/* INVENTED. Between the moments the counts run straight, so the pressure falls
 * exponentially, as it does behind a pump.
 * Counts are 8192 * log10(pressure / 0.1 micron). Nobody shuts the valve: it is in the table. */
static const struct moment curve[] = {
    {0, 56368}, /* 760000 micron: atmosphere, above the sensor's range */
    {700, 49152}, /* 100000 micron: into the range */
    {2200, 40166}, /* 8000 micron */
    {2600, 39143}, /* 6000 micron: pump oil foams: a stall */
    {5600, 39022}, /* 5800 micron */
    {6000, 38494}, /* 5000 micron: it clears */
    {7600, 30302}, /* 500 micron: target */
    {8300, 24915}, /* 110 micron */
    {8800, 23870}, /* 82 micron */
    {9500, 23782}, /* 80 micron: pump-side valve shut */
    {9800, 23956}, /* 84 micron: equalised */
    {21000, 24039}, /* 86 micron: hold */
};

/* INVENTED: the same system as the high-pressure sensor sees it, tenths of kPa. Gone below
 * its range it stays there. */
static const struct moment high[] = {
    {0, 1003}, /* the air outside */
    {700, 133}, /* 100000 micron */
    {2200, 11}, /* 8000 micron */
    {2600, 8}, /* 6000 micron: below the range */
};

#define MOMENTS(table) (sizeof(table) / sizeof((table)[0]))

/* A straight line between the moments, the last level after them. */
static uint16_t level_at(const struct moment *table, size_t moments, uint32_t plant_ms)
{
    size_t i;
    uint32_t gone, length;
    int32_t change;

    for (i = 1; i < moments; i += 1) {
        if (plant_ms < table[i].plant_ms) {
            gone = plant_ms - table[i - 1].plant_ms;
            length = table[i].plant_ms - table[i - 1].plant_ms;
            change = (int32_t)table[i].level - (int32_t)table[i - 1].level;
            return (uint16_t)((int32_t)table[i - 1].level
                              + change * (int32_t)gone / (int32_t)length);
        }
    }
    return table[moments - 1].level;
}

/* Noise of the sensor: white, 0 to 15 counts, from a shift register of 16 bits. */
static uint32_t noise(void)
{
    static uint32_t bits = 0xACE1u;

    bits = (bits >> 1) ^ ((bits & 1u) != 0 ? 0xB400u : 0u);
    return bits & 15u;
}

uint16_t rehearsed_counts(uint32_t plant_ms)
{
    return (uint16_t)(level_at(curve, MOMENTS(curve), plant_ms) + noise() - 8u);
}

uint16_t rehearsed_high_tenths_kpa(uint32_t plant_ms)
{
    return level_at(high, MOMENTS(high), plant_ms);
}

uint16_t rehearsed_barometer_tenths_hpa(uint32_t plant_ms)
{
    /* falls by a tenth every eight seconds, for two tenths */
    uint32_t fallen = plant_ms / 8000u;

    return (uint16_t)(10032u - (fallen < 2u ? fallen : 2u));
}

int16_t rehearsed_temperature_tenths_c(uint32_t plant_ms)
{
    /* warms by a tenth every two seconds, for fifteen tenths */
    uint32_t warmed = plant_ms / 2000u;

    return (int16_t)(214 + (warmed < 15u ? (int16_t)warmed : 15));
}
