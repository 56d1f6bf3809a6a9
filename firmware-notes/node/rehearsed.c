#include "rehearsed.h"

struct moment {
    uint32_t plant_ms;
    uint16_t counts; /* 8192 * log10(pressure / 0.1 micron) */
};

/* INVENTED. Between the moments the counts run straight, so the pressure falls
 * exponentially, as it does behind a pump. Nobody shuts the valve: it is in the table. */
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
#define MOMENTS (sizeof curve / sizeof curve[0])

/* Noise of the sensor: white, 0 to 15 counts, from a shift register of 16 bits. */
static uint32_t noise(void)
{
    static uint32_t bits = 0xACE1u;

    bits = (bits >> 1) ^ ((bits & 1u) != 0 ? 0xB400u : 0u);
    return bits & 15u;
}

uint16_t rehearsed_counts(uint32_t plant_ms)
{
    uint32_t i, gone, length;
    int32_t change;

    for (i = 1; i < MOMENTS; i += 1) {
        if (plant_ms < curve[i].plant_ms) {
            gone = plant_ms - curve[i - 1].plant_ms;
            length = curve[i].plant_ms - curve[i - 1].plant_ms;
            change = (int32_t)curve[i].counts - (int32_t)curve[i - 1].counts;
            change = change * (int32_t)gone / (int32_t)length;
            return (uint16_t)((int32_t)curve[i - 1].counts + change + (int32_t)noise() - 8);
        }
    }
    return (uint16_t)(curve[MOMENTS - 1].counts + noise() - 8u);
}

int16_t rehearsed_temperature_tenths_c(uint32_t plant_ms)
{
    /* warms by a tenth every two seconds, for fifteen tenths */
    uint32_t warmed = plant_ms / 2000u;

    return (int16_t)(214 + (warmed < 15u ? (int16_t)warmed : 15));
}
