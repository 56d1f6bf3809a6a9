#include "front_end.h"

#define STEPS_PER_DECADE 64u
#define COUNTS_PER_STEP (COUNTS_PER_DECADE / STEPS_PER_DECADE)

/* 10^(k/64) in steps of 1/100000, rounded. Straight lines between them are at most
 * (ln 10 / 64)^2 / 8 = 0.0162 % too high. */
static const uint32_t antilog[STEPS_PER_DECADE + 1u] = {
    100000, 103663, 107461, 111397, 115478, 119709, 124094, 128640,
    133352, 138237, 143301, 148551, 153993, 159634, 165482, 171544,
    177828, 184342, 191095, 198096, 205353, 212875, 220673, 228757,
    237137, 245824, 254830, 264165, 273842, 283874, 294273, 305053,
    316228, 327812, 339821, 352269, 365174, 378552, 392419, 406794,
    421697, 437144, 453158, 469759, 486968, 504807, 523299, 542469,
    562341, 582942, 604296, 626434, 649382, 673170, 697831, 723394,
    749894, 777365, 805842, 835363, 865964, 897687, 930572, 964662,
    1000000,
};

static const uint32_t power_of_ten[6] = {1, 10, 100, 1000, 10000, 100000};

uint32_t tenths_of_micron(uint16_t counts)
{
    uint32_t decade, step, part, mantissa, scale;

    if (counts >= RANGE_TOP_COUNTS) {
        return RANGE_TOP_MICRON * 10u;
    }
    decade = counts / COUNTS_PER_DECADE;
    step = counts % COUNTS_PER_DECADE / COUNTS_PER_STEP;
    part = counts % COUNTS_PER_STEP;
    mantissa = antilog[step]
        + ((antilog[step + 1u] - antilog[step]) * part + COUNTS_PER_STEP / 2u)
            / COUNTS_PER_STEP;
    /* mantissa / 10^5 * 10^decade; decade is 5 at most */
    scale = power_of_ten[5u - decade];
    return (mantissa + scale / 2u) / scale;
}

void front_end_read(uint16_t counts, struct node_line *line)
{
    uint32_t tenths;

    line->unit = NODE_MICRON;
    line->value.decimals = 0;
    if (counts >= RANGE_TOP_COUNTS) {
        line->state = NODE_OVER;
        line->value.digits = RANGE_TOP_MICRON;
        return;
    }
    if (counts < RANGE_BOTTOM_COUNTS) {
        line->state = NODE_UNDER;
        line->value.digits = RANGE_BOTTOM_MICRON;
        return;
    }
    tenths = tenths_of_micron(counts);
    line->state = NODE_OK;
    if (tenths < 10000u) {
        line->value.digits = tenths;
        line->value.decimals = 1;
    } else {
        line->value.digits = (tenths + 5u) / 10u;
    }
}

void front_end_read_high(uint16_t tenths_kpa, struct node_line *line)
{
    line->high_reference = NODE_ABSOLUTE;
    line->high.decimals = 1;
    line->high.digits = tenths_kpa;
    line->high_state = NODE_OK;
    if (tenths_kpa > HIGH_TOP_TENTHS_KPA) {
        line->high_state = NODE_OVER;
        line->high.digits = HIGH_TOP_TENTHS_KPA;
    } else if (tenths_kpa < HIGH_BOTTOM_TENTHS_KPA) {
        line->high_state = NODE_UNDER;
        line->high.digits = HIGH_BOTTOM_TENTHS_KPA;
    }
}
