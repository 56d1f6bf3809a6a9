/* Checks the integer conversion against the C library's pow, over every count, and the
 * ends of the high-pressure sensor's range.
 *
 *   cc -std=c99 -Wall -Wextra -Wpedantic -Werror -o test_front_end front_end.c test_front_end.c -lm
 */
#include "front_end.h"

#include <math.h>
#include <stdio.h>

int main(void)
{
    double worst = 0.0;
    uint32_t counts, before = 0;
    int failures = 0;

    for (counts = 0; counts <= 0xFFFFu; counts += 1) {
        struct node_line line = {0};
        uint32_t tenths = tenths_of_micron((uint16_t)counts);
        double exact = pow(10.0, (double)counts / COUNTS_PER_DECADE);

        if (counts < RANGE_TOP_COUNTS) {
            /* what rounding to a tenth does not explain, in parts */
            double off = (fabs((double)tenths - exact) - 0.5) / exact;
            worst = off > worst ? off : worst;
        }
        /* more counts are never less pressure */
        failures += tenths < before;
        before = tenths;

        front_end_read((uint16_t)counts, &line);
        if (counts >= RANGE_TOP_COUNTS) {
            failures += line.state != NODE_OVER || line.value.digits != RANGE_TOP_MICRON;
        } else if (counts < RANGE_BOTTOM_COUNTS) {
            failures += line.state != NODE_UNDER || line.value.digits != RANGE_BOTTOM_MICRON;
        } else {
            double micron = line.value.digits / pow(10.0, line.value.decimals);
            double step = line.value.decimals == 0 ? 1.0 : 0.1;
            failures += line.state != NODE_OK;
            failures += fabs(micron - exact / 10.0) > 0.0002 * exact / 10.0 + step;
        }
    }
    for (counts = 0; counts <= 0xFFFFu; counts += 1) {
        struct node_line line = {0};
        bool over = counts > 40000u, under = counts < 10u;

        front_end_read_high((uint16_t)counts, &line);
        failures += line.high_state != (over ? NODE_OVER : under ? NODE_UNDER : NODE_OK);
        failures += line.high.digits != (over ? 40000u : under ? 10u : counts);
        failures += line.high.decimals != 1 || line.high_reference != NODE_ABSOLUTE;
    }
    failures += worst > 0.0002;
    printf("front end: at most %.4f %% off besides rounding, %d failures\n", worst * 100.0,
           failures);
    return failures == 0 ? 0 : 1;
}
