/* A gauge node, whole: timer, reading, stamp, line, watchdog. Its pressures are invented. */
#include "../encoder.h"
#include "board.h"
#include "front_end.h"
#include "rehearsed.h"

/* 200 in a node that measures; the rehearsed plant runs about sixty times too fast. */
#define READING_EVERY_MS 25u

/* So long after the start the vacuum sensor is not believed (a real one takes minutes), and
 * the others have not answered yet: these lines are of version 1. */
#define SETTLING_S 0u
#define SETTLING_MS 300u

static void keep_or_begin(void)
{
    if (board_kept.mark != KEPT_MARK) {
        board_kept.plant_ms = 0;
        board_kept.hung = 0;
        board_kept.mark = KEPT_MARK;
    }
}

/* Stands still with the timer running, as firmware with a bug does. */
static void hang_once(void)
{
    if (board_kept.plant_ms >= PLANT_HANG_MS && board_kept.hung == 0) {
        board_kept.hung = 1;
        for (;;) {
        }
    }
}

static void read_sensor(struct node_line *line)
{
    uint32_t plant_ms = board_kept.plant_ms;
    struct board_time now = board_now(); /* the time of the measurement, not of sending */

    line->seconds = now.seconds;
    line->milliseconds = now.milliseconds;
    line->has_temperature = true;
    line->temperature_tenths_c = rehearsed_temperature_tenths_c(plant_ms);
    front_end_read(rehearsed_counts(plant_ms), line);
    front_end_read_high(rehearsed_high_tenths_kpa(plant_ms), line);
    line->has_high = true;
    line->barometer_tenths_hpa = rehearsed_barometer_tenths_hpa(plant_ms);
    line->has_barometer = true;
    if (now.seconds == SETTLING_S && now.milliseconds < SETTLING_MS) {
        line->state = NODE_FAULT;
        line->has_high = false;
        line->has_barometer = false;
    }
}

int main(void)
{
    static char text[NODE_LINE_MAX];
    static struct node_line line;
    uint16_t sequence = 0;
    uint32_t last_ms = 0;
    size_t length;

    keep_or_begin();
    board_start();
    for (;;) {
        board_sleep();
        if (board_ticks_ms() - last_ms < READING_EVERY_MS) {
            continue;
        }
        last_ms += READING_EVERY_MS;
        hang_once();
        read_sensor(&line);
        line.sequence = sequence;
        sequence = (uint16_t)(sequence + 1u); /* counts even if nothing can be sent */
        length = node_encode(text, sizeof text, &line);
        if (length > 0 && board_has_room(length)) {
            board_send(text, length);
        }
        /* fed by a finished reading only: a timer would feed it for a dead loop too */
        board_feed_watchdog();
    }
}
