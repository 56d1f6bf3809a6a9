/* What the node needs of a board: a clock, a byte pipe, a watchdog.
 *
 * board.c fills it for the emulated Cortex-M3 board; another board needs another
 * board.c and layout.ld, nothing else. */
#ifndef NODE_BOARD_H
#define NODE_BOARD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Time since the start, split so that no division is needed to stamp a line. */
struct board_time {
    uint32_t seconds;
    uint16_t milliseconds; /* 0 to 999 */
};

/* RAM that a reset leaves alone and power-up leaves random. */
struct board_kept {
    uint32_t mark;    /* KEPT_MARK once the rest has been set */
    uint32_t plant_ms; /* how far the invented plant has got */
    uint32_t hung;    /* the rehearsed hang has happened */
};
#define KEPT_MARK 0x6B657074u
extern volatile struct board_kept board_kept;

/* Clock, serial port (8N1) and watchdog, in this order. */
void board_start(void);

/* Now, read whole although the timer interrupt counts it on. */
struct board_time board_now(void);

/* Milliseconds since the start, modulo 2^32: for intervals only. */
uint32_t board_ticks_ms(void);

/* Room in the send buffer for this many bytes? Never waits. */
bool board_has_room(size_t count);

/* Hands bytes to the serial port; there has to be room. Never waits. */
void board_send(const char *bytes, size_t count);

/* The main loop is well. Not fed for WATCHDOG_MS, the watchdog resets the node. */
#define WATCHDOG_MS 1000u
void board_feed_watchdog(void);

/* Sleeps until the next interrupt. */
void board_sleep(void);

#endif
